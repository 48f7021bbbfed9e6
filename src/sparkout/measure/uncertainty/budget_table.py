"""A budget as rows for a document and as a plain table that a pocket calculator can check."""

from __future__ import annotations

import math

from .budget import Budget

__all__ = ["budget_rows", "budget_table"]

_HEAD = (
    "quantity",
    "estimate",
    "source of uncertainty",
    "standard u",
    "distribution",
    "dof",
    "sensitivity",
    "contribution",
    "share",
)
_RIGHT = frozenset({1, 3, 5, 6, 7, 8})


def budget_rows(budget: Budget) -> tuple[tuple[str, ...], ...]:
    """Rows of a budget as text, the first row being the headings.

    Contribution = sensitivity × standard u; share = contribution² of the source ÷ u².

    budget: as `budget` made it [unit of its output].
    Returns rows of nine cells: quantity, estimate, source, u, distribution, degrees of freedom,
    sensitivity, contribution, share.
    Holds for any budget; a source that enters through several inputs is marked and its share, of
    all of them together, stands at its first row.
    Source: JCGM 100:2008 (GUM), table H.1 (form of the table).

    >>> from sparkout.measure.estimate import Component, Estimate
    >>> from sparkout.measure.uncertainty.budget import Input, budget
    >>> bore = Input("bore", Estimate(86, (Component("bore gauge", 0.003),)))
    >>> budget_rows(budget("size", (1.0,), (bore,)))[1][2:5]
    ('bore gauge', '0.0030', 'normal')
    """
    rows = [_HEAD]
    seen: set[str] = set()
    for row in budget.rows:
        again = row.source in seen
        seen.add(row.source)
        rows.append(
            (
                row.quantity,
                f"{row.value:.7g} {row.unit}".strip(),
                row.source + (" (shared)" if row.shared else ""),
                significant(row.u),
                str(row.shape),
                "∞" if math.isinf(row.dof) else f"{row.dof:.3g}",
                f"{row.sensitivity:.4g}",
                significant(row.contribution),
                "as above" if again else f"{100.0 * row.share:.1f} %",
            )
        )
    return tuple(rows)


def budget_table(budget: Budget) -> str:
    """A budget as a plain text table with the sum below it.

    u = √(Σ contribution²), contributions of a shared source added with their signs first.

    budget: as `budget` made it [unit of its output].
    Returns the table, lines ended by newlines.
    Holds for any budget.
    Source: JCGM 100:2008 (GUM), 7.2.7 (what to state) and table H.1.

    >>> from sparkout.measure.estimate import Component, Estimate
    >>> from sparkout.measure.uncertainty.budget import Input, budget
    >>> bore = Input("bore", Estimate(86, (Component("bore gauge", 0.003),)))
    >>> print(budget_table(budget("size", (1.0,), (bore,))).splitlines()[-1])
    U = 0.0059 mm (k = 1.96 for 95 % coverage, infinite degrees of freedom)
    """
    rows = budget_rows(budget)
    widths = [max(len(row[column]) for row in rows) for column in range(len(_HEAD))]
    lines = [
        "  ".join(
            cell.rjust(width) if column in _RIGHT else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
    lines.insert(1, "  ".join("-" * width for width in widths))
    unit = f" {budget.unit}" if budget.unit else ""
    shared = dict.fromkeys(row.source for row in budget.rows if row.shared)
    total = {part.source: part.u for part in budget.components}
    lines.append("")
    for source in shared:
        together = significant(total.get(source, 0.0))
        lines.append(f"{source}, one error in several inputs: together {together}{unit}")
    lines.append(f"{budget.output} = {budget.value:.7g}{unit}")
    if budget.second is not None:
        sign = "+" if budget.second.variance >= 0.0 else "-"
        size = significant(math.sqrt(abs(budget.second.variance)))
        lines.append(f"second-order terms: u² {sign} ({size}{unit})²")
    lines.append(f"u = {significant(budget.u)}{unit}")
    dof = (
        "infinite degrees of freedom"
        if math.isinf(budget.dof)
        else f"{budget.dof:.1f} effective degrees of freedom"
    )
    lines.append(
        f"U = {significant(budget.expanded)}{unit}"
        f" (k = {budget.k:.2f} for {100.0 * budget.coverage:g} % coverage, {dof})"
    )
    return "\n".join(lines) + "\n"


def significant(value: float) -> str:
    """Two significant digits, never in powers of ten where a shop would not write them."""
    if value == 0.0 or not math.isfinite(value):
        return f"{value:g}"
    digits = 1 - math.floor(math.log10(abs(float(f"{value:.1e}"))))
    return f"{value:.{max(digits, 0)}f}"

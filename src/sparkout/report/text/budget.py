"""An uncertainty budget in a terminal, such as a pocket calculator can check."""

from __future__ import annotations

import math
from collections.abc import Iterator

from sparkout.judge.size_budget import SizeBudget
from sparkout.measure.gauges.sources import marks_of, proves_nothing
from sparkout.measure.uncertainty.budget import BudgetRow
from sparkout.report.text.layout import heading, wrapped

__all__ = ["BASE", "budget_text", "shown_source"]

# Base unit of each quantity, in which its errors are kept.
BASE = {
    "length": "mm", "force": "N", "mass": "g", "torque": "N·m", "pressure": "MPa", "angle": "deg",
    "roughness": "µm", "hardness": "HRC", "volume": "mm³", "percent": "%",
}  # fmt: skip
_INCH = 25.4
_SOURCE = 38


def budget_text(found: SizeBudget, quantity: str, *, inch: bool = False) -> list[str]:
    """Every source with its standard uncertainty, then how they add up."""
    scale, unit = _unit(quantity, inch=inch)
    whole = found.budget
    head = str(found.key) + (f" ({found.place})" if found.place else "")
    lines = [*heading(f"Uncertainty budget of {head}")]
    lines.append(
        f"  {'source of uncertainty':<{_SOURCE}} {'standard u':>10}  distribution  dof  share"
    )
    for quantity_name, rows in _by_quantity(whole.rows):
        c = rows[0].sensitivity
        value = _value(rows[0].value / scale, unit)
        lines += ["", *wrapped(f"{quantity_name} = {value}, sensitivity {c:+.4g}", "  ", "    ")]
        lines += [line for row in rows for line in _row(row, quantity_name, scale)]
    if not whole.rows:
        lines += ["", "  Nothing is uncertain in it: it is a figure that nobody read."]
    lines += ["", *_sum(found, scale, unit)]
    return lines


def _by_quantity(rows: tuple[BudgetRow, ...]) -> Iterator[tuple[str, list[BudgetRow]]]:
    names = dict.fromkeys(row.quantity for row in rows)
    for name in names:
        yield name, [row for row in rows if row.quantity == name]


def _row(row: BudgetRow, quantity: str, scale: float) -> list[str]:
    source = shown_source(row.source, quantity) + (" *" if row.shared else "")
    dof = "∞" if math.isinf(row.dof) else f"{row.dof:.0f}"
    size, share = _significant(row.u / scale), 100 * row.share
    figures = f"{size:>10}  {row.shape!s:<12}  {dof:>3}  {share:>4.0f} %"
    *above, last = wrapped(source, "    ", "      ") if len(source) > _SOURCE - 2 else [
        f"    {source}"
    ]  # fmt: skip
    if len(last) > _SOURCE + 2:
        above, last = [*above, last], "    "
    return [*above, f"{last:<{_SOURCE + 2}} {figures}".rstrip()]


def shown_source(source: str, quantity: str) -> str:
    """A source without the name of the reading it stands under."""
    for prefix in ("resolution, ", "repeatability, ", "blades, "):
        if source.startswith(prefix) and not source.startswith(f"{prefix}zero of "):
            return {"resolution, ": "smallest step", "repeatability, ": "repeat of one reading",
                    "blades, ": "between two blades"}[prefix]  # fmt: skip
        if source.startswith(f"{prefix}zero of "):
            what = "step" if prefix == "resolution, " else "repeat"
            master = source.partition(" on ")[2].partition(",")[0]
            return f"{what} when it was set on {master}"
    if source.startswith("part and gauge apart"):
        return "part and gauge unlike in heat"
    return source.partition(" | ")[0]


def _sum(found: SizeBudget, scale: float, unit: str) -> list[str]:
    whole = found.budget
    if any(row.shared for row in whole.rows):
        yes = "  * one error in several of them: added with its signs before squaring"
    else:
        yes = ""
    if proves_nothing(whole.components):
        said = "; ".join(marks_of(whole.components))
        return wrapped(f"{said[:1].upper()}{said[1:]}.", "  ")
    dof = "infinite" if math.isinf(whole.dof) else f"{whole.dof:.0f}"
    u, expanded = (_significant(size / scale) for size in (whole.u, whole.expanded))
    rows = (
        ("combined standard uncertainty", f"u = {u} {unit}"),
        ("effective degrees of freedom", dof),
        ("coverage factor", f"k = {whole.k:.2f} for {100 * whole.coverage:g} %"),
        ("expanded uncertainty", f"U = {expanded} {unit}"),
        ("result", _result(whole.value, whole.expanded, scale, unit)),
    )
    lines = [yes] if yes else []
    lines += [f"  {name:<31} {figure}".rstrip() for name, figure in rows]
    for mark in marks_of(whole.components):
        lines += wrapped(f"{mark[:1].upper()}{mark[1:]}.", "  ! ")
    return lines


def _unit(quantity: str, *, inch: bool) -> tuple[float, str]:
    if quantity == "length" and inch:
        return _INCH, "in"
    return 1.0, BASE.get(quantity, "")


def _value(value: float, unit: str) -> str:
    return f"{value:.6f}".rstrip("0").rstrip(".") + (f" {unit}" if unit else "")


def _result(value: float, expanded: float, scale: float, unit: str) -> str:
    """The value to the digits its uncertainty deserves (GUM 7.2.6: two digits at most)."""
    wide = expanded / scale
    digits = max(0, 1 - math.floor(math.log10(wide))) if wide > 0 else 4
    return f"{value / scale:.{digits}f} ± {wide:.{digits}f} {unit}".rstrip()


def _significant(value: float) -> str:
    if value == 0.0:
        return "0"
    digits = max(0, 1 - math.floor(math.log10(abs(float(f"{value:.1e}")))))
    return f"{value:.{digits}f}"

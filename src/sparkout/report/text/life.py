"""How long what is kept should last, in a terminal: hours with what they rest on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sparkout.judge.words import Words
from sparkout.measure.wear.remaining import RemainingLife
from sparkout.plan.life import Kept
from sparkout.plan.offers import History
from sparkout.report.grouping import minus
from sparkout.report.text.layout import heading, table, wrapped
from sparkout.report.text.offers import hours_said

__all__ = ["life_lines", "life_text"]

_ROWS = 12
_FEW = 3


def life_text(
    kept: Sequence[Kept], history: History | None, words: Words, *, whole: bool = False
) -> list[str]:
    """Everything `life` says. whole: every part, also those of which no rate can be told."""
    lines = heading("How long what is kept should last")
    if not kept:
        return [*lines, *wrapped("Nothing that is kept runs to a limit of wear.", "  ")]
    if history is None:
        lines += wrapped(
            "The hours run are not in the log, so there is no forecast; what is left of the wear "
            "that each limit allows is below. Record an intake with hours_run.",
            "  ! ",
        )
    told = [item for item in kept if item.own.remaining is not None or item.family is not None]
    shown = list(kept) if whole or history is None else told
    rows = shown if whole else shown[:_ROWS]
    lines += _table(rows, words)
    if len(shown) > len(rows):
        lines.append(f"    and {len(shown) - len(rows)} more that last longer; --all lists them")
    silent = [item for item in kept if item not in told]
    if silent and history is not None and not whole:
        lines += wrapped(
            f"Of {len(silent)} more no rate can be told (mostly: no wear that stands out from the "
            "uncertainty of its reading); --all lists them.",
            "  ",
        )
    if told:
        lines += ["", *wrapped(
            "Hours of use as before. By the first figure one such part in ten has reached its "
            "limit, by the second half of them, by the third nine in ten.", "  ")]  # fmt: skip
    if history is not None:
        lines += wrapped(history.taken_for_granted, "  ")
    lines += _warnings(kept)
    return lines


def life_lines(kept: Sequence[Kept], history: History | None) -> list[str]:
    """The few lines for a plan: what is kept and may reach its limit first."""
    told = [item for item in kept if item.own.remaining is not None]
    if history is None or not told:
        return []
    lines = heading("How long what is kept should last")
    for item in told[:_FEW]:
        life = item.own.remaining
        assert life is not None
        text = f"{_name(item)}: {_said(life)}"
        lines += wrapped(text, "  • ")
    lines += wrapped(
        f"Hours of use as before, from this engine's own wear in {int(history.hours)} h. "
        "`sparkout life` has the rest and what it takes for granted.",
        "  ",
    )
    return lines


def _said(life: RemainingLife) -> str:
    return (
        f"half such parts reach the limit within {hours_said(life.p50)} h, one in ten within "
        f"{hours_said(life.p10)} h, nine in ten within {hours_said(life.p90)} h."
    ).replace("no end h", "no end in sight")


def _name(item: Kept) -> str:
    finding = item.own.finding
    feature, limit = finding.check.instance.feature, finding.check.limit.name
    if limit != finding.check.limit.characteristic:  # the sheet's own name says more
        return limit if feature in limit else f"{feature}, {limit}"
    return limit if feature in limit else str(finding.key)


def _table(some: Iterable[Kept], words: Words) -> list[str]:
    rows = [("  kept", "left", "of wear", "1 in 10", "half", "9 in 10")]
    for item in some:
        own = item.own
        left = minus(words.value(own.left, own.finding.check.limit.characteristic))
        share = f"{float(own.share * 100):.0f} %"
        rows.append((f"  {_name(item)}", left, share, *_hours(own.remaining)))
        if item.family is not None:
            rows.append(("    by its family", "", "", *_hours(item.family)))
    return table(rows, right=(1, 2, 3, 4, 5))


def _hours(life: RemainingLife | None) -> tuple[str, str, str]:
    if life is None:
        return ("–", "–", "–")
    return tuple(  # type: ignore[return-value]
        f"{hours_said(value)} h".replace("no end h", "no end")
        for value in (life.p10, life.p50, life.p90)
    )


def _warnings(kept: Iterable[Kept]) -> list[str]:
    """What speaks against relying on a forecast, said once each with the first it is about."""
    found: dict[str, str] = {}
    for item in kept:
        for life in (item.own.remaining, item.family):
            for text in () if life is None else life.warnings:
                found.setdefault(text, _name(item))
    lines: list[str] = []
    for text, name in found.items():
        lines += wrapped(minus(f"{name}: {text}"), "  ! ")
    return lines

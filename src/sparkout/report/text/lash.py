"""Valve lash in a terminal: turn the crank here, set these valves with these blades."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sparkout.assembly.feeler import FeelerPair
from sparkout.assembly.lash import LashTable, ValveLash
from sparkout.cautions import SafetyMessage
from sparkout.report.text.assembly import caution_lines
from sparkout.report.text.layout import heading, wrapped
from sparkout.sheet.model import Bounds

__all__ = ["lash_text"]

_METHODS = {
    "adjuster": "Set with the adjuster; hold it while its nut is tightened and try again.",
    "shim": "Set by shim: new shim = old shim + lash read − lash wanted.",
    "hydraulic": "Hydraulic followers: no lash is set; these are the positions for preload.",
}


def lash_text(
    engine: str,
    table: LashTable,
    read: Mapping[str, str],
    messages: Iterable[SafetyMessage] = (),
) -> list[str]:
    """Positions in the order the crank is turned. read: what was recorded of each valve."""
    lines = [*wrapped(engine), *heading("Valve lash"), *caution_lines(messages)]
    if table.method in _METHODS:
        lines += wrapped(_METHODS[table.method], "  ")
    doubt = f" [{'; '.join(table.doubts)}]" if table.doubts else ""
    for number, position in enumerate(table.positions, start=1):
        turn = f"turn on {float(position.turn_on):g}° to " if position.turn_on else ""
        lines += ["", *wrapped(f"{number}. {turn}{position.words}{doubt}", "  ", "     ")]
        for side in ("intake", "exhaust"):
            own = [table.valve(name) for name in position.set_here]
            valves = [valve for valve in own if valve is not None and valve.side == side]
            if valves:
                lines += _side(side, valves, read, table.method)
        also = [name for name in position.may_set if name not in position.set_here]
        if also:
            lines += wrapped(f"may be set here as well: {', '.join(also)}", "     ")
    lines += [""]
    for text in table.assumptions:
        lines += wrapped(text, "  ! ")
    if table.source:
        lines += wrapped(f"source: {table.source}", "  ")
    return lines


def _side(side: str, valves: list[ValveLash], read: Mapping[str, str], method: str) -> list[str]:
    names = ", ".join(
        f"{valve.valve} (read {read[valve.valve]})" if valve.valve in read else valve.valve
        for valve in valves
    )
    if method == "hydraulic":
        return wrapped(f"{side} {names}", "     ", "       ")
    first = valves[0]
    cold = _figure(first.cold, first.cold_pair, "cold")
    hot = _figure(first.hot, first.hot_pair, "hot")
    figures = "; ".join(words for words in (cold, hot) if words) or "no lash given"
    return wrapped(f"{side} {names}: {figures}", "     ", "       ")


def _figure(bounds: Bounds | None, pair: FeelerPair | None, when: str) -> str:
    if bounds is None:
        return ""
    if pair is None:
        return f"{bounds.typed} {when}, no two blades prove it"
    thumb = " [the pair is a rule of thumb]" if pair.thumb else ""
    return f"{bounds.typed} {when}: {pair.words}{thumb}"

"""The order in which valve lash is set, with what each valve is set to and what was read."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sparkout.assembly.lash import LashTable, ValveLash
from sparkout.assembly.progress import CheckState, CheckStatus, Progress
from sparkout.drawings.lash_strip import LashStep, LashStrip, LashValve, lash_strip
from sparkout.drawings.palette import Verdict as Shown

__all__ = ["draw_lash", "lash_of"]

_SHOWN: Mapping[CheckState, Shown] = MappingProxyType(
    {
        CheckState.PASSED: Shown.OK,
        CheckState.FAILED: Shown.OUT,
        CheckState.NOT_PROVEN: Shown.CHECK,
        CheckState.OPEN: Shown.NOT_MEASURED,
        CheckState.WAIVED: Shown.CHECK,
    }
)


def draw_lash(table: LashTable, progress: Progress) -> str:
    return lash_strip(lash_of(table, progress))


def lash_of(table: LashTable, progress: Progress) -> LashStrip:
    """The record behind `draw_lash`: readings of the step that sets the lash."""
    preload = table.method == "hydraulic"
    wanted = ("set-preload", "hydraulic preload") if preload else ("set-lash", "valve lash")
    read = {
        check.check.feature.rsplit(" ", 1)[-1]: check
        for status in progress.steps
        for check in status.checks
        if (status.step.id, check.check.name) == wanted
    }
    steps = tuple(
        LashStep(
            position.words,
            tuple(_valve(table.valve(name), name, read.get(name)) for name in position.set_here),
            float(position.angle - table.positions[0].angle),
        )
        for position in table.positions
    )
    notes = [*table.assumptions]
    if table.source:
        notes.append(f"Source: {table.source}.")
    name = "Valve lash, cold: the order of work"
    if preload:
        name = "Hydraulic followers: the order in which their preload is read"
    if table.doubts:
        name += f" [{'; '.join(table.doubts)}]"
    return LashStrip(name, steps, " ".join(notes))


def _valve(valve: ValveLash | None, name: str, check: CheckStatus | None) -> LashValve:
    target = ""
    if valve is not None and valve.cold is not None:
        target = valve.cold.typed.replace(" to ", "–")
    elif check is not None and check.check.bounds is not None:
        target = check.check.bounds.typed.replace(" to ", "–")
    if check is None:
        return LashValve(name, target)
    return LashValve(name, target, check.reading, _SHOWN[check.state])

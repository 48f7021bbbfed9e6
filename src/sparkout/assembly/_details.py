"""Words and checks that depend on the engine: ring gaps, lash positions, figures of the maker's."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.assembly._view import EngineView
from sparkout.assembly.step import CheckKind, StepCheck
from sparkout.engine.frame import Frame
from sparkout.sheet.assembly_model import SEEN, MakerCheck
from sparkout.units import rounded

__all__ = ["lash_words", "own_checks", "ring_words", "seen_checks"]


def seen_checks(rows: Iterable[tuple[str, str]]) -> tuple[StepCheck, ...]:
    return tuple(StepCheck(name, CheckKind.SEEN, words) for name, words in rows)


def own_checks(
    checks: Iterable[MakerCheck], view: EngineView, source: str
) -> tuple[StepCheck, ...]:
    """The maker's checks: to be seen, with limits of their own, or from the sheet's limits."""
    found: list[StepCheck] = []
    for check in checks:
        if check.dimension == SEEN:
            found.append(StepCheck(check.name, CheckKind.SEEN, check.name, source=source))
        elif check.bounds is not None:
            words = f"{check.name}: {check.bounds.typed}"
            found.append(
                StepCheck(check.name, CheckKind.FIGURE, words, "", "", check.dimension, "",
                          check.bounds, source=source)
            )  # fmt: skip
        else:
            limit = view.sheet.limits[check.name]
            found.extend(
                reading
                for reading in view.readings(limit.characteristic)
                if reading.judged is not None and reading.judged.limit.name == limit.name
            )
    return tuple(found)


def ring_words(frame: Frame, step: str) -> tuple[str, ...]:
    """Where the gaps of the rings go; spread evenly, clear of thrust faces and pin ends."""
    rings = len({ring.tags for ring in frame.of_kind("ring")})
    if step != "assemble-pistons" or rings == 0:
        return ()
    if rings == 1:
        return ("Turn the gap of the ring away from the thrust side and the pin ends.",)
    thrust = frame.notes.get("thrust side", "")
    where = f" (thrust side: {thrust})" if thrust else ""
    return (
        f"Turn the {rings} ring gaps {rounded(360 / rings, 0)}° apart, none on the thrust side"
        f"{where} or over an end of the pin.",
    )


def lash_words(view: EngineView, *, hot: bool) -> tuple[str, ...]:
    """Crank position by crank position: where to turn to, which valves, which blades."""
    table = view.lash
    if table is None:
        return ("Set each valve with its follower on the base circle.",)
    found = []
    for position in table.positions:
        turn = f"Turn on {float(position.turn_on):g}°. " if position.turn_on else ""
        doubt = f" [{'; '.join(table.doubts)}]" if table.doubts else ""
        found.append(f"{turn}{position.words[0].upper()}{position.words[1:]}: "
                     f"{', '.join(position.set_here)}.{doubt}")  # fmt: skip
    for side in ("intake", "exhaust"):
        valve = next((v for v in table.valves if v.side == side), None)
        if valve is None:
            continue
        bounds, pair = (valve.hot, valve.hot_pair) if hot else (valve.cold, valve.cold_pair)
        if bounds is not None:
            thumb = " [the pair is a rule of thumb]" if pair is not None and pair.thumb else ""
            blades = f": {pair.words}{thumb}" if pair is not None else ""
            found.append(f"{side} {bounds.typed}{' hot' if hot else ' cold'}{blades}.")
    if table.method == "adjuster":
        found.append("Hold the adjuster while its nut is tightened, and try the blades again.")
    elif table.method == "shim":
        found.append("New shim = old shim + lash read − lash wanted; turn the engine over and try "
                     "the blades again.")  # fmt: skip
    return (*found, *table.assumptions)

"""Valve lash: at which crank positions which valves may be set, and with which pair of blades."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from itertools import combinations
from operator import or_
from types import MappingProxyType
from typing import NamedTuple

from sparkout.assembly.base_circle import ASSUMED, ASSUMED_RAMP, clear_of_lobe
from sparkout.assembly.feeler import FeelerPair, feeler_pair
from sparkout.assembly.phases import CYCLE, Phases, firing_phases
from sparkout.engine.frame import Frame
from sparkout.faults import Fault, Place
from sparkout.sheet.assembly_model import CamEvents, LashSpec, LashValues
from sparkout.sheet.model import Bounds

__all__ = ["CrankPosition", "LashTable", "ValveLash", "lash_table"]

_HALF = Fraction(360)


@dataclass(frozen=True, slots=True)
class CrankPosition:
    """A top dead centre the crank is turned to.

    event: `firing`, or `overlap` a turn later. angle: crank degrees from the firing top dead centre
    of the first cylinder to fire; turn_on: from the position before. set_here: valves set at this
    one; may_set: all whose followers are on the base circle here.
    """

    cylinder: int
    event: str
    angle: Fraction
    turn_on: Fraction
    words: str
    set_here: tuple[str, ...]
    may_set: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ValveLash:
    """What one valve is set to; no pair where no lash is given or no two blades prove it."""

    valve: str
    side: str
    cold: Bounds | None = None
    cold_pair: FeelerPair | None = None
    hot: Bounds | None = None
    hot_pair: FeelerPair | None = None


@dataclass(frozen=True, slots=True)
class LashTable:
    """Positions in the order the crank is turned, valves in the order of the engine.

    assumptions: everything that was taken for granted, a sentence each. doubts: what the positions
    themselves rest on without proof, in a few words, for the line they stand on.
    """

    method: str
    positions: tuple[CrankPosition, ...]
    valves: tuple[ValveLash, ...]
    assumptions: tuple[str, ...]
    source: str = ""
    doubts: tuple[str, ...] = ()

    def valve(self, name: str) -> ValveLash | None:
        return next((valve for valve in self.valves if valve.valve == name), None)


class _Centre(NamedTuple):
    """A top dead centre, and how far each valve is from its lobe there."""

    cylinder: int
    event: str
    angle: Fraction
    clear: Mapping[str, Fraction]

    def sets(self) -> frozenset[str]:
        return frozenset(valve for valve, clear in self.clear.items() if clear > 0)


def lash_table(
    frame: Frame,
    lash: LashSpec | None = None,
    *,
    bank_angle: Fraction | None = None,
    cycle: str = "four-stroke",
    system: str = "mm",
) -> tuple[LashTable | None, tuple[Fault, ...]]:
    """Which valves are set at which crank positions, with the blades that prove each.

    A valve may be set where its follower is on the base circle (`clear_of_lobe` above zero). The
    positions are top dead centres, as those have marks: the fewest that do all valves, found by
    trying every set of them by size; of those the one whose valves stand farthest from their lobes.

    frame: layout, banks, pins, valves and firing order of the engine [-].
    lash: the sheet's word on lash, None where it says nothing [-].
    bank_angle: between the banks [°], None where not given.
    cycle: the sheet's word for the cycle [-].
    system: blades of the shop, 'mm' or 'inch' [-].
    Returns the table, or None and why there is none.
    Holds for four-stroke engines whose valves each have one lobe.
    Source: definition of the base circle; assumed events (a rule of thumb) and even firing are
    named in the table.

    >>> from sparkout.engine.frame import Bank, CylinderKind, Layout, build_frame
    >>> four = build_frame(Layout.INLINE, (Bank("", (1, 2, 3, 4)),), main_bearings=5,
    ...                    cylinder_kind=CylinderKind.PARENT_BORE, firing_order=(1, 3, 4, 2))
    >>> [position.set_here for position in lash_table(four)[0].positions]
    [('I1', 'E1', 'I2', 'E3'), ('E2', 'I3', 'I4', 'E4')]
    """
    spec = lash or LashSpec()
    phases, faults = firing_phases(frame, spec, bank_angle, cycle)
    if phases is None:
        return None, faults
    events = spec.events or ASSUMED
    centres = _centres(frame, phases, events)
    chosen, wrong = _chosen(frame, spec, centres)
    if wrong is not None:
        return None, (wrong,)
    valves, doubts = _values(frame, spec, system)
    table = LashTable(
        spec.method,
        _positions(frame, chosen),
        valves,
        _assumptions(phases, spec, valves),
        spec.source,
        _doubts(phases, spec),
    )
    return table, doubts


def _side(valve: str) -> str:
    return "intake" if valve.startswith("I") else "exhaust"


def _centres(frame: Frame, phases: Phases, events: CamEvents) -> tuple[_Centre, ...]:
    """Firing and overlap of every cylinder, the first to fire first; one for each crank angle."""
    found: dict[Fraction, _Centre] = {}
    for event, later in (("firing", Fraction(0)), ("overlap", _HALF)):
        for cylinder, phase in phases.firing.items():
            angle = (phase + later) % CYCLE
            clear = {
                valve: clear_of_lobe(
                    _side(valve), angle - phases.firing[frame.valve_cylinder(valve)], events
                )
                for valve in frame.valves
            }
            centre = _Centre(cylinder, event, angle, MappingProxyType(clear))
            found.setdefault(angle, centre)
    return tuple(found.values())


def _chosen(
    frame: Frame, spec: LashSpec, centres: Sequence[_Centre]
) -> tuple[tuple[_Centre, ...], Fault | None]:
    if spec.positions == ("fewest",):
        return _fewest(frame, centres)
    if spec.positions == ("each cylinder firing",):
        asked = [f"{cylinder} firing" for cylinder in frame.firing_order]
    else:
        asked = list(spec.positions)
    picked = []
    for words in asked:
        number, event = words.split()
        angle = next(
            (c.angle for c in centres if (str(c.cylinder), c.event) == (number, event)), None
        )
        if angle is None:  # the same place is another cylinder's; find it by its angle
            firing = next(
                c.angle for c in centres if (str(c.cylinder), c.event) == (number, "firing")
            )
            angle = (firing + _HALF) % CYCLE
        picked.append(next(c for c in centres if c.angle == angle))
    missed = _missed(frame, picked)
    if missed:
        return (), Fault(
            Place(key="lash, positions"),
            f"'{', '.join(asked)}', where {', '.join(missed)} "
            f"{'is' if len(missed) == 1 else 'are'} never on the base circle",
            "positions at which each valve is once",
            "Write 'fewest' to have them worked out.",
        )
    return tuple({c.angle: c for c in sorted(picked, key=lambda c: c.angle)}.values()), None


def _missed(frame: Frame, centres: Sequence[_Centre]) -> list[str]:
    done = frozenset[str]().union(*(centre.sets() for centre in centres))
    return [valve for valve in frame.valves if valve not in done]


def _fewest(frame: Frame, centres: Sequence[_Centre]) -> tuple[tuple[_Centre, ...], Fault | None]:
    never = _missed(frame, centres)
    if never:
        return (), Fault(
            Place(key="lash, intake opens"),
            f"events that leave {', '.join(never)} on no base circle at any top dead centre",
            "shorter openings, or the maker's own positions",
            "Check the events and the ramp.",
        )
    # One bit a valve: an engine of twelve cylinders has thousands of sets of positions to try.
    bits = {
        centre.angle: sum(1 << k for k, v in enumerate(frame.valves) if centre.clear[v] > 0)
        for centre in centres
    }
    every = (1 << len(frame.valves)) - 1
    for size in range(1, len(centres) + 1):
        fitting = [
            group
            for group in combinations(centres, size)
            if reduce(or_, (bits[centre.angle] for centre in group)) == every
        ]
        if fitting:
            # max keeps the first of equals, which begins with the first cylinder to fire
            best = max(fitting, key=lambda group: _tightest(frame, group))
            return tuple(sorted(best, key=lambda c: c.angle)), None
    raise AssertionError("all top dead centres together set every valve, as checked above")


def _tightest(frame: Frame, group: Sequence[_Centre]) -> Fraction:
    """How far the valve nearest to its lobe is from it, each set where it is farthest."""
    return min(max(centre.clear[valve] for centre in group) for valve in frame.valves)


def _positions(frame: Frame, chosen: Sequence[_Centre]) -> tuple[CrankPosition, ...]:
    best = {
        valve: max(chosen, key=lambda c, v=valve: c.clear[v])  # type: ignore[misc]
        for valve in frame.valves
    }
    found = []
    before = chosen[0].angle if chosen else Fraction(0)
    for centre in chosen:
        name = "firing" if centre.event == "firing" else "overlap (end of exhaust)"
        found.append(
            CrankPosition(
                centre.cylinder,
                centre.event,
                centre.angle,
                centre.angle - before,
                f"cylinder {centre.cylinder} at top dead centre, {name}",
                tuple(valve for valve in frame.valves if best[valve] is centre),
                tuple(valve for valve in frame.valves if centre.clear[valve] > 0),
            )
        )
        before = centre.angle
    return tuple(found)


def _values(
    frame: Frame, spec: LashSpec, system: str
) -> tuple[tuple[ValveLash, ...], tuple[Fault, ...]]:
    doubts: dict[str, Fault] = {}

    def pair(bounds: Bounds | None, key: str) -> FeelerPair | None:
        if bounds is None or bounds.low is None or bounds.high is None:
            return None
        try:
            return feeler_pair(bounds.low, bounds.high, system)
        except ValueError as error:
            doubts[key] = Fault(Place(key=f"lash, {key}"), f"'{bounds.typed}': {error}",
                                "a range that holds two blades", "", stops=False)  # fmt: skip
            return None

    def of(values: LashValues, side: str) -> Bounds | None:
        return values.intake if side == "intake" else values.exhaust

    found = []
    for valve in frame.valves:
        side = _side(valve)
        cold, hot = of(spec.cold, side), of(spec.hot, side)
        found.append(
            ValveLash(valve, side, cold, pair(cold, f"cold, {side}"), hot,
                      pair(hot, f"hot, {side}"))
        )  # fmt: skip
    return tuple(found), tuple(doubts.values())


def _doubts(phases: Phases, spec: LashSpec) -> tuple[str, ...]:
    said = []
    if phases.basis.endswith("granted") and len(phases.firing) > 1:
        said.append("even firing assumed")
    if spec.events is None:
        said.append("cam events by rule of thumb")
    elif spec.events.ramp is None:
        said.append("ramp by rule of thumb")
    return tuple(said)


def _assumptions(phases: Phases, spec: LashSpec, valves: Sequence[ValveLash]) -> tuple[str, ...]:
    said = []
    if phases.basis.endswith("granted") and len(phases.firing) > 1:
        said.append("The engine is taken to fire evenly.")
    if spec.events is None:
        said.append(
            "No cam events are given: intake valves are taken to be open from 40° before top to "
            "80° after bottom dead centre, exhaust valves from 80° before bottom to 40° after top, "
            "with 20° of ramp either side (a rule of thumb; a longer cam needs its own events)."
        )
    elif spec.events.ramp is None:
        said.append(
            f"No ramp is given: {float(ASSUMED_RAMP):g}° of crank either side of the events "
            "(a rule of thumb)."
        )
    pairs = [pair for valve in valves for pair in (valve.cold_pair, valve.hot_pair) if pair]
    if any(pair.thumb for pair in pairs):
        said.append(
            "One figure of lash is given: the blades lie 0.02 mm (0.001 in) either side of it "
            "(a rule of thumb)."
        )
    return tuple(said)

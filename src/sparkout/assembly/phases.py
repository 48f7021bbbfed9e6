"""When each cylinder fires: crank angle of its firing top dead centre, for any layout."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType

from sparkout.engine.frame import Frame
from sparkout.faults import Fault, Place
from sparkout.sheet.assembly_model import LashSpec

__all__ = ["CYCLE", "Phases", "firing_phases"]

CYCLE = Fraction(720)
_TURN = Fraction(360)
_REMEDY = "Give `firing angles` under `lash`: crank degrees in firing order, the first 0."


@dataclass(frozen=True, slots=True)
class Phases:
    """Crank degrees from the first cylinder's firing top dead centre to each one's; how known."""

    firing: Mapping[int, Fraction]
    basis: str

    @property
    def even(self) -> bool:
        angles = [*self.firing.values(), CYCLE]
        return len({b - a for a, b in pairwise(angles)}) == 1


def firing_phases(
    frame: Frame,
    lash: LashSpec,
    bank_angle: Fraction | None = None,
    cycle: str = "four-stroke",
) -> tuple[Phases | None, tuple[Fault, ...]]:
    """Crank angle at which each cylinder fires, in firing order from 0.

    From the firing angles where given; else from pin angles and bank angle: a piston is at top dead
    centre when its pin stands in line with its bank, and in firing order the crank goes on by the
    least turn that brings it there; else evenly, 720 ÷ n, which is refused where two banks share
    pins and the bank angle contradicts it.

    frame: layout, banks, pins and firing order of the engine [-].
    lash: the sheet's firing angles and pin angles, may be empty [-].
    bank_angle: between the banks [°], None where not given.
    cycle: the sheet's word for the cycle [-].
    Returns the phases, or None and why not.
    Holds for four-stroke engines.
    Source: geometry; even firing where nothing else is given is common practice.

    >>> from sparkout.engine.frame import Bank, CylinderKind, Layout, build_frame
    >>> four = build_frame(Layout.INLINE, (Bank("", (1, 2, 3, 4)),), main_bearings=5,
    ...                    cylinder_kind=CylinderKind.PARENT_BORE, firing_order=(1, 3, 4, 2))
    >>> {k: int(v) for k, v in firing_phases(four, LashSpec())[0].firing.items()}
    {1: 0, 3: 180, 4: 360, 2: 540}
    """
    order = frame.firing_order
    if cycle.startswith("two"):
        return None, (_fault("engine, cycle", f"'{cycle}'", "a four-stroke engine",
                             "Set two-stroke valves as the maker says."),)  # fmt: skip
    if lash.firing_angles:
        firing = dict(zip(order, lash.firing_angles, strict=True))
        return Phases(MappingProxyType(firing), "firing angles of the sheet"), ()
    if lash.pin_angles:
        return _from_pins(frame, lash.pin_angles, bank_angle)
    even = {cylinder: CYCLE * k / len(order) for k, cylinder in enumerate(order)}
    clash = _clash(frame, even, bank_angle)
    if clash:
        return None, (clash,)
    return Phases(MappingProxyType(even), "even firing, taken for granted"), ()


def _fault(key: str, found: str, expected: str, remedy: str) -> Fault:
    return Fault(Place(key=key), found, expected, remedy)


def _clash(
    frame: Frame, firing: Mapping[int, Fraction], bank_angle: Fraction | None
) -> Fault | None:
    """Cylinders of two banks on one pin reach top dead centre a bank angle apart, all one way."""
    if bank_angle is None or len(frame.banks) != 2:
        return None
    second = frame.banks[1].cylinders
    ways = {Fraction(bank_angle) % _TURN, -Fraction(bank_angle) % _TURN}
    for pin in frame.rods_on_pin:
        across = [c for c in pin if c in second]
        along = [c for c in pin if c not in second]
        if len(across) == 1 and len(along) == 1:
            ways &= {(firing[across[0]] - firing[along[0]]) % _TURN}
    if ways:
        return None
    return _fault("lash, firing angles",
                  f"shared crankpins, a bank angle of {float(bank_angle):g}° and the firing order "
                  f"{'-'.join(map(str, frame.firing_order))}, which cannot fire evenly",
                  "how it fires", _REMEDY)  # fmt: skip


def _from_pins(
    frame: Frame, pins: tuple[Fraction, ...], bank_angle: Fraction | None
) -> tuple[Phases | None, tuple[Fault, ...]]:
    if len(pins) != len(frame.rods_on_pin):
        return None, (_fault("lash, pin angles", f"{len(pins)} angles",
                             f"one for each of the {len(frame.rods_on_pin)} crankpins", ""),
                      )  # fmt: skip
    if len(frame.banks) == 2 and bank_angle is None:
        return None, (_fault("engine, bank angle", "nothing", "the angle between the banks",
                             "Needed together with `pin angles`."),)  # fmt: skip
    apart = Fraction(0) if bank_angle is None or len(frame.banks) < 2 else Fraction(bank_angle)
    found = []
    # The second bank may lie ahead of the first in the direction of rotation, or behind it.
    for axis in dict.fromkeys((apart, -apart)):
        firing = _in_order(frame, pins, axis)
        if firing is not None and firing not in found:
            found.append(firing)
    if len(found) == 1:
        return Phases(MappingProxyType(found[0]), "pin angles of the sheet"), ()
    why = "fit the firing order both ways round" if found else "do not fit the firing order"
    return None, (_fault("lash, pin angles", f"pin angles that {why}", "how it fires", _REMEDY),)


def _in_order(
    frame: Frame, pins: tuple[Fraction, ...], axis: Fraction
) -> dict[int, Fraction] | None:
    """Least turns from one firing to the next, or None where they do not make up one cycle."""
    centre = {}
    for cylinder in frame.cylinders:
        second = len(frame.banks) == 2 and cylinder in frame.banks[1].cylinders
        bank = axis if second else Fraction(0)
        centre[cylinder] = (bank - pins[frame.pin_of(cylinder) - 1]) % _TURN
    order = frame.firing_order
    firing = {order[0]: Fraction(0)}
    at = Fraction(0)
    for one, other in pairwise((*order, order[0])):
        at += (centre[other] - centre[one]) % _TURN or _TURN
        firing.setdefault(other, at)
    return firing if at == (CYCLE if len(order) > 1 else _TURN) else None

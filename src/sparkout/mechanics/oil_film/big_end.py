"""Load on a big-end bearing over a four-stroke cycle, in the rod's own frame."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.slider_crank import (
    SliderCrank,
    piston_acceleration,
    piston_drop,
    piston_stroke,
    rod_angle,
)

__all__ = ["PinLoads", "big_end_loads", "estimated_pressures"]


class PinLoads(NamedTuple):
    """Load on the crank pin at equal steps of the cycle, axes fixed to the rod.

    along: towards the small end [N], so the firing load presses the pin into the rod's upper shell.
    aside: square to it, turned with the crank's rotation [N]. mean_spin: half the pin's speed in
    the rod over the crank's [-]: what drags the oil round.
    """

    step: float
    """crank degrees between entries; the first is at 0° [°]"""
    along: tuple[float, ...]
    aside: tuple[float, ...]
    mean_spin: tuple[float, ...]


def big_end_loads(
    mechanism: SliderCrank,
    bore: float,
    rev_per_min: float,
    reciprocating_mass: float,
    rotating_mass: float,
    pressures: Sequence[float],
) -> PinLoads:
    """Load on the crank pin from gas and inertia over a cycle.

    S = (p × π/4 D² − m_rec × w) ÷ cos β along the rod; load on the pin = −(S towards the pin +
    m_rot × a × ω² outwards); spin = (1 + a cos θ ÷ (l cos β)) ÷ 2.

    mechanism: throw, rod and offset [mm].
    bore: cylinder diameter [mm], above zero.
    rev_per_min: crank speed [1/min], above zero.
    reciprocating_mass: piston, pin, rings, small end of the rod [g], above zero.
    rotating_mass: big end of the rod with cap, bolts and shells [g], above zero.
    pressures: gauge cylinder pressure at equal steps of 720°, the first at firing top dead
    centre (throw up, 0°) [MPa], 72 or more.
    Returns the loads and spins at the same steps [N].
    Holds for the rod as two masses, even speed, no piston friction.
    Source: Heywood, Internal Combustion Engine Fundamentals (1988), chapter 2, and textbook
    dynamics of the slider crank.
    Raises ValueError naming the number when one is out of range.

    >>> loads = big_end_loads(SliderCrank(60.0, 205.0), 100.0, 2200.0, 2600.0, 1500.0, [0.0] * 72)
    >>> round(loads.along[0])
    -15480
    """
    _bounds.above("bore", bore, 0.0, "mm")
    _bounds.above("rev_per_min", rev_per_min, 0.0, "1/min")
    _bounds.above("reciprocating_mass", reciprocating_mass, 0.0, "g")
    _bounds.above("rotating_mass", rotating_mass, 0.0, "g")
    _bounds.at_least("number of pressures", len(pressures), 72)
    step = 720.0 / len(pressures)
    area = math.pi / 4.0 * bore**2
    speed = rev_per_min * math.pi / 30.0
    outward = rotating_mass * 1e-6 * mechanism.throw * speed**2  # g mm/s² to N
    along, aside, spins = [], [], []
    for number, pressure in enumerate(pressures):
        _bounds.finite("pressure", pressure, "MPa")
        degrees = number * step
        turn = math.radians(degrees)
        lean = math.radians(rod_angle(mechanism, degrees))
        inertia = reciprocating_mass * 1e-3 * piston_acceleration(mechanism, degrees, rev_per_min)
        thrust = (pressure * area - inertia) / math.cos(lean)
        # Real axis: along the bore away from the shaft; imaginary: where the throw moves to at 0°.
        to_pin = thrust * cmath.exp(1j * (math.pi - lean)) + outward * cmath.exp(1j * turn)
        in_rod = -to_pin * cmath.exp(1j * lean)
        along.append(in_rod.real)
        aside.append(in_rod.imag)
        swing = mechanism.throw * math.cos(turn) / (mechanism.rod * math.cos(lean))
        spins.append((1.0 + swing) / 2.0)
    return PinLoads(step, tuple(along), tuple(aside), tuple(spins))


def estimated_pressures(
    mechanism: SliderCrank,
    ratio: float,
    peak_pressure: float,
    peak_angle: float = 10.0,
    steps: int = 360,
) -> tuple[float, ...]:
    """A plausible cylinder pressure over a cycle when none was measured. An estimate, nothing more.

    Compression p = 0.1 MPa × (V/Vc)^−1.33 × r^1.33; a smooth rise to the peak; expansion with
    exponent 1.28 from it; blow-down from 150° to 180°; gauge zero while the valves breathe.

    mechanism: throw, rod and offset [mm].
    ratio: compression ratio [-], 4 to 25.
    peak_pressure: largest gauge pressure [MPa], above that of compression alone.
    peak_angle: of the peak, after top dead centre [°], 4 to 30.
    steps: of the cycle [-], 72 or more.
    Returns gauge pressures at equal steps of 720°, the first at firing top dead centre [MPa].
    Holds as an estimate only: film thickness from it compares clearances, it proves nothing.
    Source: polytropic compression and expansion with usual exponents, common practice.
    Raises ValueError naming the number when one is out of range.

    >>> trace = estimated_pressures(SliderCrank(60.0, 205.0), 16.0, 14.0)
    >>> round(max(trace), 1), trace.index(max(trace)) * 2
    (14.0, 10)
    """
    _bounds.within("ratio", ratio, 4.0, 25.0)
    _bounds.within("peak_angle", peak_angle, 4.0, 30.0, "°")
    _bounds.at_least("steps", steps, 72)
    atmosphere = 0.1

    def volume(degrees: float) -> float:
        part = piston_drop(mechanism, degrees) / piston_stroke(mechanism)
        return 1.0 + (ratio - 1.0) * part

    def compressed(degrees: float) -> float:
        return float(atmosphere * (ratio / volume(degrees)) ** 1.33) - atmosphere

    _bounds.above("peak_pressure", peak_pressure, compressed(0.0), "MPa")
    top = (peak_pressure + atmosphere) * volume(peak_angle) ** 1.28
    start = -peak_angle / 2.0
    trace = []
    for number in range(steps):
        degrees = number * 720.0 / steps
        before_firing = degrees - 720.0 if degrees > 540.0 else degrees
        if before_firing < start:
            pressure = compressed(before_firing)
        elif degrees <= peak_angle or before_firing < 0.0:
            part = (before_firing - start) / (peak_angle - start)
            smooth = part * part * (3.0 - 2.0 * part)
            pressure = (1.0 - smooth) * compressed(before_firing) + smooth * peak_pressure
        elif degrees < 180.0:
            pressure = float(top / volume(degrees) ** 1.28) - atmosphere
            if degrees > 150.0:
                pressure *= (180.0 - degrees) / 30.0
        else:
            pressure = 0.0
        trace.append(pressure)
    return tuple(trace)

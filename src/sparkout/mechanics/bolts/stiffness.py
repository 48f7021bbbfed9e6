"""How far bolt and clamped parts give: the springs behind stretch and angle tightening."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.bolts.threads import Thread

__all__ = ["Layer", "bolt_compliance", "clamped_compliance", "preload_from_stretch", "stretch"]


class Layer(NamedTuple):
    """One clamped part: thickness [mm], Young's modulus [MPa], outside diameter [mm]."""

    thickness: float
    youngs_modulus: float
    outside: float = math.inf


def bolt_compliance(
    thread: Thread,
    shanks: Sequence[tuple[float, float]],
    free_thread: float,
    youngs_modulus: float,
    nut_side: float = 0.4,
) -> float:
    """Stretch of a bolt per newton, head and engaged thread included.

    δ = Σ 4 l ÷ (E π d²) + lG ÷ (E A3) + 0.5 d ÷ (E A3) + (0.5 + nut_side) d ÷ (E A), A = π d² ÷ 4
    of the nominal and A3 of the root diameter.

    thread: the thread's sizes [mm].
    shanks: (length, diameter) of each plain part of the shank in the grip [mm], may be empty.
    free_thread: length of thread in the grip, not engaged [mm], zero or more.
    youngs_modulus: of the bolt [MPa], above zero.
    nut_side: share of d that stands for the nut, 0.4, or for a tapped hole, 0.33 [-].
    Returns the compliance [mm/N].
    Holds for hexagon or cap heads; a stud has no head part, so its stretch is overstated by 0.5 d.
    Source: VDI 2230-1:2003, 5.1.1 (recalled from memory).
    Raises ValueError naming the number when one is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(bolt_compliance(metric_thread("M10"), ((60.0, 10.0),), 20.0, 205e3) * 1e6, 2)
    6.62
    """
    _bounds.above("youngs_modulus", youngs_modulus, 0.0, "MPa")
    _bounds.at_least("free_thread", free_thread, 0.0, "mm")
    _bounds.within("nut_side", nut_side, 0.0, 1.0)
    root_area = math.pi / 4.0 * thread.root_diameter**2
    nominal_area = math.pi / 4.0 * thread.major**2
    ratios = (free_thread + 0.5 * thread.major) / root_area
    ratios += (0.5 + nut_side) * thread.major / nominal_area
    for length, diameter in shanks:
        _bounds.at_least("shank length", length, 0.0, "mm")
        _bounds.above("shank diameter", diameter, 0.0, "mm")
        ratios += length / (math.pi / 4.0 * diameter**2)
    return ratios / youngs_modulus


def _cone(
    length: float, start: float, hole: float, outside: float, slope: float, modulus: float
) -> float:
    """Compliance of a cone that widens from `start`, a sleeve once it meets the outside."""
    start = min(start, outside)
    grown = min(length, (outside - start) / (2.0 * slope))
    end = start + 2.0 * slope * grown
    # ∫ dz ÷ (E A) with A = π/4 (D² − h²), D growing linearly.
    cone = math.log((end - hole) * (start + hole) / ((end + hole) * (start - hole))) / (
        math.pi * modulus * slope * hole
    )
    rest = length - grown
    sleeve = 4.0 * rest / (math.pi * modulus * (outside**2 - hole**2)) if rest > 0.0 else 0.0
    return cone + sleeve


def clamped_compliance(
    layers: Sequence[Layer],
    head_diameter: float,
    hole: float,
    tapped: bool = False,
    half_angle: float = 30.0,
) -> float:
    """Squeeze of the clamped parts per newton: pressure cones from the bearing faces inwards.

    δ = Σ ∫ dz ÷ (E × π ÷ 4 × (D(z)² − h²)); D(z) grows by 2 tan(angle) a mm from each bearing face
    to the middle of the grip (a through bolt) or from the head alone (a tapped hole), at most to
    the part's outside.

    layers: clamped parts from the head on, without the tapped part [mm, MPa].
    head_diameter: outside of the bearing face [mm], above the hole.
    hole: clearance hole [mm], above zero.
    tapped: whether the bolt goes into a thread in the last part [-].
    half_angle: of the pressure cone [°], 20 to 45; 30° is the textbook's habit.
    Returns the compliance [mm/N].
    Holds for stiff, flat, touching parts; a gasket is a layer of its own only if its E is known.
    Source: Shigley's Mechanical Engineering Design, 10th edition, 8-5 (frusta of 30°).
    Raises ValueError naming the number when one is out of range, or without layers.

    >>> round(clamped_compliance((Layer(80.0, 110e3),), 16.0, 11.0) * 1e6, 3)
    1.211
    """
    _bounds.above("hole", hole, 0.0, "mm")
    _bounds.above("head_diameter", head_diameter, hole, "mm")
    _bounds.within("half_angle", half_angle, 20.0, 45.0, "°")
    if not layers:
        raise ValueError("layers is empty; there has to be one clamped part or more")
    for layer in layers:
        _bounds.above("layer thickness", layer.thickness, 0.0, "mm")
        _bounds.above("layer Young's modulus", layer.youngs_modulus, 0.0, "MPa")
        if not layer.outside > hole:
            raise ValueError(
                f"layer outside is {layer.outside:.6g} mm; it has to be above the hole, {hole:.6g} "
                "mm"
            )
    if tapped:
        return _from_face(layers, head_diameter, hole, half_angle)
    half = sum(layer.thickness for layer in layers) / 2.0
    upper = _from_face(_up_to(layers, half), head_diameter, hole, half_angle)
    lower = _from_face(_up_to(layers[::-1], half), head_diameter, hole, half_angle)
    return upper + lower


def _up_to(layers: Sequence[Layer], depth: float) -> list[Layer]:
    taken: list[Layer] = []
    for layer in layers:
        if depth <= 0.0:
            break
        thickness = min(layer.thickness, depth)
        taken.append(layer._replace(thickness=thickness))
        depth -= thickness
    return taken


def _from_face(
    layers: Sequence[Layer], head_diameter: float, hole: float, half_angle: float
) -> float:
    slope = math.tan(math.radians(half_angle))
    depth = total = 0.0
    for layer in layers:
        start = head_diameter + 2.0 * slope * depth
        total += _cone(layer.thickness, start, hole, layer.outside, slope, layer.youngs_modulus)
        depth += layer.thickness
    return total


def stretch(preload: float, compliance: float) -> float:
    """Elastic stretch of a bolt.

    f = F × δ.

    preload: clamp load [N], zero or more.
    compliance: of the bolt, from `bolt_compliance` [mm/N], above zero.
    Returns how much longer the bolt is under load [mm].
    Holds below yield; see `yielding.yield_share`.
    Source: Hooke's law; VDI 2230-1:2003, 5.1.
    Raises ValueError naming the number when one is out of range.

    >>> round(stretch(40000.0, 6.62e-6), 3)
    0.265
    """
    _bounds.at_least("preload", preload, 0.0, "N")
    _bounds.above("compliance", compliance, 0.0, "mm/N")
    return preload * compliance


def preload_from_stretch(
    measured_stretch: float, compliance: float, thread: Thread, yield_strength: float
) -> float:
    """Preload of a bolt from its measured stretch.

    F = f ÷ δ, refused where F ÷ As passes yield.

    measured_stretch: length tight less length free [mm], zero or more.
    compliance: of the bolt, from `bolt_compliance` [mm/N], above zero.
    thread: the thread's sizes [mm].
    yield_strength: yield or 0.2 % proof stress of the bolt [MPa], above zero.
    Returns the preload [N].
    Holds below yield: past it, stretch no longer tells the load.
    Source: Hooke's law; VDI 2230-1:2003, 5.1.
    Raises ValueError when the load would be past yield, or a number is out of range.

    >>> from sparkout.mechanics.bolts.threads import metric_thread
    >>> round(preload_from_stretch(0.20, 6.62e-6, metric_thread("M10"), 940.0))
    30211
    """
    _bounds.at_least("measured_stretch", measured_stretch, 0.0, "mm")
    _bounds.above("compliance", compliance, 0.0, "mm/N")
    _bounds.above("yield_strength", yield_strength, 0.0, "MPa")
    preload = measured_stretch / compliance
    limit = yield_strength * thread.stress_area
    if preload > limit:
        raise ValueError(
            f"measured_stretch is {measured_stretch:.6g} mm, {preload:.0f} N if it were elastic; "
            f"the bolt yields at {limit:.0f} N ({limit * compliance:.4g} mm), so it is past yield: "
            "the stretch has to be below that to tell the load"
        )
    return preload

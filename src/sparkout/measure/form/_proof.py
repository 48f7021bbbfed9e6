"""Why no better feature exists: bounds that reach from the contacts to every other place.

A distance r(c) from a moving centre c is convex, so it lies above its tangent; and it lies below
its tangent plus s²/(2(r − s)) for a shift of length s. With the sharpness of the contacts (least
rise of the value per mm by tangents alone) this gives a disc round the optimum in which nothing is
better: its radius is the *reach*, of the order of the radius itself, where form is of the order of
micrometres. Farther out, readings all round the turn exclude a better centre: see `safe_shift`.
"""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._points import Floats

__all__ = [
    "axis_reach",
    "contact_sharpness",
    "covering_angle",
    "disc_reach",
    "inscribed_is_global",
    "safe_shift",
]

_LOOKS = 32
_ANGLES = np.arange(_LOOKS) * (2.0 * np.pi / _LOOKS)
_COMPASS = np.ascontiguousarray(np.stack([np.cos(_ANGLES), np.sin(_ANGLES)], axis=1))
_COMPASS.setflags(write=False)


def covering_angle(ways: Floats) -> float:
    """An angle within which every direction has a reading, in radians; at most a little too large.

    ways: unit vectors from the centre to the readings, one per column. Looks in 32 directions and
    allows for the half step between them, which costs no sorting.
    """
    nearest = float((_COMPASS @ ways).max(axis=1).min())
    return math.acos(min(max(nearest, -1.0), 1.0)) + math.pi / _LOOKS


def contact_sharpness(values: Floats, ways: Floats, upper: bool, lower: bool) -> float:
    """Least rise of a circle's value per mm of shift, from every reading that touches.

    Shifting by d raises the largest distance by max(−u·d) over the outer contacts and lowers the
    smallest by max(u·d) over the inner ones. Their sum is the support of a polygon, least square to
    one of its sides, which are the sides of the contacts' own polygons. Below 0 off an optimum.
    """
    highest, lowest = float(values.max()), float(values.min())
    near = 64.0 * float(np.finfo(float).eps) * highest
    groups = []
    if upper:
        groups.append(-ways[:, values >= highest - near])
    if lower:
        groups.append(ways[:, values <= lowest + near])
    looks: list[float] = []
    for group in groups:
        turns = np.sort(np.arctan2(group[1], group[0]))
        gaps = np.diff(np.append(turns, turns[0] + 2.0 * np.pi))
        looks.extend((turns + 0.5 * gaps).tolist())
    normals = np.stack([np.cos(looks), np.sin(looks)], axis=1)
    total = np.zeros(len(looks))
    for group in groups:
        total += (normals @ group).max(axis=1)
    return float(total.min())


def disc_reach(sharpness: float, inner: float) -> float:
    """Shift within which sharpness·s ≥ s²/(2(inner − s)) [mm]."""
    return 2.0 * sharpness * inner / (1.0 + 2.0 * sharpness)


def safe_shift(highest: float, lowest: float, angle: float) -> float:
    """Shift beyond which no centre can have a zone as narrow as highest − lowest [mm]; or infinity.

    At shift s in any direction some reading lies within `angle` of straight behind and some other
    within `angle` of straight ahead. With C = cos(angle) > 0 their distances differ by at least

        √(lo² + s² + 2 lo s C) − max over r in {lo, hi} of √(r² + s² − 2 r s C),

    which grows with s (both terms are x/√(x² + 1) rules with s/lo + C ≥ s/r − C). So the first
    shift that makes it as large as the zone bounds all centres that could do better.
    """
    if angle >= 0.5 * math.pi - 1e-6:
        return math.inf
    cosine = math.cos(angle)
    zone = highest - lowest
    shift = 1.02 * zone / cosine + 1e-15 * highest
    for _ in range(60):
        behind = math.sqrt(lowest * lowest + shift * (shift + 2.0 * lowest * cosine))
        ahead = max(
            math.sqrt(max(r * r + shift * (shift - 2.0 * r * cosine), 0.0))
            for r in (lowest, highest)
        )
        if behind - ahead >= zone:
            return shift
        shift *= 1.25
        if shift > lowest:
            break
    return math.inf


def inscribed_is_global(highest: float, lowest: float, angle: float, reach: float) -> bool:
    """Whether no larger inscribed circle has its centre within the outer circle.

    At shift s a reading within `angle` of straight ahead, at most `highest` away, is nearer than
    `lowest` while s lies between the roots of s² − 2 highest C s + highest² − lowest² = 0.
    """
    if angle >= 0.5 * math.pi - 1e-6:
        return False
    middle = highest * math.cos(angle)
    root = middle * middle - highest * highest + lowest * lowest
    if root <= 0.0:
        return False
    width = math.sqrt(root)
    return middle - width <= reach and middle + width >= highest


def axis_reach(sharpness: float, highest: float, lowest: float, half_length: float) -> float:
    """Shift of an axis within which nothing is better [mm].

    Shift and tilt are measured together, s² = shift² + (half_length·tilt)². Distances from a
    tilted axis are at least cos(tilt) times those square to the old axis, and every reading's axis
    point moves by at most √2 s, so the value rises by at least
    sharpness·s − s²·[(highest + √2 s)/(2 half_length²) + 1/(lowest − √2 s)].
    """
    if sharpness <= 0.0 or half_length <= 0.0 or lowest <= 0.0:
        return 0.0
    shift = 0.0
    trial = 0.5 * lowest
    for _ in range(60):
        grown = math.sqrt(2.0) * trial
        if grown < lowest and sharpness >= trial * (
            (highest + grown) / (2.0 * half_length**2) + 1.0 / (lowest - grown)
        ):
            shift = trial
            break
        trial *= 0.8
    return shift

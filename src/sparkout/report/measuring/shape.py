"""The form of one feature from its points: every reference of the standards with its proof, the
lobes of a round one, the least cut of a flat one, and what these points cannot show."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Literal, TypeAlias

from sparkout.measure.form.blind import blind_spots
from sparkout.measure.form.circle import associated_circle
from sparkout.measure.form.cylinder import associated_cylinder
from sparkout.measure.form.harmonics import Harmonic, trace_harmonics
from sparkout.measure.form.line import associated_line
from sparkout.measure.form.plane import associated_plane, in_plane
from sparkout.measure.form.records import (
    CircleFit,
    CylinderFit,
    LineFit,
    Method,
    PlaneFit,
    Scope,
    UndeterminedError,
)

__all__ = [
    "FORMS",
    "Fit",
    "FormName",
    "Section",
    "Shape",
    "across_face",
    "axis_frame",
    "reading_numbers",
    "scope_words",
    "seen_from",
    "shape_of",
]

FormName = Literal["roundness", "cylindricity", "flatness", "straightness"]
FORMS: tuple[FormName, ...] = ("roundness", "cylindricity", "flatness", "straightness")
Fit: TypeAlias = CircleFit | CylinderFit | PlaneFit | LineFit
_Point = tuple[float, ...]

_ROUND = (Method.MINIMUM_ZONE, Method.LEAST_SQUARES, Method.CIRCUMSCRIBED, Method.INSCRIBED)
_FLAT = (Method.MINIMUM_ZONE, Method.LEAST_SQUARES)
# More directions than this show every lobing that a person asks about; the search for what they
# hide grows with the cube of their number.
_MANY = 40
_LYING = 0.7  # cosine of the slope up to which a face is drawn by its own x and y
_HIGHEST = 15  # undulations per revolution, the coarsest roundness filter of ISO 12181-2


@dataclass(frozen=True, slots=True)
class Section:
    """Roundness of one level of a bore or journal, by the minimum zone [mm]."""

    level: float
    form: float
    diameter: float
    readings: int


@dataclass(frozen=True, slots=True)
class Shape:
    """What was found; lengths in mm. points: in the order given, as they were fitted.

    angles: direction of each point as the file or the picture counts it, round features only.
    lobes: strongest first. notes: what was done with the points before fitting.
    """

    what: FormName
    points: tuple[_Point, ...]
    fits: Mapping[Method, Fit]
    angles: tuple[float, ...] = ()
    lobes: tuple[Harmonic, ...] = ()
    sections: tuple[Section, ...] = ()
    cannot_show: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def best(self) -> Fit:
        return self.fits[Method.MINIMUM_ZONE]


def shape_of(
    what: FormName, points: Sequence[_Point], angles: Sequence[float] | None = None
) -> Shape:
    """The form asked for.

    points: (x, y) or (x, y, z) [mm]. angles: of each point, where the file gave them.
    Raises UndeterminedError (a ValueError) in words where the points do not determine it.
    """
    if what == "roundness":
        return _roundness(points, angles)
    if what == "cylindricity":
        return _cylindricity(points, angles)
    if what == "flatness":
        return _flatness(points)
    return _straightness(points)


def scope_words(fit: Fit) -> str:
    """How far the proof of a reference reaches, in a word or two."""
    proof = fit.proof
    if proof.scope is Scope.GLOBAL:
        return "proven"
    reach = getattr(proof, "reach", 0.0)
    if proof.scope is Scope.REACH and reach > 0:
        return f"to {reach:.2g} mm"
    return "local"


def reading_numbers(fit: Fit) -> tuple[int, ...]:
    """The readings that hold the reference in place, counted from 1."""
    return tuple(sorted(contact.index + 1 for contact in fit.contacts if contact.share > 0))


def _roundness(points: Sequence[_Point], angles: Sequence[float] | None) -> Shape:
    notes: tuple[str, ...] = ()
    flat: Sequence[tuple[float, float]]
    if len(points[0]) == 3:
        levels = {point[2] for point in points}
        if len(levels) == 1:
            flat = [(point[0], point[1]) for point in points]
        else:
            plane = associated_plane(points, Method.LEAST_SQUARES)
            flat = in_plane(points, plane)
            notes = ("The points were taken into the plane that fits them best; what they stand "
                     f"off it ({1000 * plane.form:.2f} µm) is left out.",)  # fmt: skip
    else:
        flat = [(point[0], point[1]) for point in points]
    fits = {method: associated_circle(flat, method) for method in _ROUND}
    middle = fits[Method.LEAST_SQUARES]
    assert isinstance(middle, CircleFit)
    turns = _turns(flat, middle, angles)
    return Shape(
        "roundness",
        tuple(flat),
        MappingProxyType(fits),
        turns,
        _lobes(flat, middle, turns),
        (),
        _round_blind(turns, (0.0,), True),
        notes,
    )


def _turns(
    flat: Sequence[tuple[float, float]], middle: CircleFit, angles: Sequence[float] | None
) -> tuple[float, ...]:
    """Direction of each point about the middle [°]: as the file says, else from x towards y."""
    if angles is not None:
        return tuple(angle % 360.0 for angle in angles)
    return tuple(math.degrees(math.atan2(y - middle.y, x - middle.x)) % 360.0 for x, y in flat)


def _lobes(
    flat: Sequence[tuple[float, float]], middle: CircleFit, turns: Sequence[float]
) -> tuple[Harmonic, ...]:
    """Oval, three lobes and so on, strongest first; none where the points are too few."""
    different = len({round(turn, 3) for turn in turns})
    highest = min(_HIGHEST, (different - 2) // 2)
    if highest < 2:
        return ()
    radii = [math.hypot(x - middle.x, y - middle.y) for x, y in flat]
    try:
        found = trace_harmonics(turns, radii, highest)
    except UndeterminedError:
        return ()
    if found.warnings:
        return ()
    parts = [part for part in found.parts if part.order > 1]
    return tuple(sorted(parts, key=lambda part: -part.amplitude))


def _round_blind(turns: Sequence[float], levels: Sequence[float], one: bool) -> tuple[str, ...]:
    """What single readings at these directions and levels cannot show."""
    directions = sorted({round(turn, 1) % 360.0 for turn in turns})
    few = directions if len(directions) <= _MANY else [0.0, 90.0, 180.0, 270.0]
    words = list(blind_spots(few, levels, two_point=False))
    if len(directions) > _MANY:
        words = [word for word in words if "lobe" not in word and "lobing" not in word]
        gaps = [b - a for a, b in pairwise(directions)]
        gaps.append(360.0 - directions[-1] + directions[0])
        widest = max(gaps)
        words.insert(
            0,
            f"Lobes finer than {int(180 / widest) if widest < 180 else 1} round the turn: the "
            f"widest gap between readings is {widest:.1f}°, and what is finer than twice the gap "
            "reads as something coarser.",
        )
    if one:
        words = [
            "One section shows no taper, barrel, step or bend of the axis."
            if word.startswith("One level")
            else word
            for word in words
        ]
    words.append(
        "Whether the part was free of the strain of clamping, and whether the axis it turned about "
        "ran true: both read as form."
        if one
        else "Whether the part was free of the strain of clamping: it reads as form."
    )
    return tuple(words)


def _cylindricity(points: Sequence[_Point], angles: Sequence[float] | None) -> Shape:
    # Angles were counted about an axis that z follows; points alone do not say where it lies.
    near = None if angles is None else (0.0, 0.0, 1.0)
    fits = {method: associated_cylinder(points, method, near) for method in _ROUND}
    middle = fits[Method.LEAST_SQUARES]
    assert isinstance(middle, CylinderFit)
    frame = axis_frame(middle.direction)
    across = [seen_from(point, middle.point, frame) for point in points]
    levels = sorted({round(seen[2], 3) for seen in across})
    turns = (
        tuple(angle % 360.0 for angle in angles)
        if angles is not None
        else tuple(math.degrees(math.atan2(seen[1], seen[0])) % 360.0 for seen in across)
    )
    sections = _sections(across) if len(levels) <= len(points) // 4 else ()
    shown = [section.level for section in sections] or [levels[0], levels[-1]]
    shift = min(shown)
    blind = _round_blind(turns, [round(level - shift, 2) for level in shown], False)
    return Shape("cylindricity", tuple(map(tuple, points)), MappingProxyType(fits), turns, (),
                 sections, blind)  # fmt: skip


def axis_frame(axis: tuple[float, float, float]) -> tuple[_Point, _Point, _Point]:
    """Two directions across an axis, and the axis; x stays near x for an upright one."""
    ax, ay, az = axis
    start = (1.0, 0.0, 0.0) if abs(ax) < 0.9 else (0.0, 1.0, 0.0)
    dot = start[0] * ax + start[1] * ay + start[2] * az
    u = tuple(s - dot * a for s, a in zip(start, axis, strict=True))
    size = math.sqrt(math.fsum(part * part for part in u))
    u = tuple(part / size for part in u)
    v = (ay * u[2] - az * u[1], az * u[0] - ax * u[2], ax * u[1] - ay * u[0])
    return u, v, axis


def seen_from(
    point: _Point, origin: tuple[float, float, float], frame: tuple[_Point, _Point, _Point]
) -> tuple[float, float, float]:
    """A point across an axis, twice, and along it."""
    away = [p - o for p, o in zip(point, origin, strict=True)]
    u, v, w = (math.fsum(part * a for part, a in zip(away, way, strict=True)) for way in frame)
    return u, v, w


def _sections(across: Sequence[tuple[float, float, float]]) -> tuple[Section, ...]:
    """Roundness of each level; levels a twentieth of a millimetre apart are one."""
    ordered = sorted(across, key=lambda seen: seen[2])
    groups: list[list[tuple[float, float, float]]] = []
    for seen in ordered:
        if groups and seen[2] - groups[-1][0][2] <= 0.05:
            groups[-1].append(seen)
        else:
            groups.append([seen])
    made = []
    for group in groups:
        if len(group) < 4:
            return ()
        fit = associated_circle([seen[:2] for seen in group], Method.MINIMUM_ZONE)
        level = math.fsum(seen[2] for seen in group) / len(group)
        made.append(Section(level, fit.form, fit.diameter, len(group)))
    return tuple(made)


def _flatness(points: Sequence[_Point]) -> Shape:
    fits = {method: associated_plane(points, method) for method in _FLAT}
    return Shape(
        "flatness",
        tuple(map(tuple, points)),
        MappingProxyType(fits),
        cannot_show=_flat_blind(across_face(points, fits[Method.MINIMUM_ZONE])),
    )


def across_face(points: Sequence[_Point], plane: PlaneFit) -> tuple[tuple[float, float], ...]:
    """Where each reading is on the face: x and y where it lies, square to it where it stands."""
    if abs(plane.normal[2]) > _LYING:
        return tuple((point[0], point[1]) for point in points)
    return in_plane(points, plane)


def _flat_blind(points: Sequence[tuple[float, float]]) -> tuple[str, ...]:
    nearest = [
        min(math.hypot(a[0] - b[0], a[1] - b[1]) for b in points if (a[0], a[1]) != (b[0], b[1]))
        for a in (points if len(points) <= 400 else points[:: len(points) // 400 + 1])
    ]
    far = max(nearest)
    words = [
        f"A hollow or bump between the readings: neighbours are up to {far:.0f} mm apart.",
        "Anything outside the readings: the edge of the face beyond the outermost ones.",
        "A score, pit or step narrower than the ball or foot of the gauge.",
        "How the face lies when it is bolted down: it was read as it lay. Say how it was "
        "supported.",
    ]
    if len(points) < 9:
        words.insert(
            0,
            f"Twist apart from bow: {len(points)} readings are too few; take corners, middles of "
            "the sides and the centre, nine at least.",
        )
    return tuple(words)


def _straightness(points: Sequence[_Point]) -> Shape:
    flat = [(point[0], point[1]) for point in points]
    fits = {method: associated_line(flat, method) for method in _FLAT}
    along = sorted(x for x, _ in flat)
    gap = max((b - a for a, b in pairwise(along)), default=0.0)
    words = [
        f"A hollow or bump between the readings: they are up to {gap:.3g} mm apart.",
        "Straightness the other way: one line lies in one plane only.",
        "The straightness of what was measured against: the edge, slide or wire is in it.",
    ]
    if len(flat) < 4:
        words.insert(0, f"An S-shape: {len(flat)} readings show one bow at most.")
    return Shape("straightness", tuple(flat), MappingProxyType(fits), cannot_show=tuple(words))

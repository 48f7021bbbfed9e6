"""Two-point readings of one bore over level and direction: where it is worn, how far, and what such
readings cannot show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sparkout.drawings.palette import Verdict
from sparkout.engine.dimension import Key
from sparkout.load import Job
from sparkout.measure.form.blind import blind_spots
from sparkout.measure.form.two_point import taper, two_point_out_of_round
from sparkout.report.pictures.bores import bores_of
from sparkout.sheet.model import Side
from sparkout.units import QuantityError, parse

__all__ = ["Bore", "angle_of", "blind_words", "bores_of_job", "judged_bores"]

SIZE = "bore diameter"
# Where words say the direction. The crankshaft runs along the block: thrust is square to it.
_ANGLES = {"axial": 0.0, "thrust": 90.0, "lengthwise": 0.0, "crosswise": 90.0}


@dataclass(frozen=True, slots=True)
class Bore:
    """Diameters [mm]: a row for each level, a column for each direction, None where not read.

    depths: of the levels [mm], empty where only their names are known. angles: of the directions
    [°]. nominal: what deviations are from. low, high: limits of the diameter. twice: how many
    places were read more than once; the largest reading counts there.
    """

    name: str
    levels: tuple[str, ...]
    depths: tuple[float, ...]
    directions: tuple[str, ...]
    angles: tuple[float, ...]
    diameters: tuple[tuple[float | None, ...], ...]
    nominal: float
    low: float | None = None
    high: float | None = None
    twice: int = 0

    @property
    def known(self) -> tuple[float, ...]:
        return tuple(value for row in self.diameters for value in row if value is not None)

    @property
    def missing(self) -> int:
        return sum(value is None for row in self.diameters for value in row)

    def out(self, value: float) -> bool:
        return (self.low is not None and value < self.low) or (
            self.high is not None and value > self.high
        )

    def place_of(self, value: float) -> str:
        """Where the first reading of this value is."""
        for level, row in zip(self.levels, self.diameters, strict=True):
            for way, found in zip(self.directions, row, strict=True):
                if found == value:
                    return ", ".join(word for word in (level, way) if word)
        raise LookupError(f"{value!r} is no reading of {self.name}")

    def out_of_round(self) -> tuple[float | None, ...]:
        """Largest less smallest diameter of each level [mm]."""
        rows = ([value for value in row if value is not None] for row in self.diameters)
        return tuple(two_point_out_of_round(row) if len(row) > 1 else None for row in rows)

    def tapers(self) -> tuple[float | None, ...]:
        """Largest less smallest diameter along each direction [mm]."""
        found: list[float | None] = []
        for column in zip(*self.diameters, strict=True):
            read = [(float(k), value) for k, value in enumerate(column) if value is not None]
            if len(read) < 2:
                found.append(None)
                continue
            found.append(taper([k for k, _ in read], [value for _, value in read]).amount)
        return tuple(found)


def angle_of(direction: str) -> float | None:
    """The angle a direction names: a word of the trade, or a figure in degrees."""
    word = direction.strip().casefold()
    if word in _ANGLES:
        return _ANGLES[word]
    try:
        return float(parse(word, "angle").value) % 360.0
    except QuantityError:
        return None


def angles_of(directions: Sequence[str]) -> tuple[float, ...]:
    """An angle for each direction; words that say none are spread evenly over half a turn."""
    known = [angle_of(direction) for direction in directions]
    if all(angle is not None for angle in known) and len(set(known)) == len(known):
        return tuple(angle for angle in known if angle is not None)
    return tuple(180.0 * k / len(directions) for k in range(len(directions)))


def _depth(level: str) -> float | None:
    try:
        return float(parse(level, "length", "mm").value)
    except QuantityError:
        return None


def bores_of_job(job: Job, phase: str) -> tuple[Bore, ...]:
    """Every bore that was read in this phase, in the order of the engine."""
    nominal = job.sheet.geometry.get("bore")
    limit = job.sheet.limit_for(SIZE)
    bounds = None if limit is None else limit.side(Side.SERVICE)
    found = []
    for feature in job.frame.of_kind("bore"):
        key = Key(feature.name, SIZE)
        spots = [s for s in job.located.spots if s.key == key and s.phase == phase]
        if not spots:
            continue
        at: dict[tuple[str, str], Fraction] = {}
        twice = 0
        for spot in spots:
            place = (spot.level, spot.direction)
            twice += place in at
            at[place] = max(spot.estimate.value, at.get(place, spot.estimate.value))
        levels = tuple(dict.fromkeys(spot.level for spot in spots))
        directions = tuple(dict.fromkeys(spot.direction for spot in spots))
        depths = [_depth(level) for level in levels]
        if all(depth is not None for depth in depths):
            order = sorted(range(len(levels)), key=lambda k: depths[k] or 0.0)
            levels = tuple(levels[k] for k in order)
        rows = tuple(
            tuple(float(at[level, way]) if (level, way) in at else None for way in directions)
            for level in levels
        )
        size = nominal if nominal is not None else min(at.values())
        found.append(
            Bore(
                feature.name,
                levels,
                tuple(sorted(d for d in depths if d is not None))
                if all(d is not None for d in depths)
                else (),
                directions,
                angles_of(directions),
                rows,
                float(size),
                None if bounds is None or bounds.low is None else float(bounds.low),
                None if bounds is None or bounds.high is None else float(bounds.high),
                twice,
            )
        )
    return tuple(found)


def judged_bores(job: Job, phase: str) -> Mapping[str, Verdict]:
    """The verdict on each bore as `check` gives it, for its picture."""
    made = bores_of(job, job.findings, phase)
    return {} if made is None else {bore.name.casefold(): bore.verdict for bore in made.bores}


def blind_words(bore: Bore) -> tuple[str, ...]:
    """What these readings cannot show, in sentences."""
    if bore.depths:
        return blind_spots(bore.angles, [round(depth, 2) for depth in bore.depths])
    words = list(blind_spots(bore.angles, [float(k) for k in range(len(bore.levels))]))
    # The levels have names and no figures, so nothing can be said in millimetres.
    kept = [word for word in words if not word.startswith(("One level", "Nothing is known"))]
    if len(bore.levels) == 1:
        kept.insert(-1, "One level shows no taper, barrel or step at all.")
    else:
        names = " and ".join((bore.levels[0], bore.levels[-1]))
        kept.insert(
            -1,
            f"Nothing is known above and below {names}, nor of a ridge or step between the levels; "
            "depths in figures would say how far apart they are.",
        )
    return tuple(kept)

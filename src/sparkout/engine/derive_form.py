"""Forms from many readings: the line of the mains, flatness, bend, roundness without eccentricity.

Each is a function of the readings; what it does with their errors follows from its slopes, so that
an error all readings share (the arbor's height, the bridge's zero) drops out as it should.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.frame import Frame
from sparkout.engine.repeats import merged
from sparkout.engine.spots import Spot, extremes
from sparkout.measure.estimate import Component, Estimate, combine
from sparkout.units import QuantityError, parse

__all__ = ["forms"]

Spots = Mapping[Key, Sequence[Spot]]
Numbers = Sequence[float]


def forms(frame: Frame, spots: Spots) -> list[Dimension]:
    """Every form that the readings at hand allow."""
    found: list[Dimension] = []
    for add in (_main_line, _flatness, _crank_bend, _traces, _reversed_rods, _vacuum, _over_pin):
        found += add(frame, spots)
    return found


def _through(function: Callable[[Numbers], float], readings: Sequence[Spot]) -> Estimate:
    """A function of readings with its uncertainty: u by slopes, one source one error.

    Slopes are taken over a thousandth of a millimetre, as far as such readings are read.
    """
    values = [float(spot.estimate.value) for spot in readings]
    value = function(values)
    step = 1e-3
    parts: list[Component] = []
    for i, spot in enumerate(readings):
        if not spot.estimate.components:
            continue
        up, down = list(values), list(values)
        up[i] += step
        down[i] -= step
        slope = (function(up) - function(down)) / (2 * step)
        parts += [part.scaled(slope) for part in spot.estimate.components]
    exact = Fraction(round(value * 10**7), 10**7)
    return Estimate(exact, combine(parts))


def _dimension(key: Key, value: Estimate, readings: Sequence[Spot], where: str = "") -> Dimension:
    entries = tuple(dict.fromkeys(entry for spot in readings for entry in spot.entries))
    return Dimension(key, value, value, How.WORKED_OUT, entries, where, where)


def _main_line(frame: Frame, spots: Spots) -> list[Dimension]:
    """Largest deviation from the line through the end bores, and largest step of neighbours.

    Mains are taken to stand evenly along the block.
    """
    upright: list[Spot] = []
    sideways: list[Spot] = []
    for housing in frame.of_kind("main housing"):
        read = merged(spots.get(Key(housing.name, "main line height"), ()))
        side = [spot for spot in read if spot.direction.startswith("side")]
        up = [spot for spot in read if spot not in side]
        if not up:
            return []
        upright.append(up[-1])
        sideways += side[-1:]
    if len(upright) < 3:
        return []
    both = len(sideways) == len(upright)
    readings = [*upright, *sideways] if both else upright
    count = len(upright)

    def off(values: Numbers) -> list[float]:
        lines = [values[:count], values[count:]] if both else [values]
        return [math.hypot(*away) for away in zip(*map(_from_ends, lines), strict=True)]

    def steps(values: Numbers) -> list[float]:
        lines = [_from_ends(values[:count]), _from_ends(values[count:])] if both else [
            _from_ends(values)
        ]  # fmt: skip
        return [math.hypot(*(line[i + 1] - line[i] for line in lines)) for i in range(count - 1)]

    values = [float(spot.estimate.value) for spot in readings]
    worst = max(range(count), key=lambda i: off(values)[i])
    step = max(range(count - 1), key=lambda i: steps(values)[i])
    names = [housing.name for housing in frame.of_kind("main housing")]
    return [
        _dimension(
            Key("block", "main line straightness"),
            _through(lambda v: off(v)[worst], readings),
            readings,
            names[worst],
        ),
        _dimension(
            Key("block", "main line step"),
            _through(lambda v: steps(v)[step], readings),
            readings,
            f"{names[step]} to {step + 2}",
        ),
    ]


def _from_ends(heights: Numbers) -> list[float]:
    last = len(heights) - 1
    return [
        height - heights[0] - (heights[-1] - heights[0]) * i / last
        for i, height in enumerate(heights)
    ]


def _flatness(frame: Frame, spots: Spots) -> list[Dimension]:
    """Narrowest pair of planes round a grid of heights: along as the level, across as direction."""
    found = []
    for kind in ("deck", "head"):
        for face in frame.of_kind(kind):
            read = merged(spots.get(Key(face.name, f"{kind} surface height"), ()))
            at = [(_mm(spot.level), _mm(spot.direction), spot) for spot in read]
            placed = [(x, y, s) for x, y, s in at if x is not None and y is not None]
            if len(placed) < 4:
                continue
            flatness = _plane(placed)
            if flatness is not None:
                key = Key(face.name, f"{kind} flatness")
                found.append(_dimension(key, flatness, [s for _, _, s in placed]))
    return found


def _plane(placed: Sequence[tuple[float, float, Spot]]) -> Estimate | None:
    from sparkout.measure.form.plane import associated_plane
    from sparkout.measure.form.records import UndeterminedError

    def points(values: Numbers) -> list[tuple[float, float, float]]:
        return [(x, y, z) for (x, y, _), z in zip(placed, values, strict=True)]

    values = [float(spot.estimate.value) for _, _, spot in placed]
    try:
        fit = associated_plane(points(values))
    except UndeterminedError:
        return None  # all of them on one line
    # between the contacts that hold the planes the rest does not count: slopes of those alone
    held = sorted({contact.index for contact in fit.contacts})
    few = [placed[i][2] for i in held]

    def narrowest(some: Numbers) -> float:
        moved = list(values)
        for i, value in zip(held, some, strict=True):
            moved[i] = value
        return associated_plane(points(moved)).form

    return _through(narrowest, few)


def _mm(text: str) -> float | None:
    try:
        return float(parse(text, "length", "mm").value)
    except QuantityError:
        return None


def _degrees(text: str) -> float | None:
    """`high at 120 deg`, `120`: the angle in it, None where there is none."""
    words = text.removeprefix("high at ").strip()
    try:
        return float(parse(words, "angle", "deg").value)
    except QuantityError:
        return None


def _crank_bend(frame: Frame, spots: Spots) -> list[Dimension]:
    """Half the TIR of the worst main; of neighbours as vectors where the high spots are said."""
    read = merged(spots.get(Key("crankshaft", "crankshaft runout"), ()))
    if not read:
        return []
    worst = max(read, key=lambda spot: spot.estimate.value)
    half = worst.estimate.scaled(Fraction(1, 2))
    found = [_dimension(Key("crankshaft", "crankshaft bend"), half, [worst], worst.level)]
    row = [(int(spot.level.removeprefix("main ")), angle, spot) for spot in read
           if spot.level.removeprefix("main ").isdecimal()
           and (angle := _degrees(spot.direction)) is not None]  # fmt: skip
    row.sort(key=lambda item: item[0])
    pairs = [(a, b) for a, b in pairwise(row) if b[0] == a[0] + 1]
    if pairs:

        def apart(one: float, other: float, first: float, second: float) -> float:
            turn = math.radians(second - first)
            square = one * one + other * other - 2 * one * other * math.cos(turn)
            return math.sqrt(max(square, 0.0)) / 2

        def of(pair: tuple[tuple[int, float, Spot], tuple[int, float, Spot]]) -> Estimate:
            (_, a, one), (_, b, other) = pair
            return _through(lambda v: apart(v[0], v[1], a, b), [one, other])

        pair = max(pairs, key=lambda item: of(item).value)
        key = Key("crankshaft", "crankshaft neighbour bend")
        where = f"mains {pair[0][0]} and {pair[1][0]}"
        found.append(_dimension(key, of(pair), [pair[0][2], pair[1][2]], where))
    return found


def _traces(frame: Frame, spots: Spots) -> list[Dimension]:
    """A trace round a journal: runout, and how much of it is only a centre that is off."""
    from sparkout.measure.form.runout import runout

    found: list[Dimension] = []
    worst: tuple[Estimate, list[Spot], str] | None = None
    for journal in frame.of_kind("main journal"):
        read = merged(spots.get(Key(journal.name, "main journal trace"), ()))
        placed = [(a, s) for s in read if (a := _degrees(s.direction)) is not None]
        if len(placed) < 5:
            continue
        angles, some = [a for a, _ in placed], [s for _, s in placed]

        def form(values: Numbers, angles: Numbers = angles) -> float:
            return runout(angles, values).form

        def centre(values: Numbers, angles: Numbers = angles) -> float:
            return runout(angles, values).eccentricity

        found.append(_dimension(Key(journal.name, "main journal roundness"),
                                _through(form, some), some))  # fmt: skip
        found.append(_dimension(Key(journal.name, "main journal eccentricity"),
                                _through(centre, some), some))  # fmt: skip
        low, high = extremes(some)
        total = high.estimate - low.estimate
        if worst is None or total.value > worst[0].value:
            worst = total, some, journal.name
    if worst is not None:
        found.append(_dimension(Key("crankshaft", "crankshaft runout"), *worst))
    return found


def _reversed_rods(frame: Frame, spots: Spots) -> list[Dimension]:
    """Bend and twist read both ways round: half the difference, the fixture's error drops out."""
    found = []
    for rod in frame.of_kind("rod"):
        for name in ("rod bend", "rod twist"):
            read = merged(spots.get(Key(rod.name, name), ()))
            ways = {spot.direction: spot for spot in read}
            one, other = ways.get("as set"), ways.get("reversed")
            if one is None or other is None:
                continue
            half = (one.estimate - other.estimate).scaled(Fraction(1, 2))
            value = half if half.value >= 0 else half.scaled(-1)
            found.append(_dimension(Key(rod.name, name), value, [one, other], "both ways round"))
    return found


def _vacuum(frame: Frame, spots: Spots) -> list[Dimension]:
    """Level at the start less level at the end of the time."""
    found = []
    for seat in frame.of_kind("seat"):
        ends = {spot.level: spot for spot in merged(spots.get(Key(seat.name, "vacuum level"), ()))}
        start, end = ends.get("start"), ends.get("end")
        if start is not None and end is not None:
            drop = start.estimate - end.estimate
            found.append(_dimension(Key(seat.name, "vacuum drop"), drop, [start, end]))
    return found


def _over_pin(frame: Frame, spots: Spots) -> list[Dimension]:
    """Piston protrusion read at two points over the pin: their mean, the piston rocks about it."""
    found = []
    for bore in frame.of_kind("bore"):
        read = merged(spots.get(Key(bore.name, "piston protrusion"), ()))
        if len(read) < 2 or not all(spot.level or spot.direction for spot in read):
            continue
        mean = Estimate(Fraction(0))
        for spot in read:
            mean = mean + spot.estimate.scaled(Fraction(1, len(read)))
        found.append(_dimension(Key(bore.name, "piston protrusion"), mean, list(read)))
    return found

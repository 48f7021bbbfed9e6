"""Readings that cannot be right, asked about with the slip that would explain them.

They stay in the log as typed and are left out of the state until somebody confirms or corrects
them. The windows here are judgements, wide against any wear: they only ask, they judge nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Characteristic, Derive, Sense
from sparkout.engine.frame import Feature, Frame
from sparkout.engine.spots import Spot
from sparkout.measure.intake.plausible import Question, plain, question
from sparkout.sheet.model import DataSheet
from sparkout.units import QuantityError, parse

__all__ = ["Crowd", "crowds", "doubt"]

Crowd = Mapping[tuple[str, str], Sequence[Fraction]]

_INCH = Fraction(254, 10)
# Sizes large against their tolerance can slip by a turn, a unit or a digit and still look like one.
_LARGE = 20
_LEAST_WINDOW = Fraction(3, 10)  # mm
# A part on the shelf may be over or under size; no maker sells beyond this (common practice) [mm].
_ON_THE_SHELF = 2
# A gap is asked about beyond this many times the largest limit, or beyond 2 mm.
_TIMES, _GAP = 25, Fraction(2)
# Sizes with a sign: what stands below a face, or a fit that may be clearance or interference.
_SIGNED = frozenset(
    {"ledge cupping", "flywheel step", "web deflection", "injector projection", "crank lift",
     "valve recession", "bearing crush", "bore squareness", "guide projection",
     "deck surface height", "head surface height", "main line height", "main journal trace",
     "rod bend", "rod twist"}
)  # fmt: skip


def crowds(spots: Iterable[Spot]) -> Crowd:
    """What else was read of each characteristic: by phase, over all its features."""
    found: dict[tuple[str, str], list[Fraction]] = {}
    for spot in spots:
        found.setdefault((spot.key.characteristic, spot.phase), []).append(spot.estimate.value)
    return found


def doubt(spot: Spot, frame: Frame, sheet: DataSheet, others: Crowd, inch: bool) -> Question | None:
    """The question a reading raises, None for one that can be.

    others: what else was read of its kind. inch: whether bare numbers were typed in inches.
    """
    if spot.blamed:
        return Question(f"'{spot.typed}' read with {spot.blamed}", "a gauge in use")
    known = BY_NAME[spot.key.characteristic]
    if known.dimension != "length":
        return _below_nothing(spot, known)
    deep = _too_deep(spot, known, sheet)
    if deep is not None:
        return deep
    feature = frame.feature(spot.key.feature)
    lowest = None if _signed(known) else Fraction(0)
    sizes = _sizes(known, feature, sheet)
    unit = "in" if _typed_in_inches(spot.typed, inch) else "mm"
    scale = _INCH if unit == "in" else Fraction(1)
    value = spot.estimate.value / scale
    number = spot.typed.split(" ")[0]
    least = Fraction(0) if lowest is not None else None

    def asked(
        nominal: Fraction | None, spread: Fraction, crowd: Sequence[Fraction] = (),
        highest: Fraction | None = None, what: str = "",
    ) -> Question | None:  # fmt: skip
        return question(
            value,
            None if nominal is None else nominal / scale,
            spread / scale,
            [other / scale for other in crowd],
            unit,
            lowest=least,
            highest=None if highest is None else highest / scale,
            highest_is=what,
            typed=number,
        )

    # nearly every reading is in no doubt: seen at sight, without looking for slips
    size = spot.estimate.value
    sound = lowest is None or size >= lowest
    shelf = _ON_THE_SHELF if spot.phase == "new part" else 0
    whole = known.derive in (Derive.SIZE, Derive.VALUE, Derive.ENDS)
    if sizes is not None and whole and (sizes[0] + sizes[1]) / 2 >= _LARGE * _reach(sizes):
        nominals = _over_and_under(known, (sizes[0] + sizes[1]) / 2, sheet)
        spread = max(3 * _reach(sizes), _LEAST_WINDOW) + shelf
        if sound and any(abs(size - nominal) <= spread for nominal in nominals):
            return None
        return asked(nominals[0], spread)
    if sizes is not None and known.sense is not Sense.AXIAL and known.derive is not Derive.FIT:
        largest = max(_TIMES * max(abs(sizes[0]), abs(sizes[1])), _GAP)
        if sound and size <= largest:
            return None
        what = f"{_TIMES} times its limit" if largest > _GAP else "any such gap"
        return asked(None, Fraction(0), (), largest, what)
    crowd = list(others.get((known.name, spot.phase), ()))
    if size in crowd:
        crowd.remove(size)
    if known.derive is Derive.SIZE and len(crowd) >= 2:
        middle = sorted(crowd)[len(crowd) // 2]
        return asked(None, max(abs(middle) / 50, _LEAST_WINDOW) + shelf, crowd)
    return None if sound else asked(None, Fraction(0))


def _reach(sizes: tuple[Fraction, Fraction]) -> Fraction:
    return max(sizes[1] - sizes[0], Fraction(1, 100))


def _signed(known: Characteristic) -> bool:
    return known.derive in (Derive.FIT, Derive.NEIGHBOUR) or known.name in _SIGNED or (
        known.name.endswith(" fit")
    )  # fmt: skip


def _below_nothing(spot: Spot, known: Characteristic) -> Question | None:
    """A weight, a force or a hardness below zero; an angle may be."""
    if spot.estimate.value >= 0 or known.dimension in ("angle", "percent", "test"):
        return None
    return Question(f"{spot.typed}, which is below zero", "a value not below zero")


def _too_deep(spot: Spot, known: Characteristic, sheet: DataSheet) -> Question | None:
    """A level typed as a depth, deeper than the cylinder: none is longer than twice its stroke."""
    stroke = sheet.geometry.get("stroke")
    if stroke is None or known.feature not in ("bore", "parent bore", "liner"):
        return None
    try:
        depth = parse(spot.level, "length", "mm").value
    except QuantityError:
        return None
    if 0 <= depth <= 2 * stroke:
        return None
    if depth < 0:
        said = f"a depth of {plain(depth)} mm, above the deck"
    else:
        said = f"a depth of {plain(depth)} mm, more than twice the stroke of {plain(stroke)} mm"
    return Question(said, f"a depth in the bore, from 0 to {plain(2 * stroke)} mm")


def _sizes(
    known: Characteristic, feature: Feature | None, sheet: DataSheet
) -> tuple[Fraction, Fraction] | None:
    """Least and most of all its limits; where there are none, of the parts on the data sheet."""
    limit = sheet.limit_for(known.name, feature.tags if feature else ())
    both = () if limit is None else (limit.new, limit.service)
    given = [bounds for bounds in both if bounds is not None]
    if not given:
        given = [part.sizes[known.name] for part in sheet.parts if known.name in part.sizes]
    ends = [end for bounds in given for end in (bounds.low, bounds.high) if end is not None]
    return (min(ends), max(ends)) if ends else None


def _over_and_under(
    known: Characteristic, nominal: Fraction, sheet: DataSheet
) -> tuple[Fraction, ...]:
    """The standard size, then every over- and undersize that the data sheet has parts for."""
    moved: list[Fraction] = []
    bore = sheet.geometry.get("bore")
    for part in sheet.parts:
        if part.undersize and known.name == f"{part.kind.partition(' ')[0]} journal diameter":
            moved.append(-part.undersize)
        if part.for_bore and bore and known.name in ("bore diameter", "piston skirt diameter"):
            moved.append(part.for_bore - bore)
    return (nominal, *dict.fromkeys(nominal + away for away in moved if away))


def _typed_in_inches(typed: str, inch: bool) -> bool:
    words = typed.lower()
    if "mm" in words:
        return False
    return inch or any(word in words for word in ("in", "thou", '"', "tenth"))

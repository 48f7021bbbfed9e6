"""What a set of readings cannot show, in words: the other half of every measurement."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.measure.form.records import UndeterminedError

__all__ = [
    "LobeVisibility",
    "blind_spots",
    "directions_to_see",
    "lobe_visibility",
    "straightedge_blind_spots",
]

_MOST_LOBES = 9
_BLIND = 1e-6


class LobeVisibility(NamedTuple):
    """Least and greatest share of a lobe's true swing that readings can show, 0 to 1 [-]."""

    least: float
    greatest: float


def lobe_visibility(
    directions: Sequence[float], lobes: int, two_point: bool = True
) -> LobeVisibility:
    """Share of a lobed shape's swing that given directions show, at worst and at best luck.

    A shape r = R + a·cos(lobes·(angle − turn)) swings by 2a. Readings at angles a_i see
    max − min of cos(lobes·(a_i − turn)) of it, which depends on how the part happens to be turned;
    two-point readings add opposite radii, so odd lobes cancel.

    directions: of the readings [°], at least 1.
    lobes: number of lobes [-], 2 or more.
    two_point: whether each reading spans the part (micrometer, bore gauge) [-].
    Returns the least and greatest share over all turns of the part [-].
    Holds for shapes of one number of lobes; real shapes mix them.
    Source: two- and three-point methods: ISO 4292 (recalled from memory); arithmetic.
    Raises ValueError where lobes is below 2 or no direction is given.

    >>> lobe_visibility([0, 90], 2).least < 1e-9, lobe_visibility([0, 60, 120], 3).greatest
    (True, 0.0)
    """
    if lobes < 2:
        raise ValueError(f"lobes is {lobes}; expected 2 or more (1 is eccentricity)")
    if not directions:
        raise ValueError("no directions are given; expected at least one")
    if two_point and lobes % 2 == 1:
        return LobeVisibility(0.0, 0.0)
    phases = sorted({round(lobes * angle % 360.0, 9) % 360.0 for angle in directions})
    # Between turns at which two readings agree the extremes are two fixed readings, whose
    # difference is a sine: its extremes and the ends of the stretches are all that can decide.
    turns = {0.0}
    for place, first in enumerate(phases):
        for second in phases[place + 1 :]:
            middle = 0.5 * (first + second)
            turns.update((middle % 180.0, (middle + 90.0) % 180.0))
    shares = []
    for turn in turns:
        heights = [math.cos(math.radians(phase - turn)) for phase in phases]
        shares.append(0.5 * (max(heights) - min(heights)))
    least, greatest = min(shares), max(shares)
    return LobeVisibility(least if least > 1e-12 else 0.0, greatest if greatest > 1e-12 else 0.0)


def directions_to_see(lobes: int, share: float = 0.7, two_point: bool = True) -> int:
    """How many evenly spread directions show at least a share of a lobed shape, whatever its turn.

    The smallest m for which m directions, evenly over 180 degrees for two-point readings and over
    360 for single ones, have `lobe_visibility` of at least `share`.

    lobes: number of lobes [-], 2 or more; even for two-point readings.
    share: of the true swing that must show at worst [-], above 0 and below 1.
    two_point: whether each reading spans the part [-].
    Returns the number of directions [-].
    Holds for directions evenly spread; 45-degree steps are usual, not optimal.
    Source: arithmetic on `lobe_visibility`.
    Raises ValueError where share is out of range; UndeterminedError where no number of
        directions will do, as for odd lobes by two-point readings.

    >>> directions_to_see(2), directions_to_see(3, two_point=False)
    (3, 4)
    """
    if not 0.0 < share < 1.0:
        raise ValueError(f"share is {share}; expected above 0 and below 1")
    if two_point and lobes % 2 == 1:
        raise UndeterminedError(
            f"no number of two-point readings shows {lobes} lobes: opposite radii add up to the "
            "same diameter; use V-blocks, a three-legged gauge or a trace"
        )
    span = 180.0 if two_point else 360.0
    count = 1
    while True:
        count += 1
        spread = [span * place / count for place in range(count)]
        if lobe_visibility(spread, lobes, two_point).least >= share:
            return count


def blind_spots(
    directions: Sequence[float], levels: Sequence[float], two_point: bool = True
) -> tuple[str, ...]:
    """What readings at given directions and levels cannot show, in words.

    Lobes by `lobe_visibility`; shape along the axis by the levels; what two-point readings never
    see is named.

    directions: of the readings at each level [°], at least 1.
    levels: places along the axis [mm], at least 1.
    two_point: whether each reading spans the part (micrometer, bore gauge) [-].
    Returns one sentence for each thing that stays hidden [-].
    Holds for a full grid: every direction at every level.
    Source: ISO 14405-1 and ISO 4292 for two-point readings (recalled from memory); common
        practice.
    Raises ValueError where no direction or no level is given.

    >>> blind_spots([0, 90], [10, 60, 110])[0]
    'Two-point readings do not show 3, 5, 7, 9 lobes: such a part reads round.'
    """
    if not levels:
        raise ValueError("no levels are given; expected at least one")
    span = 180.0 if two_point else 360.0
    different = sorted({round(angle % span, 6) for angle in directions})
    words = []
    if two_point:
        odd = ", ".join(str(lobes) for lobes in range(3, _MOST_LOBES + 1, 2))
        words.append(f"Two-point readings do not show {odd} lobes: such a part reads round.")
    words += _lobe_words(different, two_point)
    if two_point:
        words.append(
            "Two-point readings do not show where the centre lies: wear all on one side, a bent "
            "axis and a bore out of square read like even wear."
        )
    words += _level_words(sorted(set(levels)))
    words.append("A score or pit narrower than the anvil, or between the readings, does not show.")
    return tuple(words)


def _lobe_words(directions: list[float], two_point: bool) -> list[str]:
    if len(directions) < 2:
        return ["One direction shows no out-of-round at all; take 3 or more."]
    never, unlucky = [], []
    for lobes in range(2, _MOST_LOBES + 1):
        if two_point and lobes % 2 == 1:
            continue
        seen = lobe_visibility(directions, lobes, two_point)
        if seen.greatest < _BLIND:
            never.append(lobes)
        elif seen.least < 0.2:
            unlucky.append(lobes)
    words = []
    count = len(directions)
    if never:
        words.append(
            f"These {count} directions never show {_listed(never)} lobes: every reading meets the "
            "same place of a lobe."
        )
    if unlucky:
        words.append(
            f"These {count} directions can miss {_listed(unlucky)} lobes where the part lies "
            "unluckily."
        )
    if words:
        words.append(
            f"{_enough(two_point)} directions evenly spread show at least 70 % of every "
            f"{'even ' if two_point else ''}lobing up to {_MOST_LOBES}, however the part lies."
        )
    return words


def _enough(two_point: bool) -> int:
    """Fewest evenly spread directions that show 70 % of each number of lobes considered."""
    span = 180.0 if two_point else 360.0
    count = 2
    while True:
        count += 1
        spread = [span * place / count for place in range(count)]
        shares = [
            lobe_visibility(spread, lobes, two_point).least
            for lobes in range(2, _MOST_LOBES + 1)
            if not (two_point and lobes % 2 == 1)
        ]
        if min(shares) >= 0.7:
            return count


def _level_words(levels: list[float]) -> list[str]:
    if len(levels) == 1:
        return [f"One level ({levels[0]:g} mm) shows no taper, barrel or step at all."]
    words = []
    if len(levels) == 2:
        words.append("Two levels show taper, but neither barrel nor hour-glass; take 3 or more.")
    widest = max(after - before for before, after in itertools.pairwise(levels))
    words.append(
        f"Nothing is known before {levels[0]:g} mm and after {levels[-1]:g} mm, nor of steps and "
        f"bumps between levels up to {widest:g} mm apart."
    )
    return words


def _listed(numbers: list[int]) -> str:
    texts = [str(number) for number in numbers]
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"


def straightedge_blind_spots(along: int, across: int, diagonals: int) -> tuple[str, ...]:
    """What a straightedge and feelers on given lines of a face cannot show, in words.

    A face twisted like z = x·y is straight along every line parallel to its edges; only its
    diagonals bend, one up and one down.

    along: lines along the face [-], 0 or more.
    across: lines across the face [-], 0 or more.
    diagonals: diagonal lines [-], 0 to 2.
    Returns one sentence for each thing that stays hidden [-].
    Holds for a rectangular face. The usual six lines are two along, two across and both diagonals.
    Source: common practice (six lines); the twisted face: geometry.
    Raises ValueError naming a number below 0.

    >>> straightedge_blind_spots(2, 2, 0)[0][:20]
    'Twist does not show:'
    """
    for name, number in (("along", along), ("across", across), ("diagonals", diagonals)):
        if number < 0:
            raise ValueError(f"{name} is {number}; expected 0 or more")
    words = []
    if diagonals == 0:
        words.append(
            "Twist does not show: a twisted face is straight along and across; lay the edge on "
            "both diagonals."
        )
    elif diagonals == 1:
        words.append(
            "Twist and bow do not tell apart on one diagonal: a twisted face is hollow on one and "
            "rocks on the other; lay the edge on both."
        )
    if along == 0:
        words.append("Bow along the face does not show; lay the edge along both sides.")
    if across == 0:
        words.append("Bow across the face does not show; lay the edge across it.")
    words += [
        "A hollow between the lines does not show: six lines leave the middle of each field.",
        "Feelers give an interval for each line, not heights: gaps of different lines do not add "
        "up to one flatness.",
        "A rocking edge shows a bump but not its height; the edge's own straightness is included.",
    ]
    return tuple(words)

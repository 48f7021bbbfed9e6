"""What to measure next: how much of the price's spread a reading settles, and whether it may turn
the decision.

All from the draws already worked out. The readings of one kind are boiled down to one figure (the
worst, the mean, or how many are beyond what one in four is); the draws are sorted by it into bins.
What the bins' means differ by is what the reading would settle: the share ε² of the variance that
is between bins, freed of what chance alone puts there (T. L. Kelley, An unbiased correlation ratio
measure, Proceedings of the National Academy of Sciences 21(9), 1935, recalled from memory). The
decision turns where a bin's majority does something else than the majority of all.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sparkout.forecast.draws import BLOCK, Draws
from sparkout.forecast.outcome import Outcome
from sparkout.forecast.summary import Item

__all__ = ["NextReading", "correlation_ratio", "next_readings"]

Floats = NDArray[np.float64]

_BINS = 8
_FEWEST = 40


@dataclass(frozen=True, slots=True)
class NextReading:
    """One kind of reading not yet taken.

    characteristic, features: what to read. settles: share of the price's variance; narrows: cents
    by which the standard deviation of the price is expected to fall. turns: chance that it turns
    the decision on `item`, which is done or not done by the majority of draws today.
    """

    characteristic: str
    features: tuple[str, ...]
    settles: float
    narrows: int
    turns: float
    item: str


def correlation_ratio(values: Floats, bins: NDArray[np.int64]) -> float:
    """ε²: share of the variance of values between bins, in expectation 0 where they do not differ.

    >>> correlation_ratio(np.array([1.0, 1.0, 3.0, 3.0]), np.array([0, 0, 1, 1]))
    1.0
    """
    count = len(values)
    groups = [values[bins == k] for k in np.unique(bins)]
    whole = float(np.sum((values - values.mean()) ** 2))
    if whole <= 0.0 or count <= len(groups):
        return 0.0
    inside = float(sum(np.sum((group - group.mean()) ** 2) for group in groups))
    return 1.0 - (inside / (count - len(groups))) / (whole / (count - 1))


def next_readings(
    draws: Draws, outcomes: Sequence[Outcome], items: Sequence[Item]
) -> tuple[NextReading, ...]:
    """Kinds of readings not yet taken, the one that narrows the price most first.

    Nothing where fewer than 40 draws have a plan: too few to tell.
    """
    planned = [outcome for outcome in outcomes if outcome.cost is not None]
    if len(planned) < _FEWEST or not draws.plan.rows:
        return ()
    values = _values(draws, [outcome.draw for outcome in planned])
    costs = np.array([float(outcome.cost or 0) for outcome in planned])
    done = {
        item.words: np.array([any(c.words == item.words for c in o.chosen) for o in planned])
        for item in items
        if 0.0 < item.chance < 1.0
    }
    kinds: dict[str, list[int]] = {}
    for at, row in enumerate(draws.plan.rows):
        kinds.setdefault(row.key.characteristic, []).append(at)
    sd = float(costs.std(ddof=1))
    found = []
    for name, places in kinds.items():
        laws = [draws.plan.rows[at].law for at in places]
        way = np.array([law.way for law in laws])
        start = np.array([law.start for law in laws])
        worn = way * (values[:, places] - start)
        settles, bins = _settled(worn, costs)
        turns, item = (0.0, "") if bins is None else _turns(done, bins)
        narrows = round(sd * (1.0 - math.sqrt(max(0.0, 1.0 - settles))))
        features = tuple(draws.plan.rows[at].key.feature for at in places)
        found.append(NextReading(name, features, settles, narrows, turns, item))
    return tuple(sorted(found, key=lambda row: (-row.narrows, -row.turns)))


def _values(draws: Draws, numbers: Sequence[int]) -> Floats:
    blocks = {number: draws.block(number).values for number in {n // BLOCK for n in numbers}}
    return np.stack([blocks[n // BLOCK][n % BLOCK] for n in numbers])


def _settled(worn: Floats, costs: Floats) -> tuple[float, NDArray[np.int64] | None]:
    """The share settled, and draws in bins of equal number by the figure that goes best with cost.

    Which figure that is, is chosen on one half of the draws and counted on the other, and the other
    way round: else the best of several would look better than it is.
    """
    sorted_ = [_bins(figure) for figure in _figures(worn)]
    if not sorted_:
        return 0.0, None
    halves = [np.arange(len(costs)) % 2 == half for half in (0, 1)]
    shares = [[correlation_ratio(costs[h], bins[h]) for h in halves] for bins in sorted_]
    first, second = (max(range(len(sorted_)), key=lambda k: shares[k][h]) for h in (0, 1))
    settles = (shares[first][1] + shares[second][0]) / 2
    best = max(range(len(sorted_)), key=lambda k: sum(shares[k]))
    # under chance alone the share scatters about zero by √(2(bins − 1)) / draws
    if settles < 2.0 * math.sqrt(2.0 * (_BINS - 1)) / len(costs):
        return 0.0, sorted_[best]
    return settles, sorted_[best]


def _figures(worn: Floats) -> list[Floats]:
    figures = [worn.max(axis=1)]
    if worn.shape[1] > 1:
        figures.append(worn.mean(axis=1))
        figures.append((worn > np.quantile(worn, 0.75)).sum(axis=1) + 1e-9 * worn.mean(axis=1))
    return [figure for figure in figures if float(figure.max()) > float(figure.min())]


def _bins(figure: Floats) -> NDArray[np.int64]:
    ranks = np.argsort(np.argsort(figure, kind="stable"), kind="stable")
    return np.asarray(ranks * _BINS // len(ranks), dtype=np.int64)


def _turns(done: dict[str, NDArray[np.bool_]], bins: NDArray[np.int64]) -> tuple[float, str]:
    """The decision most likely to turn, and how likely: the share of draws in bins whose clear
    majority (twice its chance error from a half) is against today's."""
    best, words = 0.0, ""
    for item, yes in done.items():
        today = bool(yes.mean() > 0.5)
        share = 0.0
        for k in np.unique(bins):
            mine = yes[bins == k]
            away = 1.0 / math.sqrt(len(mine))
            other = float(mine.mean()) if not today else 1.0 - float(mine.mean())
            if other - 0.5 > away:
                share += len(mine) / len(yes)
        if share > best:
            best, words = share, item
    return best, words

"""Whether the 95 % intervals of an engine's state hold the truth 95 times in a hundred.

True sizes are drawn, readings of them simulated (bench_world.py) and taken through the real way
from log to state. A success rate is what a coverage probability is by definition (JCGM 101:2008,
3.12; JCGM 100:2008, 2.3.5). Figures that share a gauge hit and miss together, so the scatter of a
rate is taken between benches, not between figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from bench_world import Bench, Read, read_again, readings, truths

import sparkout
from sparkout.engine.from_log import locate
from sparkout.engine.state import State, measured_state
from sparkout.fits import evaluate
from sparkout.load import Job, files_in, load_job
from sparkout.measure.estimate import Estimate
from sparkout.measure.uncertainty.distribution import interval_many
from sparkout.measure.uncertainty.sums import Sums

BENCHES = {"workboat_four": 24, "farm_single": 60}
SORTS = ("at a place", "single size", "extreme", "swing", "worked out", "fit")


@dataclass(frozen=True)
class Figures:
    """Of each figure of one sort: the bench it was found on, truth less value in half-intervals
    and in standard uncertainties."""

    bench: np.ndarray
    share: np.ndarray
    z: np.ndarray

    def rate(self, hit: np.ndarray) -> tuple[float, float]:
        """How often, and its standard error between benches."""
        each = np.array([hit[self.bench == bench].mean() for bench in np.unique(self.bench)])
        return float(each.mean()), float(each.std(ddof=1) / math.sqrt(len(each)))


@cache
def _job(name: str) -> tuple[Job, tuple[Read, ...]]:
    job, faults = load_job(files_in(Path(sparkout.__file__).parent / "demos" / name))
    assert job is not None, faults
    return job, readings(job)


@cache
def simulated(
    name: str, benches: int, worse: float = 1.0, even: bool = False
) -> dict[str, Figures]:
    job, reads = _job(name)
    random = np.random.default_rng(7)
    found: list[tuple[str, int, Estimate, float]] = []
    for bench in range(benches):
        true = truths(random, reads, even)
        log = read_again(job, reads, true, Bench(job, random, worse))
        located = locate(log, job.frame, job.sheet, job.shop)
        assert located.faults == ()
        assert located.questioned == ()
        exact = dict(zip((read.standing.id for read in reads), true, strict=True))
        spots = [spot for spot in located.spots if spot.entry in exact]
        real = [
            replace(spot, estimate=Estimate(Fraction(round(exact[spot.entry] * 10**8), 10**8)))
            for spot in spots
        ]
        for spot in spots:
            away = float(exact[spot.entry]) - float(spot.estimate.value)
            found.append(("at a place", bench, spot.estimate, away))
        stated, truly = (measured_state(job.frame, some) for some in (spots, real))
        found += [
            (sort, bench, value, float(of.value - value.value))
            for sort, value, of in _pairs(job, stated, truly)
        ]
    half = interval_many(Sums.of([value.components for _, _, value, _ in found]), 0.95, 1e-4)
    out = {}
    for sort in dict.fromkeys(row[0] for row in found):
        rows = [i for i, row in enumerate(found) if row[0] == sort]
        away = np.array([found[i][3] for i in rows])
        u = np.array([found[i][2].u for i in rows])
        assert (u > 0.0).all(), sort
        out[sort] = Figures(np.array([found[i][1] for i in rows]), away / half[rows], away / u)
    return out


def _pairs(job: Job, stated: State, truly: State) -> Iterator[tuple[str, Estimate, Estimate]]:
    for key, size in stated.sizes.items():
        real = truly.sizes[key]
        if size.low == size.high:
            sort = "single size" if size.how.value == "measured" else "worked out"
            if key.characteristic.endswith(("out-of-round", "taper")):
                sort = "swing"
            yield sort, size.low, real.low
        else:
            yield "extreme", size.low, real.low
            yield "extreme", size.high, real.high
    for check in job.checks:
        if check.instance.inner or check.key in stated.sizes:
            continue
        one, other = (evaluate(check.instance, state.sizes) for state in (stated, truly))
        if one is not None and other is not None:
            for value, real_end in zip(one, other, strict=True):
                yield "fit", value, real_end


def covers(figures: Figures) -> None:
    """95 % within sampling error, and u neither too small nor too large by a tenth."""
    rate, error = figures.rate(np.abs(figures.share) <= 1.0)
    assert abs(rate - 0.95) <= max(3.5 * error, 0.002), f"{rate:.3f} ± {error:.3f}"
    assert error < 0.02
    size = math.sqrt(float(np.mean(figures.z**2)))
    assert 0.9 < size < 1.1, f"errors are {size:.2f} of the u stated"


@pytest.mark.parametrize("sort", SORTS)
def test_stated_intervals_hold_the_truth(sort):
    four, single = (simulated(name, benches)[sort] for name, benches in BENCHES.items())
    covers(
        Figures(
            np.concatenate([four.bench, single.bench + BENCHES["workboat_four"]]),
            np.concatenate([four.share, single.share]),
            np.concatenate([four.z, single.z]),
        )
    )


@pytest.mark.parametrize("worse", [0.7, 1.4])
def test_a_budget_that_is_wrong_is_noticed(worse):
    """Gauges and masters that err less or more than stated show at every sort of figure."""
    found = simulated("workboat_four", 12, worse)
    assert set(found) == set(SORTS)
    for figures in found.values():
        with pytest.raises(AssertionError):
            covers(figures)


def test_of_an_even_part_the_swing_is_never_stated_too_small():
    """Of places that are alike the largest reading is the one that erred most, so out-of-round and
    taper come out too large: less often covered, but the side on which a bad part would pass keeps
    its 2.5 %."""
    figures = simulated("workboat_four", 12, even=True)["swing"]
    more, error = figures.rate(figures.share > 1.0)
    assert more <= 0.025 + 3.5 * error, f"{more:.3f} ± {error:.3f}"
    lean = float(np.mean(figures.z))
    assert lean < -0.5, f"{lean:.2f}: the lean that docs/measuring.md tells of is gone"

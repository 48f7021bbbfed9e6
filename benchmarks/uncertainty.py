"""Uncertainty of a whole engine, 60 inputs to 80 outputs, against Monte Carlo in NumPy, in one run.

The model is an invented six-cylinder engine: 50 normal, 8 rectangular and 2 Student inputs; 56
outputs are linear, 24 are not (warm clearance, swept volume, compression ratio, relative
clearance). Of each output every method gives mean, standard uncertainty, a 95 % interval and the
probability of lying inside two limits.

The peer draws a million trials in blocks that stay in cache, on two threads, and finds its
intervals from histograms; "budget" is first order with a normal distribution assumed. Truth comes
from neither way: products of quadrature rules over all inputs but one normal error, which is
integrated in closed form. It is worked out again with finer rules; the table says how far both
differ, and how the trials scatter about it (scores of a right answer have a root mean square of 1).
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.uncertainty.chances import chances
from sparkout.measure.uncertainty.formula import Formula
from sparkout.measure.uncertainty.outputs import Outputs
from sparkout.measure.uncertainty.summaries import summaries

from .uncertainty_engine import ROOT3, Floats, Model, engine
from .uncertainty_truth import Truth, normal_cdf

COVERAGE = 0.95
TRIALS = 1_000_000
BLOCK = 8192
BINS = 8192
SPAN = 10.0  # of the histograms, in standard uncertainties either way


@dataclass(frozen=True, slots=True)
class Figures:
    """What a method gives of each output."""

    mean: Floats
    u: Floats
    low: Floats
    high: Floats
    inside: Floats


def ours(model: Model) -> list[Estimate | Formula]:
    """The outputs as the product has them: estimates, and formulas of estimates."""
    known = [
        Estimate(
            Fraction(str(given.mean)),
            (
                Component(
                    given.name,
                    given.size / ROOT3 if given.shape is Shape.RECTANGULAR else given.size,
                    given.shape,
                    given.dof,
                ),
            ),
        )
        for given in model.inputs
    ]
    out: list[Estimate | Formula] = []
    for row, wanted in enumerate(model.outputs):
        chosen = tuple(known[i] for i in wanted.inputs)
        if callable(wanted.rule):
            out.append(Formula(wanted.rule, chosen))
            continue
        parts = tuple(
            part.scaled(factor)
            for estimate, factor in zip(chosen, wanted.rule, strict=True)
            for part in estimate.components
        )
        out.append(Estimate(Fraction(float(model.middle[row])), parts))
    return out


def by_engine(model: Model, outputs: Sequence[Estimate | Formula]) -> Figures:
    ready = Outputs.of(outputs)
    told = summaries(ready, COVERAGE)
    inside = chances(ready, model.lower, model.upper).inside
    return Figures(told.mean, told.u, told.low, told.high, inside)


def by_budget(model: Model) -> Figures:
    """First order, normal distribution assumed (JCGM 100, clause 5)."""
    k = 1.959963984540054
    below = [normal_cdf((limit - model.middle) / model.u) for limit in (model.lower, model.upper)]
    low, high = model.middle - k * model.u, model.middle + k * model.u
    return Figures(model.middle, model.u, low, high, below[1] - below[0])


def drawn(model: Model, random: np.random.Generator, x: Floats) -> None:
    """Fresh inputs, written into x of shape (inputs, trials)."""
    for row, given in zip(x, model.inputs, strict=True):
        if given.shape is Shape.NORMAL:
            random.standard_normal(out=row)
        elif given.shape is Shape.RECTANGULAR:
            random.random(out=row)
            row *= 2.0
            row -= 1.0
        else:
            row[:] = random.standard_t(given.dof, len(row))
        row *= given.size
        row += given.mean


def by_trials(model: Model, seed: int, threads: int = 2) -> Figures:
    """Monte Carlo as one would write it for speed in NumPy (JCGM 101, clause 7)."""
    middle, scale = model.middle[:, None], (BINS / (2 * SPAN)) / model.u[:, None]
    lower, upper = model.lower[:, None] - middle, model.upper[:, None] - middle
    blocks = TRIALS // BLOCK // threads

    def work(thread: int) -> tuple[Floats, Floats, Floats, Floats]:
        random = np.random.Generator(np.random.SFC64([seed, thread]))
        x, y = np.empty((60, BLOCK)), np.empty((80, BLOCK))
        total, square, inside = np.zeros(80), np.zeros(80), np.zeros(80)
        bars = np.zeros((80, BINS))
        for _ in range(blocks):
            drawn(model, random, x)
            for row, wanted in zip(y, model.outputs, strict=True):
                row[:] = wanted([x[i] for i in wanted.inputs])
            y -= middle
            total += y.sum(axis=1)
            square += np.einsum("ij,ij->i", y, y)
            inside += np.count_nonzero((y >= lower) & (y <= upper), axis=1)
            y *= scale
            y += BINS / 2
            np.clip(y, 0, BINS - 1, out=y)
            for row, bar in zip(y.astype(np.intp), bars, strict=True):
                bar += np.bincount(row, minlength=BINS)
        return total, square, inside, bars

    with ThreadPoolExecutor(threads) as pool:
        parts = list(pool.map(work, range(threads)))
    count = blocks * threads * BLOCK
    total, square, inside, bars = (sum(part[i] for part in parts) for i in range(4))
    mean = total / count
    u = np.sqrt(square / count - mean * mean)
    edges = np.linspace(-SPAN, SPAN, BINS + 1)
    ends = np.array(
        [
            np.interp((0.5 - COVERAGE / 2, 0.5 + COVERAGE / 2),
                      np.concatenate([[0.0], np.cumsum(bar)]) / count, edges)
            for bar in bars
        ]
    )  # fmt: skip
    low, high = (model.middle + ends[:, i] * model.u for i in (0, 1))
    return Figures(model.middle + mean, u, low, high, inside / count)


def timed(methods: dict[str, Callable[[], Figures]], turns: int) -> dict[str, list[float]]:
    """Times [s] of each, taken in turns after one untimed run; quick ones run more often."""
    spent: dict[str, list[float]] = {name: [] for name in methods}
    for method in methods.values():
        method()
    for _ in range(turns):
        for name, method in methods.items():
            begin = time.perf_counter()
            method()
            first = time.perf_counter() - begin
            spent[name].append(first)
            for _ in range(min(10, int(0.2 / first))):
                begin = time.perf_counter()
                method()
                spent[name].append(time.perf_counter() - begin)
    return spent


def main() -> None:
    model = engine()
    outputs = ours(model)
    ready = Outputs.of(outputs)
    limits = np.stack([model.lower, model.upper], axis=1)
    rough, truth = Truth(model, 1.0), Truth(model, 1.5)
    exact = truth.below(limits)
    inside = exact[:, 1] - exact[:, 0]
    drift = np.abs(exact - rough.below(limits)).max()
    mean, u = truth.moments()

    def chances_only() -> Figures:
        found = chances(ready, model.lower, model.upper).inside
        return Figures(mean, u, model.lower, model.upper, found)

    seeds = iter(range(1, 1000))
    methods: dict[str, Callable[[], Figures]] = {
        "Monte Carlo, 1e6 trials": lambda: by_trials(model, next(seeds)),
        "first order + normal": lambda: by_budget(model),
        "ours, all figures": lambda: by_engine(model, outputs),
        "ours, chances only": chances_only,
    }
    spent = timed(methods, 7)
    peer = statistics.median(spent["Monte Carlo, 1e6 trials"])
    print("P: absolute error of the chance inside; ends: error of the chance beyond either end")
    print(
        f"{'method':26s}{'median ms':>10s}{'peer/this':>10s}{'P worst':>10s}{'P rms':>10s}"
        f"{'mean/u':>10s}{'u rel.':>10s}{'ends':>10s}"
    )
    for name, method in methods.items():
        found = method()
        middle = statistics.median(spent[name])
        wrong = np.abs(found.inside - inside)
        line = f"{name:26s}{1e3 * middle:10.2f}{peer / middle:10.1f}{wrong.max():10.1e}"
        line += f"{math.sqrt(float(np.mean(wrong**2))):10.1e}"
        if name != "ours, chances only":
            ends = rough.below(np.stack([found.low, found.high], axis=1))
            tail = 0.5 - COVERAGE / 2
            beyond = np.abs(ends - [tail, 1.0 - tail]).max()
            line += f"{(np.abs(found.mean - mean) / u).max():10.1e}"
            line += f"{np.abs(found.u / u - 1.0).max():10.1e}{beyond:10.1e}"
        print(line)
    scatter = np.sqrt(inside * (1.0 - inside) / (TRIALS // BLOCK // 2 * 2 * BLOCK))
    scores = np.concatenate(
        [(by_trials(model, next(seeds)).inside - inside) / scatter for _ in range(5)]
    )
    print(f"\ntruth with rules half as fine again differs by at most {drift:.1e}; scores of five")
    print(f"Monte Carlo runs about it: rms {np.sqrt(np.mean(scores**2)):.2f}, largest "
          f"{np.abs(scores).max():.1f}")  # fmt: skip


if __name__ == "__main__":
    main()

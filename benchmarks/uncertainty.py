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
from numpy.typing import NDArray

from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.uncertainty.chances import chances
from sparkout.measure.uncertainty.formula import Formula
from sparkout.measure.uncertainty.outputs import Outputs
from sparkout.measure.uncertainty.summaries import summaries

Floats = NDArray[np.float64]
COVERAGE = 0.95
TRIALS = 1_000_000
BLOCK = 8192
BINS = 8192
SPAN = 10.0  # of the histograms, in standard uncertainties either way
ROOT3 = math.sqrt(3.0)
QUARTER = math.pi / 4.0


def warm_clearance(bore, skirt, warmer, gauge, micrometer):  # type: ignore[no-untyped-def]
    return bore * (1 + 11e-6 * warmer) - skirt * (1 + 20e-6 * warmer) + gauge - micrometer


def swept_volume(bore, throw, gauge):  # type: ignore[no-untyped-def]
    return QUARTER * (bore + gauge) ** 2 * 2e-3 * throw


def compression_ratio(bore, throw, chamber, gasket, gasket_bore, dish):  # type: ignore[no-untyped-def]
    swept = QUARTER * bore**2 * 2e-3 * throw
    return 1 + swept / (chamber + QUARTER * gasket_bore**2 * 1e-3 * gasket + dish)


def relative_clearance(big_end, wall, pin, gauge, micrometer):  # type: ignore[no-untyped-def]
    return 1000 * (big_end - 2 * wall - pin + gauge - micrometer) / pin


@dataclass(frozen=True, slots=True)
class Given:
    """An input: mean, and standard deviation, half-width or scale of its error."""

    name: str
    shape: Shape
    mean: float
    size: float
    dof: float = math.inf


@dataclass(frozen=True, slots=True)
class Wanted:
    """An output: the inputs it depends on, and a function or a coefficient for each."""

    inputs: tuple[int, ...]
    rule: Callable[..., Floats] | tuple[float, ...]

    def __call__(self, arguments: Sequence[Floats]) -> Floats:
        if callable(self.rule):
            return self.rule(*arguments)
        total = self.rule[0] * arguments[0]
        for factor, argument in zip(self.rule[1:], arguments[1:], strict=True):
            total = total + factor * argument
        return total


@dataclass(frozen=True, slots=True)
class Model:
    inputs: tuple[Given, ...]
    outputs: tuple[Wanted, ...]
    slopes: Floats  # of each output by each input
    middle: Floats
    u: Floats
    lower: Floats
    upper: Floats


def engine(seed: int = 7) -> Model:
    """The invented engine; limits lie one to three standard uncertainties away, by the seed."""
    inputs: list[Given] = []

    def normal(name: str, mean: float, u: float) -> int:
        inputs.append(Given(name, Shape.NORMAL, mean, u))
        return len(inputs) - 1

    def even(name: str, mean: float, half: float) -> int:
        inputs.append(Given(name, Shape.RECTANGULAR, mean, half))
        return len(inputs) - 1

    housing = [normal(f"housing {i}", 72.010 + 0.001 * i, 0.0015) for i in range(7)]
    journal = [normal(f"journal {i}", 67.960 - 0.001 * i, 0.0013) for i in range(7)]
    big_end = [normal(f"big end {i}", 58.000, 0.0017) for i in range(6)]
    pin = [normal(f"pin {i}", 54.950, 0.0012) for i in range(6)]
    bore = [normal(f"bore {i}", 92.030 + 0.002 * i, 0.0020) for i in range(6)]
    skirt = [normal(f"skirt {i}", 91.965, 0.0018) for i in range(6)]
    chamber = [normal(f"chamber {i}", 52.0, 0.12) for i in range(6)]
    deck, throw = normal("deck", 226.000, 0.011), normal("throw", 45.500, 0.005)
    rod, height = normal("rod", 148.000, 0.008), normal("height", 32.400, 0.010)
    flange, ledge = normal("flange", 8.060, 0.003), normal("ledge", 8.000, 0.004)
    upper, lower = even("upper shell", 2.005, 0.003), even("lower shell", 2.005, 0.003)
    shell, blades = even("rod shell", 1.510, 0.0025), even("blades", 0.350, 0.012)
    gasket, gasket_bore = even("gasket", 1.250, 0.035), even("gasket bore", 93.5, 0.1)
    dish, warmer = even("dish", 6.0, 0.25), even("warmer", 0.0, 3.0)
    inputs.append(Given("bore gauge", Shape.STUDENT, 0.0, 0.0008, 4.0))
    inputs.append(Given("micrometer", Shape.STUDENT, 0.0, 0.0006, 6.0))
    gauge, mic = len(inputs) - 2, len(inputs) - 1

    def sums(*rows: dict[int, float]) -> list[Wanted]:
        return [Wanted(tuple(row), tuple(row.values())) for row in rows]

    six, seven = range(6), range(7)
    outputs = [
        *sums(*({housing[i]: 1, upper: -1, lower: -1, journal[i]: -1, gauge: 1, mic: -1}
                for i in seven)),
        *sums(*({housing[i]: 1, upper: -1, lower: -1, gauge: 1} for i in seven)),
        *sums(*({big_end[i]: 1, shell: -2, pin[i]: -1, gauge: 1, mic: -1} for i in six)),
        *sums(*({big_end[i]: 1, shell: -2, gauge: 1} for i in six)),
        *sums(*({bore[i]: 1, skirt[i]: -1, gauge: 1, mic: -1} for i in six)),
        *sums(*({blades: 1, bore[i]: math.pi, gauge: math.pi} for i in six)),
        *sums(*({deck: 1, throw: -1, rod: -1, height: -1, gasket: 1, pin[i]: -0.5} for i in six)),
        *sums(*({housing[i]: 1, housing[i + 1]: -1, journal[i]: -1, journal[i + 1]: 1}
                for i in six)),
        *sums(*({bore[i]: 1 / 3, bore[i + 1]: 1 / 3, bore[i + 2]: 1 / 3, gauge: 1}
                for i in range(4))),
        *sums({flange: 1, ledge: -1, mic: 1}, {deck: 1, throw: -1, rod: -1, height: -1}),
        *(Wanted((bore[i], skirt[i], warmer, gauge, mic), warm_clearance) for i in six),
        *(Wanted((bore[i], throw, gauge), swept_volume) for i in six),
        *(Wanted((bore[i], throw, chamber[i], gasket, gasket_bore, dish), compression_ratio)
          for i in six),
        *(Wanted((big_end[i], shell, pin[i], gauge, mic), relative_clearance) for i in six),
    ]  # fmt: skip
    assert (len(inputs), len(outputs)) == (60, 80)
    deviation = np.array([spread(given) for given in inputs])
    slopes, middle = np.zeros((80, 60)), np.zeros(80)
    for row, wanted in enumerate(outputs):
        at = np.array([inputs[i].mean for i in wanted.inputs])
        middle[row] = wanted(at)
        for place, i in enumerate(wanted.inputs):
            step = np.where(np.arange(len(at)) == place, 1e-3 * deviation[i], 0.0)
            rise = wanted(at + step) - wanted(at - step)
            slopes[row, i] = rise / (2e-3 * deviation[i])
    u = np.sqrt(np.square(slopes) @ np.square(deviation))
    away = np.random.default_rng(seed).choice([1.0, 1.5, 2.0, 3.0], (2, 80)) * u
    return Model(
        tuple(inputs), tuple(outputs), slopes, middle, u, middle - away[0], middle + away[1]
    )


def spread(given: Given) -> float:
    """Standard deviation of an input's error."""
    if given.shape is Shape.RECTANGULAR:
        return given.size / ROOT3
    if given.shape is Shape.STUDENT:
        return given.size * math.sqrt(given.dof / (given.dof - 2.0))
    return given.size


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


def normal_cdf(z: Floats) -> Floats:
    from scipy.special import ndtr

    found: Floats = ndtr(z)
    return found


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


@dataclass(frozen=True, slots=True)
class Truth:
    """Products of quadrature rules, the finer the larger `fine`."""

    model: Model
    fine: float

    def moments(self) -> tuple[Floats, Floats]:
        """Mean and standard deviation of each output."""
        mean, u = np.empty(80), np.empty(80)
        for row, wanted in enumerate(self.model.outputs):
            if not callable(wanted.rule):
                mean[row], u[row] = self.model.middle[row], self.model.u[row]
                continue
            errors, weight = self._rules(wanted.inputs)
            value = wanted(self._arguments(wanted, errors)) - self.model.middle[row]
            shift = float(weight @ value)
            mean[row] = self.model.middle[row] + shift
            u[row] = math.sqrt(float(weight @ np.square(value - shift)))
        return mean, u

    def below(self, limits: Floats) -> Floats:
        """P(output <= limit) for limits of shape (outputs, any)."""
        found = np.empty_like(limits)
        for row, wanted in enumerate(self.model.outputs):
            normal = [i for i in wanted.inputs if self.model.inputs[i].shape is Shape.NORMAL]
            effect = {i: abs(self.model.slopes[row, i]) * self.model.inputs[i].size for i in normal}
            star = max(normal, key=effect.__getitem__)
            linear = not callable(wanted.rule)
            gone = normal if linear else [star]
            errors, weight = self._rules([i for i in wanted.inputs if i not in gone])
            arguments = self._arguments(wanted, errors)
            for column, limit in enumerate(limits[row]):
                if linear:  # all normal errors of a sum are one
                    spread_here = math.sqrt(sum(effect[i] ** 2 for i in normal))
                    z = (limit - wanted(arguments)) / spread_here
                else:
                    z = self._meeting(row, wanted, arguments, star, float(limit))
                found[row, column] = float(weight @ normal_cdf(z))
        return found

    def _meeting(
        self, row: int, wanted: Wanted, arguments: list[Floats], star: int, limit: float
    ) -> Floats:
        """Star error in its standard deviations at which the output meets the limit."""
        place = wanted.inputs.index(star)
        size, mean = self.model.inputs[star].size, self.model.inputs[star].mean
        slope = float(self.model.slopes[row, star]) * size
        z = np.zeros_like(arguments[0])
        gap = limit - wanted(arguments)
        steep = np.full_like(z, slope)
        for _ in range(60):
            step = gap / steep
            z = z + step
            moved = [*arguments[:place], mean + size * z, *arguments[place + 1 :]]
            left = limit - wanted(moved)
            if np.abs(left / slope).max() < 1e-10:
                break
            with np.errstate(all="ignore"):
                secant = (gap - left) / step
            steep = np.where(np.abs(step) > 1e-8, secant, steep)
            gap = left
        return z if slope > 0.0 else -z

    def _arguments(self, wanted: Wanted, errors: dict[int, Floats]) -> list[Floats]:
        size = next(iter(errors.values())).shape if errors else (1,)
        return [self.model.inputs[i].mean + errors.get(i, np.zeros(size)) for i in wanted.inputs]

    def _rules(self, chosen: Sequence[int]) -> tuple[dict[int, Floats], Floats]:
        """All products of the rules of the chosen inputs, those of no weight left out."""
        errors: dict[int, Floats] = {}
        weight = np.ones(1)
        for i in chosen:
            node, share = self._rule(self.model.inputs[i])
            weight = np.multiply.outer(weight, share).ravel()
            keep = weight > 1e-15
            weight = weight[keep]
            errors = {j: np.repeat(old, len(node))[keep] for j, old in errors.items()}
            errors[i] = np.tile(node, len(keep) // len(node))[keep]
        return errors, weight / weight.sum()

    def _rule(self, given: Given) -> tuple[Floats, Floats]:
        """Gauss-Legendre for a rectangular error; trapezia, which converge as fast, for others."""
        if given.shape is Shape.RECTANGULAR:
            node, share = np.polynomial.legendre.leggauss(round(14 * self.fine))
            return given.size * node, 0.5 * share
        if given.shape is Shape.NORMAL:
            node = np.arange(-8.0, 8.0, 0.6 / self.fine)
            return given.size * node, _shares(np.exp(-0.5 * node * node))
        # t = √ν·sinh w has a density falling like cosh(w)^−ν
        node = np.arange(-34.0 / given.dof, 34.0 / given.dof, 0.25 / self.fine)
        scale = given.size * math.sqrt(given.dof)
        return scale * np.sinh(node), _shares(np.cosh(node) ** -given.dof)


def _shares(weight: Floats) -> Floats:
    return weight / weight.sum()


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
            ends = truth.below(np.stack([found.low, found.high], axis=1))
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

"""The invented engine of the uncertainty benchmark: 60 inputs with their errors, 80 outputs."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sparkout.measure.estimate import Shape

Floats = NDArray[np.float64]
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

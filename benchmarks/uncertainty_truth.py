"""The truth of the uncertainty benchmark, found in neither of the ways compared.

Products of quadrature rules over all inputs but one normal error, which is integrated in closed
form. The products run to tens of millions, so they are made and used in blocks that stay in cache.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sparkout.measure.estimate import Shape

from .uncertainty_engine import Floats, Given, Model, Wanted

BLOCK = 1 << 15
Rule = tuple[Floats, Floats]  # nodes and shares


def normal_cdf(z: Floats) -> Floats:
    from scipy.special import ndtr

    found: Floats = ndtr(z)
    return found


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
            first = second = total = 0.0
            for errors, weight in _products(
                {i: self._rule(self.model.inputs[i], smooth=True) for i in wanted.inputs}
            ):
                value = wanted(self._arguments(wanted, errors)) - self.model.middle[row]
                first += float(weight @ value)
                second += float(weight @ np.square(value))
                total += float(weight.sum())
            first, second = first / total, second / total
            mean[row] = self.model.middle[row] + first
            u[row] = math.sqrt(second - first * first)
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
            kept = {i: self._rule(self.model.inputs[i]) for i in wanted.inputs if i not in gone}
            chance, total = np.zeros(limits.shape[1]), 0.0
            for errors, weight in _products(kept):
                arguments = self._arguments(wanted, errors)
                for column, limit in enumerate(limits[row]):
                    if linear:  # all normal errors of a sum are one
                        spread_here = math.sqrt(sum(effect[i] ** 2 for i in normal))
                        z = (limit - wanted(arguments)) / spread_here
                    else:
                        z = self._meeting(row, wanted, arguments, star, float(limit))
                    chance[column] += float(weight @ normal_cdf(z))
                total += float(weight.sum())
            found[row] = chance / total
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

    def _rule(self, given: Given, smooth: bool = False) -> Rule:
        """Gauss-Legendre for a rectangular error; trapezia, which converge as fast, for others.

        smooth: the output alone is averaged, nearly a polynomial: eight nodes (exact to the
        fifteenth power) are enough, and Gauss-Hermite for a normal error.
        """
        if smooth and given.shape is Shape.NORMAL:
            node, share = np.polynomial.hermite_e.hermegauss(8)
            return given.size * node, _shares(share)
        if smooth and given.shape is Shape.RECTANGULAR:
            node, share = np.polynomial.legendre.leggauss(8)
            return given.size * node, 0.5 * share
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


def _products(rules: dict[int, Rule]) -> Iterator[tuple[dict[int, Floats], Floats]]:
    """Errors and weights of all products of the rules, block by block, none of no weight."""
    order = sorted(rules, key=lambda i: len(rules[i][0]))
    inner: list[int] = []  # these make a block, the others are gone through one by one
    while order and math.prod(len(rules[i][0]) for i in [*inner, order[0]]) <= BLOCK:
        inner.append(order.pop(0))
    grid = np.meshgrid(*(rules[i][0] for i in inner), indexing="ij")
    block = {i: errors.ravel() for i, errors in zip(inner, grid, strict=True)}
    share = np.ones(1)
    for i in inner:
        share = np.multiply.outer(share, rules[i][1]).ravel()
    for chosen in itertools.product(*(zip(*rules[i], strict=True) for i in order)):
        weight = share * math.prod(part for _, part in chosen)
        keep = weight > 1e-15
        if not keep.any():
            continue
        errors = {i: values[keep] for i, values in block.items()}
        errors |= {
            i: np.full(len(weight[keep]), node) for i, (node, _) in zip(order, chosen, strict=True)
        }
        yield errors, weight[keep]

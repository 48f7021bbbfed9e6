"""Plausible readings: worn alike where engines are, and true to what has been read already.

Each thing not yet read stands at z standard deviations of its own law. z is made of three normal
parts: one of the engine (hours, oil, dust wear everything), one of the kind of feature in it, one
of the feature alone. What has been read says something of the first two: they are drawn from their
distribution given the readings (a linear normal model: C. M. Bishop, Pattern Recognition and
Machine Learning, 2006, equations 2.113 to 2.117, recalled from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from sparkout.engine.characteristics import BY_NAME, Characteristic
from sparkout.engine.dimension import Key
from sparkout.engine.readings import Typed, read_typed
from sparkout.engine.spots import Spot, TestResult
from sparkout.engine.state import State
from sparkout.faults import Place
from sparkout.forecast.case import Case
from sparkout.forecast.laws import Law
from sparkout.forecast.thumb import ENGINE_SHARE, JITTER, PLACES
from sparkout.forecast.unread import Unread, law_of, unread
from sparkout.measure.estimate import Estimate

__all__ = ["BLOCK", "Drawn", "Draws", "Plan", "prepared"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

# Draws are made in blocks of this many, each with its own random numbers: which process works a
# block out, and when, changes nothing.
BLOCK = 50

_ONE_PLACE = (("", "", 1.0),)


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """How plausible readings of one engine are made.

    rows: what is drawn; lawless: what is not read and no law is known of. spots: every reading to
    be drawn, with uncertainty as this shop would read it, of value zero; of: the row each belongs
    to; share: how much of the row's wear stands there; step: of its reading. kinds: number of each
    row's characteristic. mean, root: of the common parts (engine first, then kinds) given what was
    read.
    """

    rows: tuple[Unread, ...]
    lawless: tuple[Key, ...]
    spots: tuple[Spot, ...]
    of: Ints
    share: Floats
    step: tuple[Fraction, ...]
    kinds: Mapping[str, int]
    kind: Ints
    common: Floats
    mean: Floats
    root: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """One block. values: draws × rows, the value that decides; steps: draws × spots, in whole steps
    of each reading."""

    values: Floats
    steps: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """Draws of one case with one seed."""

    plan: Plan
    seed: int

    def block(self, number: int) -> Drawn:
        plan = self.plan
        random = np.random.Generator(np.random.PCG64(np.random.SeedSequence([self.seed, number])))
        count = len(plan.rows)
        factors = plan.mean + random.standard_normal((BLOCK, len(plan.mean))) @ plan.root.T
        own = random.standard_normal((BLOCK, count))
        jitter = 1.0 + JITTER * random.uniform(-1.0, 1.0, (BLOCK, len(plan.spots)))
        z = (
            np.sqrt(plan.common[:, 0]) * factors[:, :1]
            + np.sqrt(plan.common[:, 1]) * factors[:, 1:][:, plan.kind]
            + np.sqrt(1.0 - plan.common.sum(axis=1)) * own
        )
        return self._stood(z, np.where(plan.share >= 1.0, 1.0, plan.share * jitter))

    def standing(self, z: Floats, jitter: Floats) -> Drawn:
        """What stands at so many standard deviations of its law, for any number of draws.

        jitter: by draw, from −1 to 1: how far the less worn places are off their share of the wear.
        """
        share = self.plan.share * (1.0 + JITTER * jitter[:, None])
        return self._stood(z, np.where(self.plan.share >= 1.0, 1.0, share))

    def _stood(self, z: Floats, share: Floats) -> Drawn:
        plan = self.plan
        values = np.empty_like(z)
        starts = np.empty(len(plan.rows))
        for at, row in enumerate(plan.rows):
            values[:, at] = row.law.value(z[:, at])
            starts[at] = row.law.start
        first = starts[plan.of]
        spots = first + np.minimum(1.0, share) * (values[:, plan.of] - first)
        steps = np.rint(spots / np.array([float(step) for step in plan.step]))
        return Drawn(values, steps.astype(np.int64).reshape(len(z), len(plan.spots)))

    def readings(self, drawn: Drawn, at: int) -> tuple[tuple[Spot, ...], tuple[TestResult, ...]]:
        """One draw as readings and results of tests."""
        plan = self.plan
        spots = tuple(
            _with_value(spot, int(count) * step)
            for spot, count, step in zip(
                plan.spots, drawn.steps[at].tolist(), plan.step, strict=True
            )
        )
        tests = tuple(
            TestResult(row.key, not value > 0.0)
            for row, value in zip(plan.rows, drawn.values[at].tolist(), strict=True)
            if row.test
        )
        return spots, tests


def _with_value(spot: Spot, value: Fraction) -> Spot:
    return Spot(
        spot.key, spot.level, spot.direction, Estimate(value, spot.estimate.components),
        gauge=spot.gauge,
    )  # fmt: skip


def prepared(case: Case, state: State | None = None) -> Plan:
    """How plausible readings of what is not yet read are made."""
    now = case.state() if state is None else state
    rows, lawless = unread(case, now)
    spots: list[Spot] = []
    of: list[int] = []
    share: list[float] = []
    steps: list[Fraction] = []
    for at, row in enumerate(rows):
        if row.test:
            continue
        known = BY_NAME[row.key.characteristic]
        for level, direction, part in PLACES.get(row.key.characteristic, _ONE_PLACE):
            spots.append(_blank(case, row.key, row.law.start, level, direction))
            of.append(at)
            share.append(part)
            steps.append(Fraction(known.step))
    kinds: dict[str, int] = {}
    for row in rows:
        kinds.setdefault(row.key.characteristic, len(kinds))
    read = _read(case, now)
    for key, _, _ in read:
        kinds.setdefault(key.characteristic, len(kinds))
    mean, root = _given(read, kinds)
    return Plan(
        rows,
        lawless,
        tuple(spots),
        np.array(of, dtype=np.int64),
        np.array(share),
        tuple(steps),
        kinds,
        np.array([kinds[row.key.characteristic] for row in rows], dtype=np.int64),
        np.array([_common(row.law) for row in rows]).reshape(len(rows), 2),
        mean,
        root,
    )


def _common(law: Law) -> tuple[float, float]:
    """Shares of the variance that the whole engine, and the kind of feature in it, have."""
    return law.alike * ENGINE_SHARE, law.alike * (1.0 - ENGINE_SHARE)


def _read(case: Case, state: State) -> list[tuple[Key, Law, float]]:
    """What was read of things that wear, each with where it stands in its law."""
    found = []
    for key in state.spots:
        size = state.found.get(key)
        known = BY_NAME[key.characteristic]
        if size is None or not known.wears:
            continue
        law = law_of(case, key)
        if law is not None and law.alike > 0.0:
            end = size.low if known.wears < 0 else size.high
            found.append((key, law, law.z_of(float(end.value))))
    return found


def _given(read: list[tuple[Key, Law, float]], kinds: Mapping[str, int]) -> tuple[Floats, Floats]:
    """Mean and square root of the covariance of the common parts, given what was read."""
    width = 1 + len(kinds)
    precision, pull = np.eye(width), np.zeros(width)
    for key, law, z in read:
        engine, kind = _common(law)
        line = np.zeros(width)
        line[0], line[1 + kinds[key.characteristic]] = math.sqrt(engine), math.sqrt(kind)
        # features alike to the last bit would leave no scatter to divide by
        own = max(1.0 - engine - kind, 1e-6)
        precision += np.outer(line, line) / own
        pull += line * z / own
    covariance = np.linalg.inv(precision)
    return covariance @ pull, np.linalg.cholesky(covariance)


def _blank(case: Case, key: Key, start: float, level: str, direction: str) -> Spot:
    """A reading with the uncertainty it would have in this shop; its value is not used.

    Where no gauge of the shop is known to read it, it is taken as exact.
    """
    known = BY_NAME[key.characteristic]
    gauge = _gauge(case, known)
    if not gauge:
        return Spot(key, level, direction, Estimate(Fraction(0)))
    length = known.dimension == "length"
    typed, unit = (f"{start:.4f}", "mm") if length else ("0", "")
    row = Typed(key.feature, known.name, typed, Place(), level, direction, unit, gauge)
    spot, _ = read_typed(row, case.frame, case.shop)
    if isinstance(spot, Spot):
        return spot
    return Spot(key, level, direction, Estimate(Fraction(0)), gauge=gauge)


def _gauge(case: Case, known: Characteristic) -> str:
    """The gauge a characteristic was read with so far, or one of the kind it is read with."""
    for spot in reversed(case.spots):
        if spot.key.characteristic == known.name and spot.gauge:
            return spot.gauge
    for gauge in case.shop.gauges.gauges:
        if gauge.measures != known.dimension or gauge.held:
            continue
        if known.dimension != "length" or str(gauge.kind.value) in known.gauge:
            return gauge.id
        if gauge.called and gauge.called in known.gauge:
            return gauge.id
    return ""

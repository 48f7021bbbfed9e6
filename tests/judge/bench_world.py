"""A bench with its errors known: readings of an engine as its gauges would give them.

Drawn from what the shop's file states of gauges, masters and bench, by the physics of reading and
not from the components the program works out: so it can prove those wrong.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from sparkout.engine.uncertain import master_of
from sparkout.job.bodies import Reading
from sparkout.job.replay import Standing
from sparkout.load import Job
from sparkout.measure.gauges.records import Gauge, Master
from sparkout.measure.intake.plausible import plain
from sparkout.units import QuantityError, parse, parse_gap

STEEL, STEEL_HALF = 11.5e-6, 1e-6  # per °C, JCGM 100:2008, H.1.2 and H.1.3.5


@dataclass(frozen=True)
class Read:
    """What one entry of the log is about: its gauge and what was typed there, taken as the truth
    round which truths are drawn."""

    standing: Standing
    gauge: Gauge
    master: Master | None
    middle: float
    step: float  # of the scale, or between two blades
    blades: bool
    warm: bool  # a length, which grows with heat
    unit: float  # of what is typed, in the unit the program counts in


def readings(job: Job) -> tuple[Read, ...]:
    """Readings on gauges of the register, far enough from zero to err both ways."""
    found = []
    for standing in job.replayed.effective:
        body = standing.body
        if not isinstance(body, Reading) or body.master:
            continue
        gauge = job.shop.gauges.gauge(body.gauge) if body.gauge else None
        if gauge is None:
            continue
        if gauge.measures == "length" and ("passes" in body.typed or "fits" in body.typed):
            gap = parse_gap(body.typed, "mm")
            if gap.low is None or gap.high is None:
                continue
            step = float(gap.high - gap.low)
            middle = float(gap.high + gap.low) / 2
            found.append(Read(standing, gauge, None, middle, step, True, False, 1.0))
            continue
        typed_in = UNITS[gauge.measures]
        try:
            value = parse(body.typed, gauge.measures, typed_in).value
        except QuantityError:
            continue
        if abs(value) < 12 * gauge.resolution:
            continue
        master, _ = master_of(job.shop, "", None, gauge.id, value)
        warm = gauge.measures == "length"
        found.append(
            Read(standing, gauge, master if warm else None, float(value), float(gauge.resolution),
                 False, warm, float(parse("1", gauge.measures, typed_in).value))
        )  # fmt: skip
    return tuple(found)


UNITS = {"length": "mm", "mass": "g", "force": "N", "pressure": "kPa", "roughness": "µm",
         "hardness": "HRC", "angle": "deg"}  # fmt: skip


def truths(random: np.random.Generator, reads: tuple[Read, ...], even: bool = False) -> np.ndarray:
    """True values anywhere within a few steps of what was typed.

    even: all places of one diameter are exactly alike, as on a new part.
    """
    steps = np.array([read.step for read in reads])
    middle = np.array([read.middle for read in reads])
    away = np.array([(-0.5, 2.5) if read.blades else (-4.5, 4.5) for read in reads])
    true = middle + random.uniform(away[:, 0], away[:, 1]) * steps
    if even:
        first: dict[tuple[str, str], int] = {}
        for i, read in enumerate(reads):
            body = read.standing.body
            assert isinstance(body, Reading)
            if body.characteristic.endswith("diameter"):
                true[i] = true[first.setdefault((body.feature, body.characteristic), i)]
    return true


class Bench:
    """One bench on one day: every error drawn once, shared by the readings that share it.

    worse: factor on every error of gauges and masters, to see that a wrong budget is noticed.
    """

    def __init__(self, job: Job, random: np.random.Generator, worse: float = 1.0) -> None:
        self.random, self.worse = random, worse
        bench = job.shop.bench
        self.away = random.uniform(-1, 1) * float(bench.within)  # from 20 °C
        self.apart = float(bench.apart)
        self.errors: dict[str, float] = {}
        self.scatters: dict[str, float] = {}
        self.zeros: dict[tuple[str, str, str], float] = {}
        self.gaps: dict[str, float] = {}

    def typed(self, read: Read, truth: float) -> str:
        """What is typed of a part of that true size at 20 °C."""
        body = read.standing.body
        assert isinstance(body, Reading)
        shown = truth
        if read.warm:
            setting = f"{body.feature} {read.standing.at[:10]}"
            if setting not in self.gaps:
                self.gaps[setting] = self.random.uniform(-1, 1) * self.apart
            part, scale = STEEL + STEEL_HALF * self.random.uniform(-1, 1, 2)
            warmth = self.away + self.gaps[setting]
            shown *= (1 + part * warmth) / (1 + scale * self.away)
        shown += self.error(read.gauge) + self.scatter(read.gauge)
        if read.master is not None:
            zero = (read.gauge.id, read.master.id, f"{body.feature} {read.standing.at[:10]}")
            if zero not in self.zeros:  # the dial is turned to the master's stated size
                seen = read.step * self.random.uniform(-0.5, 0.5) + self.scatter(read.gauge)
                self.zeros[zero] = seen
            shown += self.zeros[zero] - self.error(read.master)
        if read.blades:
            return self.blades(read, shown)
        step = Fraction(read.step).limit_denominator(1_000_000)
        return plain(round(shown / read.step) * step / Fraction(read.unit).limit_denominator(1000))

    def blades(self, read: Read, gap: float) -> str:
        """The pair on either side of a gap, in the steps of the pair that was typed."""
        lowest = read.middle - read.step / 2
        goes = lowest + math.floor((gap - lowest) / read.step) * read.step
        low = Fraction(goes).limit_denominator(100_000)
        high = Fraction(goes + read.step).limit_denominator(100_000)
        return f"{plain(low)} passes, {plain(high)} does not"

    def error(self, item: Gauge | Master) -> float:
        """Of a gauge or master, the same all day: what its certificate leaves open."""
        if item.id not in self.errors:
            paper = item.certificate
            if paper is not None:
                drawn = self.random.standard_normal() * paper.u
            else:
                assert item.largest_error is not None
                drawn = self.random.uniform(-1, 1) * float(item.largest_error)
            self.errors[item.id] = drawn * self.worse
        return self.errors[item.id]

    def scatter(self, gauge: Gauge) -> float:
        """Of one reading. The register knows a scatter found from a few readings, not the true one;
        given those, the true one is as here (chi-squared)."""
        known = gauge.repeatability
        if known is None:
            return 0.0
        if gauge.id not in self.scatters:
            share = self.random.chisquare(known.dof) / known.dof
            self.scatters[gauge.id] = float(known.s) / math.sqrt(share)
        return self.random.standard_normal() * self.scatters[gauge.id] * self.worse


def read_again(
    job: Job, reads: tuple[Read, ...], truth: np.ndarray, bench: Bench
) -> tuple[Standing, ...]:
    """The job's log with those readings as the bench gives them."""
    fresh = {
        read.standing.id: replace(
            read.standing, body=replace(read.standing.body, typed=bench.typed(read, float(true)))
        )
        for read, true in zip(reads, truth, strict=True)
    }
    return tuple(fresh.get(standing.id, standing) for standing in job.replayed.effective)

"""Control charts, capability and tolerance intervals against published numbers."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest

from sparkout.measure.charts.base import individuals_base, mean_range_base
from sparkout.measure.charts.capability import capability, share_outside
from sparkout.measure.charts.chart import Line, Point, individuals_chart, subgroup_chart
from sparkout.measure.charts.constants import c4, chart_factors, d2, d3
from sparkout.measure.charts.rules import WESTERN_ELECTRIC_RULES, signals
from sparkout.measure.charts.tolerance import one_sided_factor, order_count, two_sided_factor

# Constants of control charts, 2 to 10 and 25: the table that ISO 7870-2, ASTM E2587 and Montgomery
# (Introduction to Statistical Quality Control, appendix VI) share; recalled from memory.
TABLE = {
    2: (1.128, 0.853, 0.7979, 1.880, 2.659, 0.0, 3.267, 0.0, 3.267),
    3: (1.693, 0.888, 0.8862, 1.023, 1.954, 0.0, 2.568, 0.0, 2.575),
    4: (2.059, 0.880, 0.9213, 0.729, 1.628, 0.0, 2.266, 0.0, 2.282),
    5: (2.326, 0.864, 0.9400, 0.577, 1.427, 0.0, 2.089, 0.0, 2.114),
    6: (2.534, 0.848, 0.9515, 0.483, 1.287, 0.030, 1.970, 0.0, 2.004),
    7: (2.704, 0.833, 0.9594, 0.419, 1.182, 0.118, 1.882, 0.076, 1.924),
    8: (2.847, 0.820, 0.9650, 0.373, 1.099, 0.185, 1.815, 0.136, 1.864),
    9: (2.970, 0.808, 0.9693, 0.337, 1.032, 0.239, 1.761, 0.184, 1.816),
    10: (3.078, 0.797, 0.9727, 0.308, 0.975, 0.284, 1.716, 0.223, 1.777),
    25: (3.931, 0.708, 0.9896, 0.153, 0.606, 0.565, 1.435, 0.459, 1.541),
}


@pytest.mark.parametrize("n", sorted(TABLE))
def test_constants_agree_with_the_printed_table(n: int) -> None:
    f = chart_factors(n)
    found = (f.d2, f.d3, f.c4, f.a2, f.a3, f.b3, f.b4, f.d3_limit, f.d4_limit)
    # D3 and D4 of the printed table come from rounded d2 and d3: one unit of the last digit.
    slack = (5e-4, 5e-4, 5e-5, 5e-4, 5e-4, 5e-4, 5e-4, 1.01e-3, 1.01e-3)
    for value, printed, within in zip(found, TABLE[n], slack, strict=True):
        assert value == pytest.approx(printed, abs=within * 1.0001)


def test_constants_agree_with_ten_digit_values() -> None:
    # Harter, Annals of Mathematical Statistics 31 (1960): mean range to ten decimals; recalled.
    assert d2(5) == pytest.approx(2.3259289473, abs=1e-10)
    assert d2(10) == pytest.approx(3.0775054617, abs=1e-10)
    # Closed forms: d2(2) = 2/sqrt(pi), d2(3) = 3/sqrt(pi), d3(2)^2 = 2 - 4/pi.
    assert d2(2) == pytest.approx(2.0 / math.sqrt(math.pi), abs=1e-12)
    assert d2(3) == pytest.approx(3.0 / math.sqrt(math.pi), abs=1e-12)
    assert d3(2) == pytest.approx(math.sqrt(2.0 - 4.0 / math.pi), abs=1e-12)
    assert c4(2) == pytest.approx(math.sqrt(2.0 / math.pi), abs=1e-15)


# Inside diameters [mm] of forged piston rings, forty samples of five: Montgomery, Introduction to
# Statistical Quality Control; read in a stored copy of the data set of the R package qcc.
RINGS = """
74.030 74.002 74.019 73.992 74.008  73.995 73.992 74.001 74.011 74.004
73.988 74.024 74.021 74.005 74.002  74.002 73.996 73.993 74.015 74.009
73.992 74.007 74.015 73.989 74.014  74.009 73.994 73.997 73.985 73.993
73.995 74.006 73.994 74.000 74.005  73.985 74.003 73.993 74.015 73.988
74.008 73.995 74.009 74.005 74.004  73.998 74.000 73.990 74.007 73.995
73.994 73.998 73.994 73.995 73.990  74.004 74.000 74.007 74.000 73.996
73.983 74.002 73.998 73.997 74.012  74.006 73.967 73.994 74.000 73.984
74.012 74.014 73.998 73.999 74.007  74.000 73.984 74.005 73.998 73.996
73.994 74.012 73.986 74.005 74.007  74.006 74.010 74.018 74.003 74.000
73.984 74.002 74.003 74.005 73.997  74.000 74.010 74.013 74.020 74.003
73.988 74.001 74.009 74.005 73.996  74.004 73.999 73.990 74.006 74.009
74.010 73.989 73.990 74.009 74.014  74.015 74.008 73.993 74.000 74.010
73.982 73.984 73.995 74.017 74.013  74.012 74.015 74.030 73.986 74.000
73.995 74.010 73.990 74.015 74.001  73.987 73.999 73.985 74.000 73.990
74.008 74.010 74.003 73.991 74.006  74.003 74.000 74.001 73.986 73.997
73.994 74.003 74.015 74.020 74.004  74.008 74.002 74.018 73.995 74.005
74.001 74.004 73.990 73.996 73.998  74.015 74.000 74.016 74.025 74.000
74.030 74.005 74.000 74.016 74.012  74.001 73.990 73.995 74.010 74.024
74.015 74.020 74.024 74.005 74.019  74.035 74.010 74.012 74.015 74.026
74.017 74.013 74.036 74.025 74.026  74.010 74.005 74.029 74.000 74.020
"""
_ALL = [float(v) for v in RINGS.split()]
GROUPS = [_ALL[i : i + 5] for i in range(0, len(_ALL), 5)]


def test_piston_rings_mean_and_range_chart() -> None:
    base, faults = mean_range_base(GROUPS[:25])
    assert base is not None
    assert faults == ()
    # qcc manual, same data: centre 74.00118 (74.001176), sigma 0.009785039 with d2 2.326,
    # limits 73.98805 and 74.0143, range limits 0 and 0.04812533.
    assert base.centre == pytest.approx(74.001176, abs=1e-6)
    assert base.spread == pytest.approx(0.02276, abs=1e-9)
    assert base.sigma == pytest.approx(0.009785039, abs=1e-6)
    chart, faults = subgroup_chart(base, GROUPS)
    assert chart is not None
    assert faults == ()
    first = chart.location.points[0]
    assert (first.lower, first.upper) == pytest.approx((73.98805, 74.0143), abs=5e-6)
    spread = chart.spread.points[0]
    assert spread.lower == 0.0
    assert spread.upper == pytest.approx(0.04812533, abs=1e-6)
    # The printed R limit 0.049 comes from a mean range rounded to 0.023; keeping digits gives this.
    assert spread.upper != pytest.approx(0.049, abs=5e-4)
    out = [p.number for p in chart.location.points if not p.lower <= p.value <= p.upper]
    assert out == [37, 38, 39]
    assert all(p.value <= p.upper for p in chart.spread.points)
    beyond = [s for s in signals(chart.location) if s.rule.name == "beyond limits"]
    assert [s.points for s in beyond] == [(37, 38, 39)]


def test_nist_handbook_individuals() -> None:
    # NIST/SEMATECH e-Handbook 6.3.2.2, flow-rate example: recalled from memory and recomputed.
    v = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    base, faults = individuals_base(v)
    assert base is not None
    assert [f.stops for f in faults] == [False]  # ten readings: provisional
    assert base.centre == pytest.approx(50.81, abs=1e-9)
    assert base.spread == pytest.approx(1.8778, abs=5e-5)
    chart, _ = individuals_chart(base, v)
    assert chart is not None
    point = chart.location.points[0]
    # The book divides by d2 = 1.128, which is 0.03 % off: limits move by 0.002.
    assert 50.81 - 3 * base.spread / 1.128 == pytest.approx(45.8159, abs=1e-4)
    assert 50.81 + 3 * base.spread / 1.128 == pytest.approx(55.8041, abs=1e-4)
    assert (point.lower, point.upper) == pytest.approx((45.8159, 55.8041), abs=0.002)
    assert signals(chart.location) == ()


def test_viscosity_batch_four_is_out() -> None:
    # Montgomery, 5th edition p. 232, aircraft primer viscosity, batches 1-20; data read in a stored
    # copy of the R package qcc, whose manual gives the same mean, sigma and limits.
    v = [34.05, 34.40, 33.59, 35.96, 34.70, 33.51, 33.79, 34.04, 34.52, 33.75]
    v += [33.27, 33.71, 34.03, 34.58, 34.02, 33.97, 34.05, 34.04, 33.73, 34.05]
    base, faults = individuals_base(v)
    assert base is not None
    assert faults == ()
    assert base.centre == pytest.approx(34.088, abs=1e-9)
    # qcc uses d2 = 1.128 to three digits; the sigma with it is the printed one.
    assert base.spread / 1.128 == pytest.approx(0.5076521, abs=1e-7)
    assert base.sigma == pytest.approx(0.5076521, abs=2e-4)
    chart, _ = individuals_chart(base, v)
    assert chart is not None
    point = chart.location.points[0]
    assert (point.lower, point.upper) == pytest.approx((32.56504, 35.61096), abs=6e-4)
    assert [s.points for s in signals(chart.location) if s.rule.name == "beyond limits"] == [(4,)]


def test_engine_diameters() -> None:
    # Twenty diameters [cm] of the sample library entry SHWIR1 of a public statistics manual (read
    # in a stored copy); the limits were computed from them with d2 = 1.12838.
    v = [78.4, 80.1, 84.4, 79.1, 80.4, 83.5, 73.8, 83.5, 75.0, 76.8]
    v += [70.5, 80.3, 82.4, 79.4, 86.4, 90.5, 77.7, 82.5, 79.9, 83.2]
    base, _ = individuals_base(v)
    assert base is not None
    assert base.centre == pytest.approx(80.39, abs=0.005)
    assert base.spread == pytest.approx(5.3263, abs=5e-5)
    chart, _ = individuals_chart(base, v)
    assert chart is not None
    point = chart.location.points[0]
    assert (point.lower, point.upper) == pytest.approx((66.23, 94.55), abs=0.01)


def _z_line(values: list[float]) -> Line:
    return Line("mean", tuple(Point(i, v, 0.0, -3.0, 3.0, 1.0) for i, v in enumerate(values, 1)))


@pytest.mark.parametrize(
    ("shift", "printed", "runs"), [(0.0, 91.75, 700), (1.0, 9.22, 2500), (2.0, 3.13, 2500)]
)
def test_average_run_length_of_the_four_zone_rules(shift: float, printed: float, runs: int) -> None:
    # Champ and Woodall, Technometrics 29(4) (1987), exact average run lengths of the four rules
    # together, as reprinted in Montgomery's chapter on charts; recalled from memory. Simulated here
    # with a fixed seed; the allowance is four standard errors of the simulation.
    draw = random.Random(20240711)
    lengths = []
    for _ in range(runs):
        values: list[float] = []
        while True:
            values.extend(draw.gauss(shift, 1.0) for _ in range(10 if shift else 60))
            found = signals(_z_line(values), WESTERN_ELECTRIC_RULES)
            if found:
                lengths.append(min(s.first for s in found))
                break
    mean = sum(lengths) / runs
    error = math.sqrt(sum((x - mean) ** 2 for x in lengths) / (runs - 1) / runs)
    assert mean == pytest.approx(printed, abs=4 * error)
    assert 4 * error < 0.17 * printed


def test_cpk_and_share_outside() -> None:
    # Read in a stored copy of the test examples of an open uncertainty calculator (Deaver's normal
    # process 10 with standard deviation 0.4 against 9 to 11): Cpk 0.8333, outside 0.01242.
    assert share_outside(10.0, 0.4, 9.0, 11.0) == pytest.approx(0.01242, abs=5e-6)
    assert pytest.approx(0.8333, abs=5e-5) == (11.0 - 10.0) / (3 * 0.4)


def test_confidence_of_a_capability_index() -> None:
    # Quality Digest, May 2000: Cpk 1.15 from n = 45, 95 % bounds 0.89 and 1.41 (stored copy).
    # Forty-five readings with mean 0, sd 1 exactly, and a limit that makes Ppk 1.15.
    half = [math.sin(k) for k in range(1, 46)]
    mean = sum(half) / 45
    sd = math.sqrt(sum((x - mean) ** 2 for x in half) / 44)
    v = [(x - mean) / sd for x in half]
    base, _ = individuals_base(v)
    assert base is not None
    result, faults = capability(base, v, None, 3.45)
    assert result is not None
    assert faults == ()
    assert result.ppk.value == pytest.approx(1.15, abs=1e-9)
    assert (result.ppk.low, result.ppk.high) == pytest.approx((0.89, 1.41), abs=0.005)
    assert result.cp is None
    # Montgomery, example on Cp: limits 38 and 62, s 1.75, n 20 gives 2.29 (1.57 to 3.01); recalled.
    scale = [1.75 * math.sqrt(19 / 20) * s for s in (1.0, -1.0) * 10]
    values = [50.0 + x for x in scale]
    base, _ = individuals_base(values)
    assert base is not None
    result, _ = capability(base, values, 38.0, 62.0)
    assert result is not None
    assert result.pp is not None
    assert result.pp == pytest.approx((2.29, 1.57, 3.01), abs=0.006)


def test_tolerance_factors() -> None:
    # NIST/SEMATECH e-Handbook 7.2.6.3, 43 wafers, 90 % with confidence 99 %: one-sided exact 1.8740
    # (from memory), by approximation 1.8752; two-sided by Howe's approximation 2.2173 (both read in
    # a stored copy). The exact two-sided factor lies 0.3 % above Howe's.
    assert one_sided_factor(43, 0.90, 0.99) == pytest.approx(1.8740, abs=5e-5)
    assert two_sided_factor(43, 0.90, 0.99) == pytest.approx(2.2173, rel=0.003)
    # ISO 16269-6, tables of exact factors for 95 % with 95 %; recalled from memory.
    for n, one, two in [(5, 4.203, 5.077), (10, 2.911, 3.393), (20, 2.396, 2.760)]:
        assert one_sided_factor(n, 0.95, 0.95) == pytest.approx(one, abs=5.1e-4)
        assert two_sided_factor(n, 0.95, 0.95) == pytest.approx(two, abs=5.1e-4)


def test_readings_needed_for_distribution_free_limits() -> None:
    # Wilks (1941); the counts 59, 93, 299 and 473 are standard tables' (ISO 16269-6); recalled.
    assert [order_count(1, 0.95, 0.95), order_count(2, 0.95, 0.95)] == [59, 93]
    assert [order_count(1, 0.99, 0.95), order_count(2, 0.99, 0.95)] == [299, 473]


def test_moving_ranges_by_hand() -> None:
    v = [1.0, 4.0, 2.0]
    base, _ = individuals_base(v)
    assert base is not None
    assert base.spread == sum(abs(b - a) for a, b in pairwise(v)) / 2 == 2.5

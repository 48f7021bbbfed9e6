"""Bases and charts: constants against quadrature, faults, subgroups of unequal size."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, special, stats

from sparkout.faults import Place
from sparkout.measure.charts.base import ChartKind, individuals_base, mean_range_base, mean_sd_base
from sparkout.measure.charts.chart import individuals_chart, subgroup_chart
from sparkout.measure.charts.constants import c4, d2, d3


@pytest.mark.parametrize("n", [2, 3, 4, 6, 11, 25, 60, 100])
def test_mean_range_against_quadrature(n: int) -> None:
    value, _ = integrate.quad(
        lambda x: 1 - stats.norm.cdf(x) ** n - stats.norm.sf(x) ** n, -12, 12, epsabs=1e-12
    )
    assert d2(n) == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize("n", [3, 5, 10])
def test_spread_of_the_range_against_quadrature(n: int) -> None:
    # density of the range: n(n-1) * integral phi(x) phi(x+w) [Phi(x+w) - Phi(x)]^(n-2) dx
    x = np.linspace(-12, 12, 4801)

    def density(w: float) -> float:
        inner = (
            stats.norm.pdf(x)
            * stats.norm.pdf(x + w)
            * (stats.norm.cdf(x + w) - stats.norm.cdf(x)) ** (n - 2)
        )
        return float(n * (n - 1) * np.trapezoid(inner, x))

    square, _ = integrate.quad(lambda w: w * w * density(w), 0, 14, epsabs=1e-11)
    assert d3(n) == pytest.approx(math.sqrt(square - d2(n) ** 2), abs=1e-8)


@settings(deadline=None)
@given(st.floats(1.01, 1e6))
def test_c4_against_scipy(n: float) -> None:
    ratio = special.poch((n - 1) / 2, 0.5)
    assert c4(n) == pytest.approx(math.sqrt(2 / (n - 1)) * ratio, rel=1e-9)


def test_c4_is_continuous_where_the_series_takes_over() -> None:
    edge = 101.0  # x = (n - 1)/2 = 50
    assert c4(edge) == pytest.approx(c4(edge * (1 + 1e-15)), rel=1e-12)
    assert c4(np.nextafter(edge, 200.0)) == pytest.approx(c4(edge), rel=1e-12)


@pytest.mark.parametrize("call", [lambda: d2(1), lambda: d3(101), lambda: c4(1.0)])
def test_constants_name_a_size_out_of_range(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=r"got (1|101|1\.0)$"):
        call()


def test_one_subgroup_is_worth_its_own_degrees_of_freedom() -> None:
    # One range of two is chi with one degree of freedom; one s of n is chi with n - 1.
    base, _ = mean_range_base([[1.0, 3.0]])
    assert base is not None
    assert base.dof == pytest.approx(1.0, abs=1e-6)
    base, _ = mean_sd_base([[1.0, 3.0, 2.0, 5.0]])
    assert base is not None
    assert base.dof == pytest.approx(3.0, abs=1e-6)
    # Ten ranges of five: 36.5, table of degrees of freedom of a mean range (Duncan; from memory).
    base, _ = mean_range_base([[0.0, 1.0, 2.0, 3.0, 4.0]] * 10)
    assert base is not None
    assert base.dof == pytest.approx(36.5, abs=0.3)


def test_moving_range_worth_matches_simulation() -> None:
    # Coefficient of variation of the mean moving range of 12 readings, 40,000 draws.
    draws = np.random.default_rng(5).normal(size=(40_000, 12))
    moving = np.abs(np.diff(draws, axis=1)).mean(axis=1)
    base, _ = individuals_base([float(v) for v in draws[0]])
    assert base is not None
    ratio = math.sqrt(1 / c4(base.dof + 1) ** 2 - 1)
    assert ratio == pytest.approx(moving.std() / moving.mean(), rel=0.02)


def test_subgroups_of_unequal_size_each_have_their_own_limits() -> None:
    groups = [[1.0, 2.0], [1.0, 2.0, 3.0, 4.0], [2.0, 2.5, 3.0]]
    for make, what in ((mean_range_base, "range"), (mean_sd_base, "standard deviation")):
        base, _ = make(groups)
        assert base is not None
        assert base.centre == pytest.approx(20.5 / 9)
        chart, faults = subgroup_chart(base, groups)
        assert faults == ()
        assert chart is not None
        assert chart.spread.what == what
        for point, group in zip(chart.location.points, groups, strict=True):
            half = 3 * base.sigma / math.sqrt(len(group))
            assert point.upper == pytest.approx(base.centre + half)
    base, _ = mean_range_base(groups)
    assert base is not None
    assert base.sigma == pytest.approx((1 / d2(2) + 3 / d2(4) + 1 / d2(3)) / 3)


def test_moving_range_points_are_numbered_by_their_later_reading() -> None:
    base, _ = individuals_base([1.0, 2.0, 4.0])
    assert base is not None
    chart, _ = individuals_chart(base, [1.0, 2.0, 4.0])
    assert chart is not None
    assert [(p.number, p.value) for p in chart.spread.points] == [(2, 1.0), (3, 2.0)]
    assert chart.spread.points[0].lower == 0.0


def test_faults_say_where_what_and_what_to_do() -> None:
    place = Place("vacuum.csv", 3)
    base, faults = individuals_base([1.0, math.nan, math.inf], place)
    assert base is None
    assert [str(f) for f in faults] == [
        "vacuum.csv:3: found nan as reading 2; expected a finite number. "
        "Leave out what was not measured.",
        "vacuum.csv:3: found inf as reading 3; expected a finite number. "
        "Leave out what was not measured.",
    ]
    base, faults = individuals_base([5.0, 5.0, 5.0], place)
    assert base is None
    assert "no scatter at all" in faults[0].found
    base, faults = mean_range_base([[1.0], [2.0, 3.0]], place)
    assert base is None
    assert "1 reading(s) in subgroup 1" in faults[0].found
    assert mean_sd_base([], place)[1][0].found == "no subgroup"
    assert individuals_base([], place)[1][0].found == "0 readings"


def test_short_base_is_provisional_and_a_long_one_is_not() -> None:
    _, faults = individuals_base([float(i % 3) for i in range(19)])
    assert [f.stops for f in faults] == [False]
    _, faults = individuals_base([float(i % 3) for i in range(20)])
    assert faults == ()


def test_mixing_kinds_is_our_own_mistake() -> None:
    single, _ = individuals_base([1.0, 2.0])
    groups, _ = mean_sd_base([[1.0, 2.0]])
    assert single is not None
    assert groups is not None
    assert groups.kind is ChartKind.MEAN_SD
    with pytest.raises(ValueError, match="individuals and moving range cannot chart subgroups"):
        subgroup_chart(single, [[1.0, 2.0]])
    with pytest.raises(ValueError, match="cannot chart single readings"):
        individuals_chart(groups, [1.0])
    assert individuals_chart(single, [])[0] is None
    assert subgroup_chart(groups, [[1.0]])[0] is None


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.lists(st.floats(-1e3, 1e3), min_size=2, max_size=6), min_size=2, max_size=12),
    st.floats(-50.0, 50.0),
    st.floats(0.5, 20.0),
)
def test_a_chart_moves_and_stretches_with_its_readings(
    groups: list[list[float]], shift: float, scale: float
) -> None:
    base, _ = mean_range_base(groups)
    moved, _ = mean_range_base([[shift + scale * v for v in g] for g in groups])
    if base is None or base.sigma < 1e-3:
        return
    assert moved is not None
    assert moved.sigma == pytest.approx(scale * base.sigma, rel=1e-6)
    assert moved.centre == pytest.approx(shift + scale * base.centre, rel=1e-9, abs=1e-9)

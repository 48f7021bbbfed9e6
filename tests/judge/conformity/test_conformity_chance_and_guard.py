"""Conformance probabilities, guard bands and windows of acceptance."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from sparkout.judge.conformity.acceptance import acceptance, acceptance_many
from sparkout.judge.conformity.chance import conformance, conformance_many, range_conformance
from sparkout.judge.conformity.guard import expanded_guard, guard_band, guard_bands, iso_guard
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.uncertainty.distribution import cdf
from sparkout.measure.uncertainty.sums import Sums

GAUGE = (Component("gauge", 0.002),)
MIXED = (
    Component("gauge", 0.001),
    Component("blades", 0.003, Shape.RECTANGULAR),
    Component("repeat", 0.001, Shape.STUDENT, 6),
)
LOWER, UPPER = Fraction("86.000"), Fraction("86.030")


def at(text, parts=GAUGE):
    return Estimate(Fraction(text), parts)


def test_conformance_uses_the_true_shapes():
    found = conformance(at("86.004", MIXED), LOWER, UPPER)
    assert found.below == pytest.approx(cdf(MIXED, -0.004), abs=1e-12)
    assert found.above == pytest.approx(cdf(MIXED, -0.026), abs=1e-12)
    assert found.below + found.inside + found.above == pytest.approx(1.0, abs=1e-12)


def test_a_rectangular_doubt_conforms_with_the_share_inside():
    # a feeler pair: the gap lies anywhere from 0.10 to 0.15, limit 0.12: by arithmetic 2/5
    gap = Estimate(Fraction("0.125"), (Component("blades", 0.025 / 3**0.5, Shape.RECTANGULAR),))
    assert conformance(gap, None, Fraction("0.12")).inside == pytest.approx(0.4, abs=1e-12)


def test_exact_values_are_compared_exactly():
    third = Estimate(Fraction(1, 3))
    assert conformance(third, Fraction(1, 3), None).inside == 1.0
    assert conformance(third, None, Fraction(1, 3)).inside == 1.0
    hair = Fraction(1, 10**30)
    assert conformance(third, Fraction(1, 3) + hair, None).inside == 0.0


def test_no_limit_is_always_met():
    assert conformance(at("86.0"), None, None) == (0.0, 1.0, 0.0, True)


def test_both_ends_of_a_range_with_one_error_exactly():
    # by simulation of the one error: 400 000 seeded trials, four standard errors
    low, high = at("86.003"), at("86.026")
    found = range_conformance(low, high, LOWER, UPPER)
    error = np.random.default_rng(1).normal(0, 0.002, 400_000)
    share = ((86.003 + error >= 86.0) & (86.026 + error <= 86.03)).mean()
    assert found.exact
    assert found.inside == pytest.approx(share, abs=4 * math.sqrt(0.1 * 0.9 / 400_000))
    assert found.outside == pytest.approx(1 - found.inside)


def test_ends_with_errors_of_their_own_get_a_bound_on_the_safe_side():
    low = at("86.003", (Component("first", 0.002),))
    high = at("86.026", (Component("second", 0.002),))
    found = range_conformance(low, high, LOWER, UPPER)
    rng = np.random.default_rng(2)
    first, second = rng.normal(0, 0.002, (2, 400_000))
    share = ((86.003 + first >= 86.0) & (86.026 + second <= 86.03)).mean()
    assert not found.exact
    assert found.inside <= share + 4 * math.sqrt(0.1 * 0.9 / 400_000)
    assert found.outside == max(found.below, found.above)


def test_many_at_once_as_one_by_one():
    values = ["86.001", "86.015", "86.031", "86.0"]
    parts = [GAUGE, MIXED, GAUGE, ()]
    lower, upper = [86.0, -np.inf, 86.0, 86.0], [86.03, 86.03, np.inf, 86.03]
    found = conformance_many([float(v) for v in values], Sums.of(parts), lower, upper)
    bounds = [(LOWER, UPPER), (None, UPPER), (LOWER, None), (LOWER, UPPER)]
    for p, value, part, (low, high) in zip(found, values, parts, bounds, strict=True):
        assert p == pytest.approx(conformance(at(value, part), low, high).inside, abs=1e-9)


def test_limits_in_the_wrong_order_are_named():
    with pytest.raises(ValueError, match=r"upper limit 86\.0 lies below lower limit 86\.03"):
        conformance(at("86.01"), UPPER, LOWER)
    with pytest.raises(ValueError, match=r"high end 86\.0 lies below low end 86\.01"):
        range_conformance(at("86.01"), at("86.0"), LOWER, UPPER)


@pytest.mark.parametrize("risk", [0.001, 0.0228, 0.05, 0.2])
def test_guard_band_leaves_the_risk_asked_for(risk):
    w = guard_band(MIXED, risk)
    edge = Estimate(LOWER + Fraction(w), MIXED)
    assert 1 - conformance(edge, LOWER, None).inside == pytest.approx(risk, abs=1e-9)


def test_guard_bands_of_many_rows():
    rows = [GAUGE, MIXED, ()]
    one = [guard_band(row) for row in rows]
    np.testing.assert_allclose(guard_bands(Sums.of(rows)), one, rtol=1e-6)
    assert one[2] == 0.0
    assert one[0] == pytest.approx(1.6448536 * 0.002, rel=1e-7)


def test_wrong_guards_are_named():
    with pytest.raises(ValueError, match=r"risk 0\.5 is not between 0 and 0\.5"):
        guard_band(GAUGE, 0.5)
    with pytest.raises(ValueError, match=r"expanded uncertainty -1\.0"):
        expanded_guard(-1.0)
    with pytest.raises(ValueError, match=r"confidence 0\.4 is not between 0\.5 and 1"):
        iso_guard(0.1, 0.4)
    with pytest.raises(ValueError, match=r"standard uncertainty -0\.1"):
        iso_guard(-0.1)


def total_risk(v, low, high, width, lower=86.0, upper=86.03):
    return cdf(low, lower - v) + cdf(high, v + width - upper)


@pytest.mark.parametrize("width", [0.0, 0.01, 0.02, 0.0235])
@pytest.mark.parametrize("parts", [GAUGE, (Component("gauge", 0.001), MIXED[1].scaled(0.5))])
def test_window_edges_have_the_risk_asked_for(width, parts):
    window = acceptance(86.0, 86.03, parts, parts, width, 0.05)
    assert window.exact
    if not window.possible:
        best = min(total_risk(v, parts, parts, width) for v in np.linspace(86.0, 86.03, 31))
        assert best > 0.05
        assert window.risk_low == pytest.approx(
            min(total_risk(86 + i * 1e-4, parts, parts, width) for i in range(200)), abs=2e-4
        )
        return
    for edge, told in ((window.low, window.risk_low), (window.high, window.risk_high)):
        assert total_risk(edge, parts, parts, width) == pytest.approx(0.05, abs=1e-8)
        assert told == pytest.approx(0.05, abs=1e-8)
    middle = 0.5 * (window.low + window.high)
    assert total_risk(middle, parts, parts, width) <= 0.05


def test_the_window_closes_where_no_value_keeps_the_risk():
    # two limits 0.01 apart, u 0.003: even in the middle the risk is 2·Φ(−0.005/0.003) = 9.6 %
    gauge = (Component("gauge", 0.003),)
    window = acceptance(0.0, 0.01, gauge, gauge, 0.0, 0.05)
    assert not window.possible
    assert window.low == window.high == pytest.approx(0.005, abs=1e-9)
    assert window.risk_low == pytest.approx(2 * stats.norm.cdf(-5 / 3), abs=1e-9)


def test_a_window_between_near_limits_is_narrower_than_two_guard_bands():
    gauge = (Component("gauge", 0.003),)
    window = acceptance(0.0, 0.0125, gauge, gauge, 0.0, 0.05)
    guard = guard_band(gauge, 0.05)
    assert window.possible
    assert window.low > guard
    assert window.high < 0.0125 - guard


def test_one_limit_leaves_the_other_side_open():
    window = acceptance(86.0, None, GAUGE, GAUGE, 0.01)
    assert (window.high, window.possible) == (math.inf, True)
    assert window.low == pytest.approx(86.0 + guard_band(GAUGE), abs=1e-9)
    assert (window.risk_low, window.risk_high) == pytest.approx((0.05, 0.0))


def test_different_errors_are_told_as_a_bound():
    window = acceptance(86.0, 86.03, GAUGE, MIXED, 0.005)
    assert not window.exact
    assert total_risk(window.low, GAUGE, MIXED, 0.005) == pytest.approx(0.05, abs=1e-8)


def test_windows_of_many_rows_as_one_by_one():
    rng = np.random.default_rng(5)
    count = 40
    low = [
        (Component("a", float(u)), Component("b", float(v), Shape.RECTANGULAR))
        for u, v in rng.uniform(0.001, 0.004, (count, 2))
    ]
    high = [(Component("c", float(u)),) for u in rng.uniform(0.001, 0.004, count)]
    width = rng.uniform(0.0, 0.028, count)
    lower = np.where(rng.random(count) < 0.2, -np.inf, 86.0)
    upper = np.where(rng.random(count) < 0.2, np.inf, 86.03)
    found = acceptance_many(lower, upper, Sums.of(low), Sums.of(high), width, 0.05)
    assert 0 < found.possible.sum() < count
    for i in range(count):
        floor = None if np.isinf(lower[i]) else 86.0
        ceiling = None if np.isinf(upper[i]) else 86.03
        one = acceptance(floor, ceiling, low[i], high[i], float(width[i]), 0.05)
        assert found.possible[i] == one.possible
        assert found.low[i] == pytest.approx(one.low, abs=1e-7)
        assert found.high[i] == pytest.approx(one.high, abs=1e-7)


def test_wrong_windows_are_named():
    with pytest.raises(ValueError, match=r"risk 0\.6 is not between"):
        acceptance(0.0, 1.0, GAUGE, GAUGE, 0.0, 0.6)
    with pytest.raises(ValueError, match=r"width -0\.1 is below zero"):
        acceptance(0.0, 1.0, GAUGE, GAUGE, -0.1)
    with pytest.raises(ValueError, match=r"upper limit 0\.0 lies below lower limit 1\.0"):
        acceptance(1.0, 0.0, GAUGE, GAUGE, 0.0)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.0005, 0.01), st.floats(0.0, 0.02), st.floats(0.01, 0.3))
def test_more_risk_allowed_never_narrows_a_window(u, width, risk):
    parts = (Component("gauge", u),)
    strict = acceptance(86.0, 86.03, parts, parts, width, risk)
    loose = acceptance(86.0, 86.03, parts, parts, width, min(0.49, risk * 1.5))
    if strict.possible:
        assert loose.possible
        assert loose.low <= strict.low + 1e-9
        assert loose.high >= strict.high - 1e-9

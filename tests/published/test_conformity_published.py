"""Published examples of decisions under uncertainty.

JCGM 106:2012 and ISO 14253-1:2017: recalled from memory, inputs and results reproduce each other.
Deaver and the capability case were read in a stored copy of the tests of the public package suncal.
"""

import math
from fractions import Fraction

import numpy as np
import pytest
from scipy import stats

from sparkout.judge.conformity.chance import conformance
from sparkout.judge.conformity.guard import expanded_guard, guard_band, iso_guard, iso_guard_factor
from sparkout.judge.conformity.risks import consumer_risk, global_risks
from sparkout.judge.conformity.rules import Asked, Outcome, prove_conformity
from sparkout.judge.conformity.zones import proof_zones
from sparkout.measure.estimate import Component, Estimate


def known(value, u):
    return Estimate(Fraction(str(value)), (Component("measurement", u),))


def test_breakdown_voltage_of_a_zener_diode():
    # JCGM 106, clause 7: -5.47 V, u 0.05 V, upper limit -5.40 V
    found = conformance(known(-5.47, 0.05), None, Fraction("-5.40"))
    assert found.inside == pytest.approx(0.92, abs=0.005)
    assert found.inside == pytest.approx(0.9192, abs=0.0001)


def test_kinematic_viscosity_of_engine_oil():
    # JCGM 106, clause 7: 13.6 mm2/s, u 1.8, limits 12.5 and 16.3
    found = conformance(known(13.6, 1.8), Fraction("12.5"), Fraction("16.3"))
    assert found.inside == pytest.approx(0.66, abs=0.005)
    assert found.inside == pytest.approx(0.6626, abs=0.0002)


@pytest.mark.parametrize(
    ("w", "risk"),
    [
        (expanded_guard(2.0), 0.0228),  # w = U = 2u
        (1.645, 0.0500),
        (expanded_guard(2.0, 0.0), 0.5),  # simple acceptance
        (expanded_guard(2.0, 0.83), 0.0485),
    ],
)
def test_risk_at_the_edge_of_acceptance(w, risk):
    # one limit, u = 1; normal theory
    edge = Estimate(Fraction(-w), (Component("measurement", 1.0),))
    assert consumer_risk(edge, None, Fraction(0)) == pytest.approx(risk, abs=1e-4)
    if 0.0 < risk < 0.5:
        assert guard_band(edge.components, consumer_risk(edge, None, Fraction(0))) == pytest.approx(
            w
        )


def test_iso_14253_1_default_zones():
    # limits 10.000 and 10.050, u 0.004, 95 %: guard factor 1.65
    assert iso_guard_factor() == 1.65
    assert iso_guard(0.004) == pytest.approx(0.0066, abs=1e-15)
    asked = Asked(Fraction(10), Fraction("10.05"))
    zones = proof_zones((Component("measurement", 0.004),), asked)
    found = (zones.out_below, zones.low, zones.high, zones.out_above)
    assert found == pytest.approx((9.9934, 10.0066, 10.0434, 10.0566), abs=1e-12)


@pytest.mark.parametrize(
    ("value", "outcome"),
    [
        ("9.9933999", Outcome.OUT),
        ("9.9934", Outcome.NOT_PROVEN),
        ("10.0065999", Outcome.NOT_PROVEN),
        ("10.0066", Outcome.WITHIN),
        ("10.0434", Outcome.WITHIN),
        ("10.0434001", Outcome.NOT_PROVEN),
        ("10.0566", Outcome.NOT_PROVEN),
        ("10.0566001", Outcome.OUT),
    ],
)
def test_iso_14253_1_on_both_sides_of_every_edge(value, outcome):
    asked = Asked(Fraction(10), Fraction("10.05"))
    reading = known(value, 0.004)
    assert prove_conformity(reading, reading, asked).outcome is outcome


def test_false_accept_and_false_reject_of_deaver():
    # process sd 4, measurement sd 1, limits ±8, accepted on the limits: PFA 0.008, PFR 0.015
    process = Estimate(Fraction(0), (Component("process", 4.0),))
    found = global_risks(process, (Component("meter", 1.0),), -8.0, 8.0, -8.0, 8.0)
    assert found.consumer == pytest.approx(0.008, abs=0.0005)
    assert found.producer == pytest.approx(0.015, abs=0.0005)


def test_capability_of_a_process():
    # N(10, 0.4) against 9 to 11: Cpk 0.8333, share outside 0.01242
    process = known(10, 0.4)
    found = conformance(process, Fraction(9), Fraction(11))
    assert found.outside == pytest.approx(0.01242, abs=0.000005)
    assert min(11 - 10, 10 - 9) / (3 * process.u) == pytest.approx(0.8333, abs=0.00005)


@pytest.mark.parametrize("guard", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("centre", [0.0, 1.5])
def test_global_risks_by_scipys_bivariate_normal(guard, centre):
    spread, u, limit, accept = 2.0, 0.7, 4.0, 4.0 - guard
    process = Estimate(Fraction(centre), (Component("process", spread),))
    found = global_risks(process, (Component("m", u),), -limit, limit, -accept, accept)
    both = stats.multivariate_normal(
        [centre, centre],
        [[spread**2, spread**2], [spread**2, spread**2 + u**2]],
        abseps=1e-9,
        releps=1e-9,
    )

    def box(a, b):
        """P(true below a, measured below b)."""
        return both.cdf([a, b])

    joint = box(limit, accept) - box(-limit, accept) - box(limit, -accept) + box(-limit, -accept)
    true = stats.norm(centre, spread)
    read = stats.norm(centre, math.hypot(spread, u))
    conforming = true.cdf(limit) - true.cdf(-limit)
    accepted = read.cdf(accept) - read.cdf(-accept)
    assert found.conforming == pytest.approx(conforming, abs=1e-8)
    assert found.accepted == pytest.approx(accepted, abs=1e-8)
    assert found.consumer == pytest.approx(accepted - joint, abs=1e-6)
    assert found.producer == pytest.approx(conforming - joint, abs=1e-6)


def test_a_reading_weighed_with_its_process():
    # JCGM 106, annex A: normal prior and normal measurement, checked by integrating Bayes' rule
    from sparkout.judge.conformity.risks import with_process

    together = with_process(known("10.02", 0.01), known(10, 0.005))
    eta = np.linspace(9.9, 10.1, 200_001)
    posterior = stats.norm.pdf(eta, 10, 0.005) * stats.norm.pdf(10.02, eta, 0.01)
    posterior /= posterior.sum()
    mean = float(posterior @ eta)
    assert float(together.value) == pytest.approx(mean, abs=1e-7)
    assert together.u == pytest.approx(math.sqrt(posterior @ (eta - mean) ** 2), rel=1e-5)

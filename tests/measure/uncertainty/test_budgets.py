"""Budgets: sums, shared sources, tables."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.uncertainty.budget import Input, budget
from sparkout.measure.uncertainty.budget_table import budget_rows, budget_table, significant
from sparkout.measure.uncertainty.effective import coverage_factor, effective_dof

RING = Component("ring RM-100", 0.0006)
BORE = Input(
    "bore", Estimate(Fraction("86.020"), (RING, Component("repeat bore", 0.001, Shape.STUDENT, 9)))
)
PISTON = Input(
    "piston",
    Estimate(Fraction("85.975"), (Component("micrometer", 0.001), RING.scaled(0.5))),
)


def clearance():
    return budget("clearance", lambda bore, piston: bore - piston, (BORE, PISTON))


def test_a_source_in_two_inputs_is_added_before_it_is_squared():
    found = clearance()
    # by hand: ring 0.0006 - 0.0003, others as they are
    assert found.u == pytest.approx(math.sqrt(0.0003**2 + 0.001**2 + 0.001**2), rel=1e-12)
    assert found.value == pytest.approx(0.045)
    ring = [row for row in found.rows if row.source == "ring RM-100"]
    assert [row.shared for row in ring] == [True, True]
    assert [row.contribution for row in ring] == pytest.approx([0.0006, -0.0003])
    assert ring[0].share == pytest.approx(0.09e-6 / found.u**2)


def test_shares_of_all_sources_add_to_one():
    found = clearance()
    assert sum({row.source: row.share for row in found.rows}.values()) == pytest.approx(1.0)


def test_sensitivities_may_be_given_instead_of_a_function():
    by_hand = budget("clearance", (1, -1), (BORE, PISTON))
    found = clearance()
    assert by_hand.u == pytest.approx(found.u, rel=1e-12)
    assert [row.contribution for row in by_hand.rows] == pytest.approx(
        [row.contribution for row in found.rows]
    )


def test_expanded_uncertainty_follows_from_effective_degrees_of_freedom():
    found = clearance()
    assert found.dof == pytest.approx(found.u**4 / (0.001**4 / 9))
    assert found.k == coverage_factor(0.95, math.floor(found.dof))
    assert found.expanded == found.k * found.u


def test_the_table_can_be_checked_by_hand():
    text = budget_table(clearance())
    assert text == (
        "quantity   estimate  source of uncertainty  standard u  distribution  dof  sensitivity"
        "  contribution     share\n"
        "--------  ---------  ---------------------  ----------  ------------  ---  -----------"
        "  ------------  --------\n"
        "bore       86.02 mm  ring RM-100 (shared)      0.00060  normal          ∞            1"
        "       0.00060     4.3 %\n"
        "bore       86.02 mm  repeat bore                0.0010  student         9            1"
        "        0.0010    47.8 %\n"
        "piston    85.975 mm  micrometer                 0.0010  normal          ∞           -1"
        "       -0.0010    47.8 %\n"
        "piston    85.975 mm  ring RM-100 (shared)      0.00030  normal          ∞           -1"
        "      -0.00030  as above\n"
        "\n"
        "ring RM-100, one error in several inputs: together 0.00030 mm\n"
        "clearance = 0.045 mm\n"
        "u = 0.0014 mm\n"
        "U = 0.0029 mm (k = 2.02 for 95 % coverage, 39.3 effective degrees of freedom)\n"
    )


def test_rows_are_the_table_without_its_spacing():
    rows = budget_rows(clearance())
    assert len(rows) == 5
    assert rows[2] == (
        "bore",
        "86.02 mm",
        "repeat bore",
        "0.0010",
        "student",
        "9",
        "1",
        "0.0010",
        "47.8 %",
    )


def test_second_order_terms_are_named():
    x = Input("x", Estimate(0, (Component("a", 0.2),)))
    y = Input("y", Estimate(0, (Component("b", 0.3),)))
    found = budget("product", lambda a, b: a * b, (x, y), second_order=True)
    assert found.u == pytest.approx(0.06, rel=1e-9)
    assert found.second is not None
    assert found.second.pairs[0] == ("a", "b", pytest.approx(0.06))
    assert "second-order terms: u² + (0.060 mm)²" in budget_table(found)


def test_nothing_uncertain_is_said_as_it_is():
    found = budget("size", (1.0,), (Input("bore", Estimate(86)),))
    assert (found.u, found.expanded, found.rows) == (0.0, 0.0, ())
    assert "u = 0 mm" in budget_table(found)


def test_wrong_calls_are_named():
    with pytest.raises(ValueError, match="budget of 'size' has no inputs"):
        budget("size", (), ())
    with pytest.raises(ValueError, match="has 2 inputs and 1 sensitivities"):
        budget("size", (1.0,), (BORE, PISTON))
    with pytest.raises(ValueError, match="no uncertainty at all"):
        effective_dof(())
    with pytest.raises(ValueError, match=r"coverage 1\.0 is not between"):
        coverage_factor(1.0)
    with pytest.raises(ValueError, match=r"degrees of freedom 0\.2 are below 1"):
        coverage_factor(0.95, 0.2)


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0029, "0.0029"), (0.0996, "0.10"), (12.4, "12"), (124.0, "124"), (-0.00031, "-0.00031")],
)
def test_two_significant_digits(value, text):
    assert significant(value) == text


@given(st.lists(st.tuples(st.floats(0.01, 1), st.integers(1, 60)), min_size=1, max_size=6))
def test_effective_degrees_lie_between_the_least_and_the_sum(rows):
    parts = tuple(Component(f"s{i}", u, Shape.STUDENT, dof) for i, (u, dof) in enumerate(rows))
    found = effective_dof(parts)
    assert min(dof for _, dof in rows) * (1 - 1e-9) <= found
    assert found <= sum(dof for _, dof in rows) * (1 + 1e-9)

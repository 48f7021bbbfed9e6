"""Sizes brought to 20 °C."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.measure.estimate import Estimate
from sparkout.measure.temperature import (
    Expansion,
    Temperature,
    at_reference,
    corrected,
    expansion_components,
    part_at_reference,
)

F = Fraction
ALUMINIUM = Expansion("aluminium 6061", F("23.6e-6"))
IRON = Expansion("grey iron", F("11.4e-6"), F("1e-6"))
STEEL = Expansion("steel 1020", F("11.7e-6"), F("1e-6"))


def test_a_warm_aluminium_part():
    # arithmetic: 100 mm of 6061 (23.6e-6 per °C: Callister, table B.6, read in a stored copy) at
    # 30 °C is 100.0236 mm long
    assert at_reference(F("100.0236"), ALUMINIUM, F(30)) == 100


def test_warm_iron_of_100_mm_by_12_degrees_is_13_or_14_micrometres():
    # common practice: 100 mm of iron 12 °C warm is about 0.013 mm longer
    longer = 100 - at_reference(F(100), IRON, F(32))
    assert float(longer) == pytest.approx(0.013, abs=0.001)


def test_part_and_gauge_of_one_material_and_temperature_read_right():
    assert part_at_reference(F("56.1"), STEEL, F(27), STEEL, F(27)) == F("56.1")


def test_only_the_difference_of_materials_counts_at_one_temperature():
    # by hand: 100·(1 + 11.7e-6·10)/(1 + 23.6e-6·10)
    found = part_at_reference(F(100), ALUMINIUM, F(30), STEEL, F(30))
    assert float(found) == pytest.approx(100 * (1 + 11.7e-5) / (1 + 23.6e-5), rel=1e-15)


def test_components_by_hand():
    warm = Temperature(F(30), F(2), "thermometer T-1")
    parts = {p.source: p.u for p in expansion_components(F(100), IRON, warm, -1)}
    assert parts["thermometer T-1"] == pytest.approx(-100 * 11.4e-6 * 2 / 3**0.5)
    assert parts["expansion of grey iron"] == pytest.approx(-100 * 10 * 1e-6 / 3**0.5)


def test_one_thermometer_is_one_error():
    warm = Temperature(F(28), F(2), "thermometer T-1")
    own = Temperature(F(28), F(2), "thermometer T-2")
    one = corrected(Estimate(F(100)), IRON, warm, STEEL, warm)
    two = corrected(Estimate(F(100)), IRON, warm, STEEL, own)
    assert one.u < two.u
    shared = next(p for p in one.components if p.source == "thermometer T-1")
    assert shared.u == pytest.approx(100 * (11.7e-6 - 11.4e-6) * 2 / 3**0.5)


def test_one_material_is_one_coefficient():
    warm, cold = (Temperature(F(t), F(0), f"t{t}") for t in (30, 26))
    found = corrected(Estimate(F(100)), IRON, warm, IRON, cold)
    (part,) = found.components
    # by hand: δα acts on the difference of both temperatures only
    assert abs(part.u) == pytest.approx(100 * 4 * 1e-6 / 3**0.5)


@given(st.fractions(1, 300), st.fractions(0, 60), st.fractions(0, 60))
def test_correction_there_and_back(size, part_t, gauge_t):
    there = part_at_reference(size, IRON, part_t, STEEL, gauge_t)
    assert part_at_reference(there, STEEL, gauge_t, IRON, part_t) == size


@given(st.fractions(1, 300), st.fractions(20, 60))
def test_the_uncertainty_grows_away_from_20_degrees(size, t):
    near, far = (
        corrected(
            Estimate(size),
            IRON,
            Temperature(at, F(1), "part"),
            STEEL,
            Temperature(at, F(1), "gauge"),
        ).u
        for at in (F(20), t)
    )
    assert far >= near * (1 - 1e-12)
    assert math.isfinite(far)


@pytest.mark.parametrize(
    ("made", "message"),
    [
        (lambda: Expansion("iron", F("11.4")), r"expansion of 'iron': 11\.4 per °C is not between"),
        (lambda: Expansion("iron", F("1e-5"), F(-1)), r"half-width -1\.0 is negative"),
        (lambda: Temperature(F(400), F(1), "T-1"), r"temperature 400\.0 °C \(T-1\)"),
        (lambda: Temperature(F(20), F(-1), "T-1"), r"half-width -1\.0 °C is negative"),
    ],
)
def test_values_out_of_range_are_named(made, message):
    with pytest.raises(ValueError, match=message):
        made()

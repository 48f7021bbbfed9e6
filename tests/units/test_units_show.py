"""Exact values shown: rounded once, half to even, to the digits the step deserves."""

import decimal
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.units import (
    parse,
    parse_length,
    parse_range,
    rounded,
    show,
    show_quantity,
    show_range,
    text_of,
)

INCH = F(254, 10)


@pytest.mark.parametrize(
    ("value", "kwargs", "text"),
    [
        (F("100.0205"), {}, "100.020 mm"),
        (F("100.0215"), {}, "100.022 mm"),
        (F("100.246"), {"step": F(1, 100)}, "100.25 mm"),
        (F("100.246"), {"step": F(1)}, "100 mm"),
        (F("0.002"), {"step": F(2, 1000)}, "0.002 mm"),
        (F("4.0046") * INCH, {"system": "inch"}, "4.0046 in"),
        (F("0.0046") * INCH, {"system": "inch", "form": "short"}, ".0046"),
        (F("-0.0046") * INCH, {"system": "inch", "form": "short"}, "-.0046"),
        (F("4.0046") * INCH, {"system": "inch", "form": "short"}, "4.0046"),
        (F("0.0046"), {"form": "short"}, "0.005"),
        (F("0.0025") * INCH, {"form": "thou"}, "2.5 thou"),
        (F("0.0025") * INCH, {"form": "thou", "step": INCH / 1000}, "2 thou"),
        (F("-0.0004"), {}, "0.000 mm"),
        (F("0.0004"), {"signed": True}, "0.000 mm"),
        (F("0.01"), {"signed": True}, "+0.010 mm"),
        (F("-0.01"), {"signed": True}, "-0.010 mm"),
        (F(1, 1000), {"system": "inch", "step": F(1, 1000)}, "0.00004 in"),
        (0.5, {}, "0.500 mm"),
    ],
)
def test_lengths(value: F, kwargs: dict, text: str) -> None:
    assert show(value, **kwargs) == text


@pytest.mark.parametrize(
    ("value", "dimension", "system", "text"),
    [
        (95, "torque", "mm", "95.0 N·m"),
        (95, "torque", "inch", "70.1 lbf·ft"),  # 95 / 1.355818 = 70.07
        (F(100), "temperature", "inch", "212.0 °F"),
        (F("44.5"), "angle", "mm", "44.50°"),
        (F("0.28"), "pressure", "inch", "40.6 psi"),  # 280 / 6.894757 = 40.61
        (F(46200), "volume", "mm", "46.20 cm³"),
        (F("0.8"), "roughness", "inch", "31 µin"),  # 0.8 / 0.0254 = 31.5 -> 31.496
        (F(5400), "time", "mm", "90.0 min"),
        (F(4), "count", "mm", "4"),
        (F(5), "percent", "mm", "5.0 %"),
        (F("612.5"), "mass", "inch", "612.5 g"),
    ],
)
def test_other_dimensions(value: F, dimension: str, system: str, text: str) -> None:
    assert show_quantity(value, dimension, system) == text


def test_a_chosen_unit_is_used() -> None:
    assert show_quantity(F("0.28"), "pressure", unit="bar", step=F(1, 100)) == "2.8 bar"
    assert show_quantity(F(52), "hardness", unit="HRC", step=F(1)) == "52 HRC"


def test_a_typed_quantity_keeps_its_digits() -> None:
    assert text_of(parse_length("3.480 in"), "inch") == "3.480 in"
    assert text_of(parse("600 HV 10", "hardness")) == "600 HV10"
    assert text_of(parse_length("100.5 mm"), "inch") == "3.957 in"  # 0.1 mm is 0.0039 in


@pytest.mark.parametrize(
    ("typed", "system", "text"),
    [
        ("100.000 to 100.020 mm", "mm", "100.000 to 100.020 mm"),
        ("at least 327.30 mm", "mm", "at least 327.30 mm"),
        ("at most 0.05 mm", "inch", "at most 0.0019 in"),
        ("at least 0.05 mm", "inch", "at least 0.0020 in"),
        ("38.0 ± 0.2 mm", "mm", "37.8 to 38.2 mm"),
        ("at most 0.002 in", "mm", "at most 0.050 mm"),  # 0.0508 mm, inwards
        ("0.05 to 0.051 mm", "inch", "0.0020 to 0.0020 in"),
        ("0.0505 to 0.0507 mm", "inch", "0.00199 to 0.00199 in"),  # nothing fits 0.0001 in
    ],
)
def test_limits_convert_inwards(typed: str, system: str, text: str) -> None:
    assert show_range(parse_range(typed, "length"), system) == text


def test_hardness_limits_show_their_scale() -> None:
    assert show_range(parse_range("48 to 55 HRC", "hardness")) == "48 to 55 HRC"


def test_wrong_calls_raise() -> None:
    with pytest.raises(LookupError, match="feet"):
        show(F(1), "feet")
    with pytest.raises(LookupError, match="long"):
        show(F(1), form="long")
    with pytest.raises(ValueError, match="above zero"):
        show(F(1), step=F(0))
    with pytest.raises((ValueError, OverflowError)):
        show(float("nan"))


@settings(deadline=None)
@given(st.decimals(-2000, 2000, places=5), st.sampled_from(["mm", "in", "thou", "µm"]))
def test_round_trip_from_text(number: object, unit: str) -> None:
    """Typed, read, shown at its own step, read again: the same exact value."""
    read = parse_length(f"{number} {unit}", "mm")
    system = "inch" if unit in ("in", "thou") else "mm"
    form = "thou" if unit == "thou" else "full"
    again = parse_length(show(read.value, system, read.step, form=form))
    assert again.value == read.value


@settings(deadline=None)
@given(
    st.fractions(-5000, 5000, max_denominator=10**9),
    st.integers(0, 6),
    st.sampled_from(["mm", "inch"]),
)
def test_shown_value_is_within_half_a_digit_and_never_minus_zero(
    value: F, places: int, system: str
) -> None:
    unit = F(1) if system == "mm" else INCH
    text = show(value, system, unit / 10**places)
    back = parse_length(text).value
    assert abs(back - value) <= unit / 10**places / 2
    assert not (text.startswith("-") and back == 0)


@settings(deadline=None)
@given(st.integers(-(10**6), 10**6), st.integers(0, 6))
def test_exact_halves_round_as_the_standard_library_rounds_them(half: int, places: int) -> None:
    # decimal's ROUND_HALF_EVEN is an independent implementation of the same rule.
    value = F(2 * half + 1, 2 * 10**places)
    exact = decimal.Decimal(value.numerator) / value.denominator
    expected = exact.quantize(decimal.Decimal(1).scaleb(-places), decimal.ROUND_HALF_EVEN)
    assert F(rounded(value, places)) == F(expected)

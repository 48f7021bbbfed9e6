"""Limits as typed. Expected ends are arithmetic beside them."""

from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.units import QuantityError, Range, inward, parse_range

INCH = F(254, 10)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("100.000 to 100.020 mm", "100", "100.02"),
        ("100.000 mm to 100.020 mm", "100", "100.02"),
        ("100.000–100.020 mm", "100", "100.02"),
        ("100.000 – 100.020 mm", "100", "100.02"),
        ("100.000 … 100.020 mm", "100", "100.02"),
        ("100.000...100.020 mm", "100", "100.02"),
        ("0.03-0.08 mm", "0.03", "0.08"),
        ("0,03-0,08 mm", "0.03", "0.08"),
        ("0.03 mm - 0.08 mm", "0.03", "0.08"),
        ("-0.02 to +0.05 mm", "-0.02", "0.05"),
        ("-0.02 - 0.05 mm", "-0.02", "0.05"),
        ("-0.05 to -0.02 mm", "-0.05", "-0.02"),
        ("between 1 and 2 mm", "1", "2"),
        ("from 1 to 2 mm", "1", "2"),
        ("at most 0.05 mm", None, "0.05"),
        ("At most: 0.05 mm", None, "0.05"),
        ("max. 0.05 mm", None, "0.05"),
        ("0.05 mm max", None, "0.05"),
        ("≤ 0.05 mm", None, "0.05"),
        ("<= 0.05 mm", None, "0.05"),
        ("at least 327.30 mm", "327.3", None),
        ("327.30 mm min", "327.3", None),
        (">=327.30 mm", "327.3", None),
        ("38.0 ± 0.2 mm", "37.8", "38.2"),
        ("38.0 mm ± 0.2 mm", "37.8", "38.2"),
        ("38.0mm±0.2mm", "37.8", "38.2"),
        ("60.00 +/- 0.03 mm", "59.97", "60.03"),
        ("±0.03 mm", "-0.03", "0.03"),
        ("100.01 mm +0.01/-0", "100.01", "100.02"),
        ("100.01 +0.01/-0 mm", "100.01", "100.02"),
        ("100.01 -0/+0.01 mm", "100.01", "100.02"),
        ("100.01 mm +0.02/0", "100.01", "100.03"),
        ("100 mm +0.01 -0.02", "99.98", "100.01"),
        ("65 -0.010/-0.029 mm", "64.971", "64.990"),
        ("at least -0.02 mm", "-0.02", None),
    ],
)
def test_limits_in_mm(text: str, low: str | None, high: str | None) -> None:
    read = parse_range(text, "length")
    assert read.low == (None if low is None else F(low))
    assert read.high == (None if high is None else F(high))
    assert read.typed == text


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("3.9995 to 4.0010", F("3.9995"), F("4.0010")),
        ("60.00 +/- 0.03", F("59.97"), F("60.03")),
        ("1/8 - 3/16", F(1, 8), F(3, 16)),
        ("0-1/16", F(0), F(1, 16)),
        ("1-3/4 to 1-7/8", F(7, 4), F(15, 8)),
        ("at most 2 thou", None, F(2, 1000)),
        ("5 tenths to 1 thou", F(5, 10000), F(1, 1000)),
    ],
)
def test_limits_in_an_inch_place(text: str, low: F | None, high: F) -> None:
    read = parse_range(text, "length", "in")
    assert read.low == (None if low is None else low * INCH)
    assert read.high == high * INCH


def test_the_finest_digit_typed_is_kept() -> None:
    assert parse_range("38.0 ± 0.25 mm", "length").step == F(1, 100)
    assert parse_range("3.9995 to 4.001 in", "length").step == INCH / 10000


def test_a_tolerance_on_a_temperature_is_a_difference() -> None:
    read = parse_range("68 ± 9 °F", "temperature")
    assert (read.low, read.high) == (F(15), F(25))  # 59 °F and 77 °F


def test_hardness_limits_keep_their_scale() -> None:
    read = parse_range("48 to 55 HRC", "hardness")
    assert (read.low, read.high, read.unit) == (48, 55, "HRC")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0.08 to 0.03 mm", "the lower end first"),
        ("0.05 mm", "which has one end"),
        ("< 0.05 mm", "does not say whether the end itself is allowed"),
        ("under 0.05 mm", "does not say whether the end itself is allowed"),
        ("0.02 -0.05 mm", "two limits or a size with one deviation"),
        ("100 mm +0.02", "two limits or a size with one deviation"),
        ("100 mm +0.02 0.01 mm", "not a size with an upper and a lower deviation"),
        ("100 mm 0.02 mm", "no word between its numbers"),
        ("1 to 2 to 3 to 4 mm", "more numbers than limits need"),
        ("100 +0.01 to -0.02 mm", "not a size with an upper and a lower deviation"),
        ("38 ± -0.2 mm", "a sign behind ±"),
        ("about 1 to 2 mm", "'about' before two numbers"),
        ("roughly 1 mm", "'roughly' before the number"),
        ("1 to 2 Nm", "a torque"),
        ("1 to 2", "without a unit"),
        ("100 H7", "'H7' as the unit"),
        ("", "found nothing"),
        ("at most", "which has no number"),
        ("48 HRC to 600 HV", "a hardness with its scale"),
    ],
)
def test_limits_refused(text: str, says: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_range(text, "length")
    assert says in str(refused.value)


def test_mixed_hardness_scales_are_refused() -> None:
    with pytest.raises(QuantityError, match="mixes two hardness scales"):
        parse_range("48 HRC to 600 HV", "hardness")


def test_both_ends_belong_to_the_limits() -> None:
    limits = parse_range("0.03 to 0.08 mm", "length")
    assert F(3, 100) in limits
    assert F(8, 100) in limits
    assert F(81, 1000) not in limits
    assert F(-5) in parse_range("at most 0.05 mm", "length")


def test_a_converted_limit_is_rounded_inwards() -> None:
    # 0.05 mm = 0.00196… in, 0.10 mm = 0.00393… in: the nearest 0.0001 in would allow 0.0508 mm.
    inside = inward(parse_range("0.05 to 0.10 mm", "length"), INCH / 10000)
    assert (inside.low, inside.high) == (INCH * 20 / 10000, INCH * 39 / 10000)
    with pytest.raises(QuantityError, match="narrower than one step"):
        inward(parse_range("0.051 to 0.052 mm", "length"), INCH / 1000)
    with pytest.raises(ValueError, match="above zero"):
        inward(parse_range("0.05 to 0.10 mm", "length"), F(0))


@settings(deadline=None)
@given(
    st.fractions(-1000, 1000, max_denominator=10**6),
    st.fractions(0, 10, max_denominator=10**6),
    st.fractions(F(1, 10**6), 1, max_denominator=10**6).filter(bool),
)
def test_inward_never_allows_more_and_gives_away_less_than_a_step(
    low: F, width: F, step: F
) -> None:
    limits = Range(low, low + width, "typed", "mm", step)
    try:
        inside = inward(limits, step)
    except QuantityError:
        assert width < step
        return
    assert inside.low is not None
    assert inside.high is not None
    assert low <= inside.low < low + step
    assert low + width - step < inside.high <= low + width
    assert (inside.low / step).denominator == (inside.high / step).denominator == 1

"""What machinists type, to exact values. Expected values are arithmetic written out beside them,
with 1 in = 25.4 mm exactly."""

import pickle
from fractions import Fraction as F

import pytest

from sparkout.units import QuantityError, parse, parse_deviation, parse_length

INCH = F(254, 10)


@pytest.mark.parametrize(
    ("text", "unit", "mm", "step"),
    [
        ("0.08 mm", "mm", F(8, 100), F(1, 100)),
        ("0,08 mm", "mm", F(8, 100), F(1, 100)),
        (",08", "mm", F(8, 100), F(1, 100)),
        ("100,020", "mm", F(100020, 1000), F(1, 1000)),
        ("3 27/64 in", "mm", INCH * (3 + F(27, 64)), INCH / 64),
        ("3-27/64", "in", INCH * (3 + F(27, 64)), INCH / 64),
        ("3½ in", "mm", INCH * F(7, 2), INCH / 2),
        ("27/64 in", "mm", INCH * F(27, 64), INCH / 64),
        ("27⁄64″", "mm", INCH * F(27, 64), INCH / 64),
        (".0025", "in", INCH * F(25, 10000), INCH / 10000),
        ('0.002"', "mm", INCH * F(2, 1000), INCH / 1000),
        ("0.002''", "mm", INCH * F(2, 1000), INCH / 1000),
        ("0.004 in.", "mm", INCH * F(4, 1000), INCH / 1000),
        ("0.011-inch", "mm", INCH * F(11, 1000), INCH / 1000),
        ("2.5 thou", "mm", INCH * F(25, 10000), INCH / 10000),
        ("2.5 mil", "mm", INCH * F(25, 10000), INCH / 10000),
        ("5 tenths", "in", INCH * F(5, 10000), INCH / 10000),
        ("5 tenths", "thou", INCH * F(5, 10000), INCH / 10000),
        ("4 thou 5 tenths", "in", INCH * F(45, 10000), INCH / 10000),
        ("5 tenths of a mm", "mm", F(1, 2), F(1, 10)),
        ("8 hundredths", "mm", F(8, 100), F(1, 100)),
        ("15 µm", "mm", F(15, 1000), F(1, 1000)),
        ("15 μm", "mm", F(15, 1000), F(1, 1000)),
        ("15 um", "mm", F(15, 1000), F(1, 1000)),
        ("15 micron", "mm", F(15, 1000), F(1, 1000)),
        ("12.5 cm", "mm", F(125), F(1)),
        ("1.2 m", "mm", F(1200), F(100)),
        ("100 MM", "in", F(100), F(1)),
        ("−0.5 mm", "mm", F(-1, 2), F(1, 10)),
        ("- 0.5 mm", "mm", F(-1, 2), F(1, 10)),
        ("-4 thou 5 tenths", "in", -INCH * F(45, 10000), INCH / 10000),
        ("3.480", "in", INCH * F(3480, 1000), INCH / 1000),
    ],
)
def test_lengths_are_exact(text: str, unit: str, mm: F, step: F) -> None:
    read = parse_length(text, unit)
    assert read.value == mm
    assert read.step == step
    assert read.typed == text
    assert read.dimension == "length"


def test_bare_number_says_it_was_read_in_the_default_unit() -> None:
    bare = parse_length(" .0025 ", "in")
    assert (bare.unit, bare.bare, bare.typed, bare.text) == ("in", True, ".0025", ".0025 in")
    typed = parse_length("0.0025 in")
    assert (typed.unit, typed.bare, typed.text) == ("in", False, "0.0025 in")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("25 Nm", "'25 Nm', a torque"),
        ("1 000 mm", "'1 000 mm'; expected one number with at most one decimal mark and no gaps"),
        ("1,000.5 mm", "Leave out marks and gaps that group thousands"),
        ("1.000,5 mm", "Leave out marks and gaps that group thousands"),
        ("1_000 mm", "Leave out marks and gaps that group thousands"),
        ("1e3 mm", "type 1000, not 1e3"),
        ("1.5E-3", "type 1000, not 1e3"),
        ("10³ mm", "type 1000, not 1e3"),
        ("10^3 mm", "type 1000, not 1e3"),
        ("1/0 in", "which divides by nothing"),
        ("3 1/0 in", "which divides by nothing"),
        ("3 65/64 in", "a fraction below one after a whole number"),
        ("1/2/4 in", "one fraction such as 27/64"),
        ("inf", "'inf', which has no number"),
        ("nan mm", "'nan mm', which has no number"),
        ("", "found nothing"),
        ("   ", "found nothing"),
        ("12.", "breaks off after '.'"),
        ("12,", "breaks off after ','"),
        ("12. mm", "breaks off after '.'"),
        ("--5 mm", "'-' before the number"),
        ("0.05 0.06 mm", "more than one number"),
        ("5 6 mm", "no gaps between its digits"),
        ("5 mm 6 mm", "whose parts do not make one size"),
        ("5 in 6 mm", "whose parts do not make one size"),
        ("4.5 thou 5 tenths", "more than one number"),
        ("4 thou 15 tenths", "whose parts do not make one size"),
        ("5 furlongs", "'furlongs' as the unit of '5 furlongs'"),
        ("0x10", "'x10' as the unit"),
        ("about 5 mm", "'about' before the number"),
        ("٣ mm", "which has no number"),
        ("9" * 16, "at most 15 digits in a row"),
        ("5" + " " * 200 + "mm", "at most 120 characters"),
        ("3 27/64", "a fraction without a unit where bare numbers are mm"),
        ("mm.5", "can be read in two ways"),
    ],
)
def test_refuses_and_says_why(text: str, says: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_length(text, "in" if text == "4 thou 15 tenths" or "4.5" in text else "mm")
    assert says in str(refused.value)
    assert refused.value.expected


@pytest.mark.parametrize(
    ("text", "unit", "one", "other"),
    [
        ("5 tenths", "mm", "0.0001 in", "0.1 mm"),
        ("2 thousandths", "µm", "0.001 in", "0.001 mm"),
        ("5 hundredths", "in", "0.01 in", "0.01 mm"),
    ],
)
def test_words_that_differ_between_shops_are_asked_about(
    text: str, unit: str, one: str, other: str
) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_length(text, unit)
    assert f"can mean {one} or {other}" in refused.value.found
    assert one in refused.value.remedy


# Factors: tests/published/test_unit_factors.py. Here: spellings, and base units.
@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("260 N", "force", F(260)),
        ("1.2 kN", "force", F(1200)),
        ("95 N·m", "torque", F(95)),
        ("95 Nm", "torque", F(95)),
        ("95 N m", "torque", F(95)),
        ("95 N.m", "torque", F(95)),
        ("2.8 bar", "pressure", F(28, 100)),
        ("70 kPa", "pressure", F(70, 1000)),
        ("210 GPa", "pressure", F(210000)),
        ("320 N/mm²", "pressure", F(320)),
        ("212 °F", "temperature", F(100)),
        ("-40 °F", "temperature", F(-40)),
        ("293.15 K", "temperature", F(20)),
        ("20 ℃", "temperature", F(20)),
        ("0.6 kg", "mass", F(600)),
        ("45", "angle", F(45)),
        ("44°30'", "angle", F(89, 2)),
        ("44° 30′", "angle", F(89, 2)),
        ("30.5 deg", "angle", F(61, 2)),
        ("46.2 cc", "volume", F(46200)),
        ("46.2 ml", "volume", F(46200)),
        ("46.2 cm³", "volume", F(46200)),
        ("46.2 cm^3", "volume", F(46200)),
        ("2 l", "volume", F(2 * 10**6)),
        ("10 cu in", "volume", INCH**3 * 10),
        ("10 cu. in.", "volume", INCH**3 * 10),
        ("0.8 µm", "roughness", F(8, 10)),
        ("100 µin", "roughness", F(254, 100)),
        ("1.5 h", "time", F(5400)),
        ("1 h 30 min", "time", F(5400)),
        ("20 min", "time", F(1200)),
        ("35 N/mm", "stiffness", F(35)),
        ("52 HRC", "hardness", F(52)),
        ("HRC 52", "hardness", F(52)),
        ("600 HV10", "hardness", F(600)),
        ("600 HV 10", "hardness", F(600)),
        ("4", "count", F(4)),
        ("5 %", "percent", F(5)),
        ("5", "percent", F(5)),
        ("2100 rpm", "speed", F(2100)),
        ("11.5 µm/(m·K)", "expansion", F(23, 2)),
        ("11.5 um/(m K)", "expansion", F(23, 2)),
    ],
)
def test_other_dimensions(text: str, dimension: str, value: F) -> None:
    assert parse(text, dimension).value == value


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("5", "force", "'5' without a unit"),
        ("52", "hardness", "'52' without a unit"),
        ("0.08 mm", "torque", "'0.08 mm', a length"),
        ("5 mPa", "pressure", "'mPa' as the unit"),
        ("-300 °C", "temperature", "above absolute zero"),
        ("-1 g", "mass", "below zero"),
        ("4.0", "count", "a whole number such as 4"),
        ("-4", "count", "a whole number such as 4"),
        ("1/2", "count", "a whole number such as 4"),
        ("1,998 cc", "volume", "Type 1.998 cc or 1998 cc."),
        ("1,200 N", "force", "Type 1.200 N or 1200 N."),
        ("1:30", "time", "':' as the unit"),
        ("44°30", "angle", "without a unit"),
    ],
)
def test_other_dimensions_refuse(text: str, dimension: str, says: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse(text, dimension)
    assert says in str(refused.value)


def test_scale_is_the_unit_of_a_hardness() -> None:
    assert parse("600 HV 10", "hardness").unit == "HV10"


def test_caller_mistakes_are_not_quantity_errors() -> None:
    with pytest.raises(LookupError, match="furlong"):
        parse_length("5", "furlong")
    with pytest.raises(LookupError, match="weight"):
        parse("5 kg", "weight")
    with pytest.raises(LookupError, match="Nm"):
        parse("5", "length", "Nm")


@pytest.mark.parametrize(
    ("text", "dial", "larger_is_plus", "mm"),
    [
        ("+5 tenths", "tenth", True, INCH * F(5, 10000)),
        ("+5", "tenth", True, INCH * F(5, 10000)),
        ("+5", "tenth", False, -INCH * F(5, 10000)),
        ("−12", "µm", True, F(-12, 1000)),
        ("-12", "µm", False, F(12, 1000)),
        ("+0.01 mm", "µm", True, F(1, 100)),
        ("+3", "hundredth", True, F(3, 100)),
        ("0", "tenth", True, F(0)),
        ("+0", "tenth", False, F(0)),
    ],
)
def test_deviation_from_a_master(text: str, dial: str, larger_is_plus: bool, mm: F) -> None:
    assert parse_deviation(text, dial, larger_is_plus).value == mm


@pytest.mark.parametrize(
    ("text", "dial", "says"),
    [
        ("5 tenths", "tenth", "Type +5 tenths or -5 tenths"),
        ("5", "µm", "'5' without a sign"),
        ("+5 tenths", "µm", "one tenth can mean 0.0001 in or 0.1 mm"),
        ("+", "µm", "which has no number"),
    ],
)
def test_deviation_refuses(text: str, dial: str, says: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_deviation(text, dial)
    assert says in str(refused.value)


def test_quantities_are_frozen_compared_by_content_and_can_be_stored() -> None:
    one, same, other = parse_length("5 mm"), parse_length("5 mm"), parse_length("5.0 mm")
    assert one == same
    assert hash(one) == hash(same)
    assert one != other
    assert pickle.loads(pickle.dumps(one)) == one
    with pytest.raises(AttributeError, match="frozen"):
        one.value = F(6)  # type: ignore[misc]
    with pytest.raises(AttributeError, match="frozen"):
        del one.typed
    assert repr(one).startswith("Quantity(value=Fraction(5, 1), typed='5 mm'")


def test_what_was_typed_is_safe_to_print_in_a_sentence() -> None:
    with pytest.raises(QuantityError) as refused:
        parse_length("5 \x1b[31mmm")
    assert "\x1b" not in str(refused.value)

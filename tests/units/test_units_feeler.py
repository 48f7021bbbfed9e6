"""Feeler answers to intervals: low <= gap < high."""

from fractions import Fraction as F

import pytest

from sparkout.units import Gap, QuantityError, parse_gap, show_gap

INCH = F(254, 10)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("12 fits, 13 does not", "0.12", "0.13"),
        ("0.06 passes, 0.08 not", "0.06", "0.08"),
        ("0.10 goes, 0.15 no go", "0.10", "0.15"),
        ("0.10 goes, 0.15 no-go", "0.10", "0.15"),
        ("0,10 passes, 0,15 not", "0.10", "0.15"),
        ("0.10 does not", None, "0.10"),
        ("0.5 fits", "0.5", None),
        ("passes 0.06, not 0.08", "0.06", "0.08"),
        ("0.08 not, 0.06 passes", "0.06", "0.08"),
        ("0.05 fits; 0.06 fits; 0.08 doesn't", "0.06", "0.08"),
        ("0.05 fits; 0.08 won’t; 0.10 won’t", "0.05", "0.08"),
        ("0.06 passes but 0.08 mm does not.", "0.06", "0.08"),
        ("60 µm passes, 80 does not", "0.06", "0.08"),
        ("0 goes, 3 does not", "0", "0.03"),
    ],
)
def test_in_a_metric_shop(text: str, low: str | None, high: str | None) -> None:
    assert parse_gap(text, "mm") == Gap(
        None if low is None else F(low), None if high is None else F(high), text
    )


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("12 fits, 13 does not", F(12, 1000), F(13, 1000)),
        (".011 in fits .013 in does not", F(11, 1000), F(13, 1000)),
        (".011 in fits .013 does not", F(11, 1000), F(13, 1000)),
        ("1.5 thou goes, 2 thou no go", F(15, 10000), F(2, 1000)),
        ("15 tenths fits, 20 does not", F(15, 10000), F(2, 1000)),
    ],
)
def test_in_an_inch_shop(text: str, low: F, high: F) -> None:
    gap = parse_gap(text, "inch")
    assert (gap.low, gap.high) == (low * INCH, high * INCH)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0.06", "does not say of each blade whether it fits"),
        ("0.06 passes, 0.08", "does not say of each blade whether it fits"),
        ("13 fits, 12 does not", "not thinner than one that does not"),
        ("12 fits, 12 does not", "not thinner than one that does not"),
        ("0.10 goes, 15 does not", "whole and broken numbers without a unit"),
        ("0.06 mm fits, 3 thou does not", "two units"),
        ("5 tenths fits", "one tenth can mean 0.0001 in or 0.1 mm"),
        ("-5 fits", "below zero"),
        ("5 furlongs fits", "'furlongs' as the unit"),
        ("perhaps 5 fits", "'perhaps' before the first blade"),
        ("it fits", "which has no number"),
        ("fits,13", "can be read in two ways"),
        ("5 Nm fits", "a torque"),
    ],
)
def test_refused(text: str, says: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_gap(text, "mm")
    assert says in str(refused.value)


def test_half_open() -> None:
    gap = parse_gap("0.06 passes, 0.08 not", "mm")
    assert F(6, 100) in gap
    assert F(8, 100) not in gap


def test_system_is_one_of_two() -> None:
    with pytest.raises(LookupError, match="cm"):
        parse_gap("5 fits", "cm")


def test_shown_in_words_and_converted_to_claim_no_more() -> None:
    assert show_gap(parse_gap("0.06 passes, 0.08 not", "mm")) == "at least 0.06 mm, below 0.08 mm"
    assert show_gap(parse_gap("0.10 does not", "mm")) == "below 0.10 mm"
    assert show_gap(Gap(None, None, "")) == "not measured"
    # 12 thou = 0.3048 mm, 13 thou = 0.3302 mm: outwards.
    inch = parse_gap("12 fits, 13 does not", "inch")
    assert show_gap(inch, "inch") == "at least 0.012 in, below 0.013 in"
    assert show_gap(inch) == "at least 0.304 mm, below 0.331 mm"

"""Impossible readings are questioned with the likely slip and the value it would then be."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.measure.intake.numbers import decimal_of
from sparkout.measure.intake.plausible import plain, question

F = Fraction
BORE = [F("100.182"), F("100.140"), F("100.085")]


@pytest.mark.parametrize(
    ("typed", "unit", "nominal", "spread", "slip", "would_be"),
    [
        # Arithmetic beside each: what the bore of 100.246 mm becomes by the slip.
        ("-100.246", "mm", "100", "0.5", "sign", "100.246"),
        ("1002.46", "mm", "100", "0.5", "decimal mark", "100.246"),
        ("10.0246", "mm", "100", "0.5", "decimal mark", "100.246"),
        ("100246", "mm", "100", "0.5", "decimal mark", "100.246"),
        ("101.246", "mm", "100", "0.5", "extra turn", "100.246"),
        ("99.246", "mm", "100", "0.5", "extra turn", "100.246"),
        ("102.246", "mm", "100", "0.5", "extra turn", "100.246"),
        ("102.046", "mm", "100", "0.05", "extra turn", "100.046"),
        ("3.947", "mm", "100", "0.5", "unit", "100.2538"),  # 3.947 × 25.4
        ("100.246", "in", "3.94", "0.02", "unit", None),  # 100.246 / 25.4
        ("4.104", "in", "4", "0.02", "extra turn", "4.004"),
        ("4.040", "in", "4.004", "0.005", "digits swapped", "4.004"),
        ("010.246", "mm", "100", "0.5", "digits swapped", "100.246"),
        ("10.246", "mm", "100", "0.5", "digit doubled", "100.246"),
    ],
)
def test_each_slip_is_named_with_its_value(
    typed: str, unit: str, nominal: str, spread: str, slip: str, would_be: str | None
) -> None:
    asked = question(F(typed), F(nominal), F(spread), (), unit, typed=typed)
    assert asked is not None
    assert asked.likely is not None
    assert asked.likely.slip == slip
    wanted = F(typed) / F("25.4") if would_be is None else F(would_be)
    assert asked.likely.would_be == wanted
    assert plain(wanted) in str(asked)
    assert "left out until then" in str(asked)


def test_what_is_in_no_doubt_is_not_asked_about() -> None:
    assert question(F("100.246"), F(100), F("0.5"), BORE, "mm") is None
    assert question(F("100.5"), F(100), F("0.5"), BORE, "mm") is None  # the edge belongs to it
    assert question(F("100.246"), None, F("0.5"), [F("7")], "mm") is None  # one other is no proof
    assert question(F("5"), None, F("0.5"), [], "mm") is None


def test_far_from_all_others_is_a_doubt_without_a_nominal() -> None:
    asked = question(F("95.982"), None, F("0.3"), BORE, "mm", typed="95.982")
    assert asked is not None
    # 100.085 − 95.982 = 4.103
    assert asked.found == "95.982 mm, which is 4.103 mm from every other reading of this"
    assert asked.expected == "a value near 100.085 to 100.182 mm"
    assert asked.likely is None
    near = question(F("101.182"), None, F("0.3"), BORE, "mm")
    assert near is not None
    assert near.likely is not None
    assert near.likely.would_be == F("100.182")


def test_below_zero_is_a_doubt_except_where_it_can_be() -> None:
    asked = question(F("-0.5"), None, F("0.5"), [], "mm")
    assert asked is not None
    assert asked.found == "-0.5 mm, which is below zero"
    assert question(F("-0.5"), None, F("0.5"), [], "mm", lowest=None) is None
    low = question(F("-3"), None, F("1"), [], "mm", lowest=F(-1))
    assert low is not None
    assert low.found == "-3 mm, which is below -1 mm"


def test_deeper_than_the_bore_is_a_doubt() -> None:
    asked = question(
        F("1850"), None, F(5), [], "mm", highest=F(210), highest_is="the depth of the bore"
    )
    assert asked is not None
    assert asked.found == "1850 mm, beyond the depth of the bore of 210 mm"
    assert asked.likely is not None
    assert (asked.likely.slip, asked.likely.would_be) == ("unit", F(1850) / F("25.4"))


def test_a_cause_must_agree_with_the_other_readings() -> None:
    # One turn fits the nominal size alone, but not the others.
    asked = question(F("101.246"), F(100), F("0.5"), [F("100.9"), F("100.95")], "mm")
    assert asked is not None
    assert F("100.246") not in [cause.would_be for cause in asked.causes]


def test_all_causes_that_fit_are_given() -> None:
    asked = question(F("101.000"), F(100), F("0.5"), [], "mm", typed="101.000")
    assert asked is not None
    # 101.000 with its third and fourth digit exchanged is 100.100.
    assert [(cause.slip, cause.would_be) for cause in asked.causes] == [
        ("extra turn", F(100)),
        ("digits swapped", F("100.1")),
    ]
    two = question(F("1000.246"), F(100), F("0.5"), [], "mm", typed="1000.246")
    assert two is not None
    assert [(cause.slip, cause.would_be) for cause in two.causes] == [
        ("decimal mark", F("100.0246")),
        ("digit doubled", F("100.246")),
    ]
    none = question(F("101.1"), F("100.6"), F("0.45"), [], "mm", typed="101.1")
    assert none is not None
    assert none.causes == ()


@pytest.mark.parametrize(("unit", "spread"), [("thou", "1"), ("", "1"), ("mm", "-1")])
def test_a_callers_mistake_raises(unit: str, spread: str) -> None:
    with pytest.raises(ValueError, match="got"):
        question(F(1), F(1), F(spread), [], unit)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("100.2460", "100.246"),
        ("-0.0000001", "0"),
        ("1e30", "1" + "0" * 30),
        ("-2", "-2"),
        ("0.1234565", "0.123456"),
    ],
)
def test_values_are_shown_to_six_places(value: str, text: str) -> None:
    # The last one: half to even at the sixth place.
    assert plain(F(value)) == text


VALUES = st.fractions(-(10**6), 10**6, max_denominator=10**4)


@given(
    VALUES,
    st.none() | VALUES,
    st.fractions(0, 1000, max_denominator=1000),
    st.lists(VALUES, max_size=4),
    st.sampled_from(["mm", "in"]),
    st.text("0123456789.,+- x٣", max_size=30),
)
def test_a_cause_never_leads_to_another_doubt(
    value: Fraction,
    nominal: Fraction | None,
    spread: Fraction,
    others: list[Fraction],
    unit: str,
    typed: str,
) -> None:
    asked = question(value, nominal, spread, others, unit, typed=typed)
    if asked is None:
        return
    assert str(asked)
    for cause in asked.causes:
        assert question(cause.would_be, nominal, spread, others, unit) is None
        assert cause.would_be != value


SIZES = st.integers(20_000, 180_000).map(lambda number: F(number, 1000))


@given(SIZES, st.sampled_from(["turn", "inch", "ten", "tenth", "sign"]))
def test_a_slip_made_on_purpose_is_found(true: Fraction, slip: str) -> None:
    made = {
        "turn": true + 1,
        "inch": true / F("25.4"),
        "ten": true * 10,
        "tenth": true / 10,
        "sign": -true,
    }[slip]
    asked = question(made, true, F("0.3"), [], "mm")
    assert asked is not None
    assert true in [cause.would_be for cause in asked.causes]


def test_decimals_are_read_exactly() -> None:
    assert decimal_of(".5") == F(1, 2)
    assert [decimal_of(text) for text in ("", "+", ".", "1.2.3", "1_0", "٣", "1 000")] == [None] * 7

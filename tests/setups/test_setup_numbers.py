"""Sums that add up, marks that are never lost, and figures shown as a shop reads them."""

from __future__ import annotations

import re
from fractions import Fraction as F

import pytest
from hypothesis import given as over
from hypothesis import strategies as st

from sparkout.engine.characteristics import Sense
from sparkout.setups._build import above_zero, by_rule, exact, given, not_below_zero, total
from sparkout.setups.number import Given, Number
from sparkout.setups.words import Said

lengths = st.integers(1, 400_000).map(lambda n: F(n, 1000))
marks = st.sets(st.sampled_from(["assumed", "stale", "not proven"]), max_size=2).map(tuple)


def test_a_float_is_the_decimal_that_was_typed() -> None:
    assert exact(72.452) == F("72.452")
    assert exact(0.1) != F(0.1)


@over(st.lists(st.tuples(lengths, marks, st.booleans()), min_size=1, max_size=5))
def test_a_sum_is_exact_and_keeps_every_mark(rows: list[tuple[F, tuple[str, ...], bool]]) -> None:
    whole = Given(F(0), "start").times(1)
    for value, own, plus in rows:
        part = Given(value, "part", marks=own)
        whole = whole + part if plus else whole - part
    number = total("sum", whole)
    assert number.value == sum((v if plus else -v for v, _, plus in rows), F(0))
    assert set(number.marks) == {mark for _, own, _ in rows for mark in own}


def test_marks_travel_through_numbers_made_of_numbers_and_rules() -> None:
    stale = Given(F(10), "depth", marks=("stale",))
    first = total("first", stale + given(1, "more"))
    second = by_rule("second", 3.0, "f", (("d", first.given()),))
    assert second.marks == ("stale",)
    assert total("third", second.given() / 2).marks == ("stale",)


def test_a_sum_taken_away_turns_its_signs() -> None:
    number = total("x", given(10, "a") - (given(4, "b") - given(1, "c")))
    assert number.value == 7
    assert [term.sign for term in number.terms] == ["+", "−", "+"]


def test_a_scaled_sum_is_not_added_to() -> None:
    with pytest.raises(ValueError, match="worked out before"):
        given(10, "a") / 2 + given(1, "b")
    with pytest.raises(ValueError, match="worked out before"):
        given(1, "b") + given(10, "a") / 2


def test_the_sum_behind_a_number_reads_as_on_a_card() -> None:
    number = total("hone to", given(F("72.452"), "piston") + given(F("0.048"), "clearance"),
                   Sense.DIAMETRAL)  # fmt: skip
    said = Said()
    assert said.number(number) == "72.500 mm on diameter"
    assert said.sum(number) == "72.452 piston + 0.048 clearance"


def test_parts_get_more_decimals_until_they_add_up() -> None:
    """0.0005 + 0.0005 rounds to nothing plus nothing at three places; the sum is 0.001."""
    number = total("x", given(F("0.0005"), "a") + given(F("0.0005"), "b"))
    assert Said().sum(number) == "0.0005 a + 0.0005 b"


@over(st.lists(st.tuples(st.integers(-40_000_000, 40_000_000), st.sampled_from([1, 2])),
               min_size=2, max_size=4), st.sampled_from(["mm", "inch"]))  # fmt: skip
def test_what_is_shown_adds_up_to_what_is_shown(rows: list[tuple[int, int]], system: str) -> None:
    """Somebody who works the printed line out gets the printed result, to its last digit."""
    whole = Given(F(0), "x").times(1)
    for micro, times in rows:
        whole = whole + Given(F(micro, 100_000), "x").times(times)
    number = total("sum", whole)
    said = Said(system)
    line = said.sum(number).replace("x", "").replace("−", "-").replace("×", "*")
    line = re.sub(r"\s+", " ", line)
    shown = F(said.bare(number.value, "length", number.step))
    digit = F(1, 1000) if system == "mm" else F(1, 10_000)
    got = sum(
        (_product(part) for part in re.findall(r"[+-]?[^+-]+", line.replace("- ", "-"))), F(0)
    )
    assert abs(got - shown) <= digit / 2


def _product(text: str) -> F:
    sign = -1 if text.strip().startswith("-") else 1
    value = F(1)
    for factor in text.strip().lstrip("+-").split("*"):
        value *= F(factor.strip())
    return sign * value


def test_inches_go_to_tenths_and_coarse_ones_to_thous() -> None:
    said = Said("inch")
    assert said.value(F("4.0198") * F("25.4")) == "4.0198 in"
    assert said.value(F("25.4"), step=F(1, 10)) == "1.000 in"


@pytest.mark.parametrize(
    ("kind", "value", "metric", "inch"),
    [
        # 1 lbf = 4.4482216 N; °F = 9/5 °C + 32; 1 MPa = 145.0377 psi
        ("force", F(4448), "4448 N", "1000 lbf"),
        ("temperature", F(100), "100 °C", "212 °F"),
        ("pressure", F(10), "10.0 MPa", "1450 psi"),
        ("angle", F("1.1"), "1.10°", "1.10°"),
        ("mass", F("612.5"), "612.5 g", "612.5 g"),
    ],
)
def test_other_kinds_in_both_systems(kind: str, value: F, metric: str, inch: str) -> None:
    assert Said().value(value, kind, F(1, 1000)) == metric
    assert Said("inch").value(value, kind, F(1, 1000)) == inch


def test_tolerance_in_words() -> None:
    number = Number("x", F(1))
    said = Said()
    assert said.tolerance(number) == ""
    assert said.tolerance(number.held(F(0), None, "limit")) == "at least 0.000, limit"
    assert said.tolerance(number.held(None, F(2), "limit")) == "at most 2.000, limit"
    assert said.tolerance(number.within(F("0.004"), "process")) == "0.996 to 1.004, process"
    assert number.within(None, "process") is number


def test_a_window_is_never_shown_wider_than_it_is() -> None:
    """A hone that holds ± .00015 in: 4.01985 to 4.02015 in."""
    inch = F("25.4")
    number = Number("hone to", F("4.0200") * inch).within(F(".00015") * inch, "hone")
    assert Said("inch").tolerance(number) == "4.0199 to 4.0201, hone"
    assert Said("inch").most(F(".00015") * inch) == "0.00015 in"
    assert Said().most(F("0.004")) == "0.004 mm"
    # 0.121 would be less than the cut needs
    cut = Number("total cut", F("0.130")).held(F("0.12118"), F("0.13136"), "more breaks")
    assert Said().tolerance(cut) == "0.122 to 0.131, more breaks"
    turned = Number("timing", F("-0.5"), "angle", step=F(1, 100))
    assert Said().tolerance(turned.held(F("-1.006"), F("1.006"), "")) == "-1.00 to 1.00"


def test_a_window_too_narrow_for_its_digits_gets_more_of_them() -> None:
    number = Number("x", F("1.00050")).within(F("0.0002"), "")
    assert (Said().number(number), Said().tolerance(number)) == ("1.0005 mm", "1.0003 to 1.0007")
    # the number itself rounds to its end and past it: 1.0006 reads 1.001, above 1.0008
    past = Number("x", F("1.0006")).held(F("0.9"), F("1.0008"), "")
    assert (Said().number(past), Said().tolerance(past)) == ("1.0006 mm", "0.9000 to 1.0008")


@over(st.integers(-4000, 400_000), st.integers(0, 3000), st.integers(0, 3000),
      st.sampled_from(["mm", "inch"]), st.sampled_from([F(1, 1000), F(1, 100)]))  # fmt: skip
def test_what_is_shown_lies_inside_what_is_allowed(
    value: int, below: int, above: int, system: str, step: F
) -> None:
    size = F(value, 7000)
    low, high = size - F(below, 90_000), size + F(above, 90_000)
    number = Number("x", size, step=step).held(low, high, "by")
    said = Said(system)
    ends = [F(end) for end in said.tolerance(number).removesuffix(", by").split(" to ")]
    shown = F(said.number(number).split()[0])
    unit = F("25.4") if system == "inch" else 1
    # below seven decimals of a millimetre nothing is meant: a window without width
    least = 0 if above + below > 1 else F(1, 10**6)
    assert low - least <= ends[0] * unit <= ends[1] * unit <= high + least
    if above and below:
        assert ends[0] <= shown <= ends[1]


def test_a_sum_that_only_repeats_its_label_is_not_shown() -> None:
    assert Said().sum(total("fit a shim", given(F(2), "shim"))) == ""
    assert Said().sum(total("depth", given(F(2), "by the maker"))) == "2.000 by the maker"


def test_refusals_name_the_argument_and_the_value() -> None:
    with pytest.raises(ValueError, match=r"piston is -1 mm; it has to be above 0 mm"):
        above_zero(piston=-1)
    with pytest.raises(ValueError, match=r"shim is -0\.2 mm; it has to be 0 mm or more"):
        not_below_zero(shim=-0.2)

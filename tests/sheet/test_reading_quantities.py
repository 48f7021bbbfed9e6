"""Field types: each reads its own kind, keeps the typed text, and its schema never contradicts."""

import re
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from sparkout.sheet import quantities
from sparkout.sheet.quantities import Count, Flag, Money, Typed, Words, parse_money
from sparkout.units import DIMENSIONS, Quantity, QuantityError, Range

KINDS = {
    name: getattr(quantities, name).__metadata__[0]
    for name in quantities.__all__
    if hasattr(getattr(quantities, name), "__metadata__")
}


@pytest.mark.parametrize("name", KINDS)
def test_every_example_is_read_and_fits_its_own_pattern(name: str) -> None:
    kind, adapter = KINDS[name], TypeAdapter(getattr(quantities, name))
    units = {"units": {}}
    for example in kind.examples:
        read = adapter.validate_python(example, context=units)
        if isinstance(read, Quantity | Range | Money):
            assert read.typed == example
        pattern = adapter.json_schema().get("pattern")
        assert pattern is None or re.search(pattern, example)


def test_every_dimension_has_a_field_type() -> None:
    covered = {kind.dimension for kind in KINDS.values() if isinstance(kind, Typed)}
    assert covered | {"count"} == set(DIMENSIONS)


@settings(max_examples=400, deadline=None)
@given(
    st.sampled_from(sorted(KINDS)),
    st.text(alphabet="0123456789.,/ +-−½±mtohinµNHRC°'%", max_size=12),
)
def test_an_editor_never_complains_of_what_is_read(name: str, text: str) -> None:
    adapter = TypeAdapter(getattr(quantities, name))
    try:
        adapter.validate_python(text)
    except ValidationError:
        return
    pattern = adapter.json_schema().get("pattern")
    assert pattern is None or re.search(pattern, text)


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("56", F(56), ""),
        ("56.50", F("56.5"), ""),
        ("56,50 EUR", F("56.5"), "EUR"),
        ("EUR 56.50", F("56.5"), "EUR"),
        ("-12.50 GBP", F("-12.5"), "GBP"),
        ("0.125", F("0.125"), ""),
    ],
)
def test_money(text: str, amount: F, currency: str) -> None:
    assert parse_money(text) == Money(amount, currency, text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("$5", "three capital letters"),
        ("5 eur", "three capital letters"),
        ("1,250.00", "group thousands"),
        ("1,250", "Type 1.250 or 1250."),
        ("1/2", "an amount such as"),
        ("1.2345", "an amount such as"),
        ("", "nothing"),
        ("EUR", "an amount such as"),
        ("5 EUR 6", "an amount such as"),
    ],
)
def test_money_refused(text: str, says: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_money(text)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("text", "flag"), [("yes", True), ("No", False), ("true", True), (" FALSE ", False)]
)
def test_flags(text: str, flag: bool) -> None:
    assert TypeAdapter(Flag).validate_python(text) is flag


@pytest.mark.parametrize("text", ["", "on", "1", "y", "maybe"])
def test_flags_refused(text: str) -> None:
    with pytest.raises(ValidationError, match="yes or no"):
        TypeAdapter(Flag).validate_python(text)


def test_counts_are_plain_whole_numbers() -> None:
    adapter = TypeAdapter(Count)
    assert adapter.validate_python("16") == 16
    assert adapter.validate_python(16) == 16
    for wrong in ("1_6", "1e1", "-1", "4.0", "0x1", -1, True, 4.0):
        with pytest.raises(ValidationError):
            adapter.validate_python(wrong)


def test_words_in_a_line_or_a_list() -> None:
    adapter = TypeAdapter(Words)
    assert adapter.validate_python("left, right") == ("left", "right")
    assert adapter.validate_python(["left", "right"]) == ("left", "right")
    assert adapter.validate_python("1-3-4-2") == ("1-3-4-2",)
    for wrong in ("", "a,,b", ["a", ["b"]], {"a": "b"}):
        with pytest.raises(ValidationError):
            adapter.validate_python(wrong)

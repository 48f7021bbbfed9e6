"""Any text is a quantity or a QuantityError, nothing else, quickly."""

import time
from collections.abc import Callable
from fractions import Fraction
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.units import (
    DIMENSIONS,
    Gap,
    Quantity,
    QuantityError,
    Range,
    parse,
    parse_deviation,
    parse_gap,
    parse_range,
    unit_pair_agrees,
)

T = TypeVar("T")

# Pieces that machinists' texts are made of, so that the fuzzing reaches the deep branches.
WORDS = (
    "0 1 12 100 .5 0.08 ,08 3 27/64 1/0 + - − ± +/- … to at most least max min fits not does no go"
    " mm in thou tenths hundredths µm \" ' ° N·m psi °F HRC HV10 % e E3 ² ³ ½ , . ; / _ ( ) inf nan"
)
PIECES = WORDS.split()
TEXTS = st.one_of(
    st.text(max_size=150),
    st.lists(st.sampled_from(PIECES), max_size=12).flatmap(
        lambda parts: st.sampled_from([" ".join(parts), "".join(parts)])
    ),
)


def attempt(read: Callable[[], T]) -> T | QuantityError:
    """What was read, or the refusal; anything else raises and fails the test."""
    try:
        return read()
    except QuantityError as refused:
        return refused


def is_explained(result: object) -> bool:
    """A refusal with its three parts in one line."""
    if not isinstance(result, QuantityError):
        return False
    assert result.found
    assert result.expected
    assert "\n" not in str(result)
    return True


@settings(max_examples=600, deadline=None)
@given(TEXTS, st.sampled_from(DIMENSIONS))
def test_parse(text: str, dimension: str) -> None:
    read = attempt(lambda: parse(text, dimension))
    if not is_explained(read):
        assert isinstance(read, Quantity)
        assert isinstance(read.value, Fraction)
        assert read.step > 0


@settings(max_examples=600, deadline=None)
@given(TEXTS, st.sampled_from(["length", "temperature", "hardness", "count"]))
def test_parse_range(text: str, dimension: str) -> None:
    unit = "mm" if dimension == "length" else None
    read = attempt(lambda: parse_range(text, dimension, unit))
    if not is_explained(read):
        assert isinstance(read, Range)
        assert (read.low, read.high) != (None, None)
        assert read.low is None or read.high is None or read.low <= read.high


@settings(max_examples=600, deadline=None)
@given(TEXTS, st.sampled_from(["mm", "inch"]))
def test_parse_gap(text: str, system: str) -> None:
    read = attempt(lambda: parse_gap(text, system))
    if not is_explained(read):
        assert isinstance(read, Gap)
        assert (read.low, read.high) != (None, None)
        assert read.low is None or read.high is None or read.low < read.high


@settings(deadline=None)
@given(TEXTS, TEXTS)
def test_pairs_and_deviations(one: str, other: str) -> None:
    check = unit_pair_agrees(one, other)
    assert check.agrees or check.found
    read = attempt(lambda: parse_deviation(one, "tenth"))
    if not is_explained(read):
        assert read.value == -parse_deviation(one, "tenth", larger_is_plus=False).value


@pytest.mark.parametrize(
    "text",
    [
        "9" * 10**6,
        "1/" * 10**5,
        "1 " * 60,
        "+" * 120,
        "1'" * 60,
        "1°1'" * 30,
        "±" * 120,
        "1 mm " * 24,
        "fits " * 24,
        "\u00bd" * 120,
    ],
)
def test_no_text_takes_long(text: str) -> None:
    began = time.perf_counter()
    for read in (
        lambda: parse(text, "length"),
        lambda: parse(text, "angle"),
        lambda: parse_range(text, "length"),
        lambda: parse_gap(text, "mm"),
    ):
        with pytest.raises(QuantityError):
            read()
    # Far above what it needs (about a millisecond), far below what a person would notice.
    assert time.perf_counter() - began < 1.0

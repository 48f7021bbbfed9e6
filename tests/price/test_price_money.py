"""Rounding and sharing out of money."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.price.money import half_up, said, shared_out


@given(st.integers(-(10**9), 10**9), st.sampled_from([1, 2, 4, 5, 8, 10, 100, 1000]))
def test_half_up_is_as_decimal_rounds(top, bottom):
    """Python's decimal module, ROUND_HALF_UP (ties away from zero)."""
    exact = Decimal(top) / Decimal(bottom)
    assert half_up(Fraction(top, bottom)) == int(exact.quantize(Decimal(1), ROUND_HALF_UP))


@given(st.lists(st.fractions(0, 1000, max_denominator=500), min_size=1, max_size=12))
def test_shares_add_up_and_are_less_than_a_cent_off(parts):
    total = round(sum(parts))
    shares = shared_out(total, parts)
    assert sum(shares) == total
    assert all(abs(share - part) < 1 for share, part in zip(shares, parts, strict=True))


def test_what_is_not_accounted_for_is_not_spread_in_silence():
    with pytest.raises(ValueError, match="12 is not the sum of"):
        shared_out(12, [Fraction(5), Fraction(5)])


def test_money_is_written_with_two_figures_and_its_currency():
    assert said(940_610, "EUR") == "9406.10 EUR"
    assert said(-5, "USD") == "-0.05 USD"

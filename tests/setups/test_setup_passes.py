"""Cuts that add up to the stock and never pass it."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.setups._practice import CUTS, passes_by_habit, thumb
from sparkout.setups.number import RULE_OF_THUMB
from sparkout.setups.passes import split_stock

depths = st.integers(0, 3_000).map(lambda n: F(n, 1000))


@given(depths, st.integers(1, 500), st.integers(1, 100), st.integers(0, 4))
def test_they_add_up_and_none_is_deeper_than_a_roughing_cut(
    stock: F, extra: int, fine: int, finishes: int
) -> None:
    finish = F(fine, 1000)
    rough = finish + F(extra, 1000)
    cuts = split_stock(stock, rough, finish, finishes, "spark out")
    assert sum((cut.taken for cut in cuts), F(0)) == stock
    so_far = F(0)
    for cut in cuts:
        assert 0 <= cut.each <= rough or cut.name == "finish"
        assert cut.count >= 1
        so_far += cut.taken
        assert so_far <= stock
    finishing = [cut for cut in cuts if cut.name == "finish"]
    if stock >= finish * finishes and finishes:
        assert [cut.each for cut in finishing] == [finish]
        assert finishing[0].count == finishes
    if cuts:
        assert cuts[-1].name == "without feed"
        assert cuts[-1].taken == 0
    else:
        assert stock == 0


@given(st.sampled_from(sorted(CUTS)), depths, st.sampled_from(["mm", "inch"]))
def test_common_practice_adds_up_too_and_says_what_it_is(work: str, stock: F, system: str) -> None:
    cuts = passes_by_habit(work, stock, system)
    assert sum((cut.taken for cut in cuts), F(0)) == stock
    assert all(cut.marks == (RULE_OF_THUMB,) for cut in cuts)


def test_the_shops_own_depths_are_not_marked() -> None:
    cuts = passes_by_habit("surface", F("0.13"), "mm", cuts=CUTS["surface"])
    assert all(cut.marks == () for cut in cuts)


def test_stock_below_zero_and_finish_above_rough_are_refused() -> None:
    with pytest.raises(ValueError, match=r"stock is -0\.1 mm"):
        split_stock(-0.1, 0.05, 0.02)
    with pytest.raises(ValueError, match="finish has to be"):
        split_stock(0.1, 0.02, 0.05)
    with pytest.raises(ValueError, match="finishes is -1"):
        split_stock(0.1, 0.05, 0.02, -1)


def test_an_allowance_is_in_the_shops_own_system() -> None:
    # .0025 in is what an inch shop leaves, not 0.06 mm turned into inches
    assert thumb("hone stock").value == F("0.06")
    assert thumb("hone stock", "inch").value == F("0.0025") * F("25.4")
    assert thumb("hone stock").marks == (RULE_OF_THUMB,)

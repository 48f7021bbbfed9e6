"""Change orders, held to a worked one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from sparkout.plan.forms import Group, Option, Use, Work
from sparkout.plan.pricing import priced
from sparkout.price.change_order import ChangeOption, ChangeOrder, change_option
from sparkout.price.quote import quote
from sparkout.sheet.shop import OperationRate, Shop, Supply

SHOP = Shop(
    "a shop",
    "EUR",
    "mm",
    {"machining": Fraction(80)},
    {"surface deck": OperationRate("surface deck", "machining", Fraction(0), Fraction(1))},
    {"grade A": Supply("grade A", Fraction(140)), "grade B": Supply("grade B", Fraction(168))},
)


def quoted(work: tuple[Work, ...], kit: str):
    group = Group("all", ("engine",), (Option("do", "do it", (), work, (Use(kit, 4),)),))
    group = priced([group], SHOP)[0]
    return quote(((group, group.options[0]),), SHOP)


@pytest.fixture
def second_pass():
    """One more pass over the deck, 1.0 h × 80, and grade-B kits at 28 more each: 80 + 4 × 28."""
    agreed = quoted((Work("surface deck", ("deck",)),), "grade A")
    more = quoted((Work("surface deck", ("deck", "deck")),), "grade B")
    return change_option("deck again and fit grade-B kits", agreed, more, goodwill=8_000)


@pytest.fixture
def order(second_pass):
    return ChangeOrder(
        "liner 2 stands 0.005 below the deck",
        (second_pass,),
        "the liners stay too low for the gasket to seal",
        "EUR",
        date(2026, 12, 1),
        reserve=85_510,
    )


def test_the_worked_change_order(order, second_pass):
    """192 = 22 % of a contingency of 855.10; the hour was the shop's own planning and is written
    off, the customer approves 112. Arithmetic of the worked scenario."""
    assert second_pass.price == 19_200
    assert second_pass.to_approve == 11_200
    share = order.share_of_reserve(second_pass)
    assert round(float(share) * 100) == 22


def test_it_says_price_share_days_and_what_is_asked_for(order, second_pass):
    assert order.says(second_pass) == (
        "deck again and fit grade-B kits: 192.00 EUR (22 % of the contingency), no more days; "
        "the shop bears 80.00 EUR, to approve: 112.00 EUR"
    )
    cheaper = ChangeOption("leave out", -5_000, -2)
    assert order.says(cheaper) == "leave out: -50.00 EUR, 2 days less"
    assert order.says(ChangeOption("wait", 0, 1)) == ("wait: 0.00 EUR, 1 day more")


def test_two_currencies_are_not_compared():
    agreed = quoted((), "grade A")
    with pytest.raises(ValueError, match="EUR and USD"):
        change_option("x", agreed, replace(agreed, currency="USD"))

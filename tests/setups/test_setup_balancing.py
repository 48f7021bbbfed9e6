"""Weights and bob-weights, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.mechanics.balance.bob_weight import permissible_unbalance
from sparkout.setups.balancing import bob_weights, match_rod_ends, match_weights
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_least_metal_that_brings_a_set_together() -> None:
    # 640 + 5 = 645; 652 − 645
    made = match_weights((("rod 1", 640), ("rod 2", 652), ("rod 3", 641)), 5)
    assert value(made, "take off rod 2") == 7
    assert not any("rod 3" in n.label for n in made.numbers)


@given(st.lists(st.integers(500, 800), min_size=2, max_size=8), st.integers(0, 20))
def test_afterwards_the_spread_is_what_is_allowed(grams: list[int], room: int) -> None:
    made = match_weights([(f"rod {i}", g) for i, g in enumerate(grams)], room)
    off = {n.label.removeprefix("take off "): n.value for n in made.numbers}
    left = [g - off.get(f"rod {i}", F(0)) for i, g in enumerate(grams)]
    assert max(left) - min(left) <= room
    assert min(left) == min(grams)


def test_rod_ends() -> None:
    # big 450, 455; small 640 − 450 = 190, 652 − 455 = 197
    made = match_rod_ends((("rod 1", 640, 450), ("rod 2", 652, 455)))
    assert value(made, "take off rod 2, big end") == 5
    assert value(made, "take off rod 2, small end") == 7
    with pytest.raises(ValueError, match="1 rods"):
        match_rod_ends((("rod 1", 640, 450),))


def test_bob_weight() -> None:
    # 2 × (480 + 35 + 5 + 0.5 × (160 + 430 + 110)) = 1740
    made = bob_weights(480, 160, 430, 110, 35, 5, grade=6.3, crank_mass_kg=20,
                       rev_per_min=6000)  # fmt: skip
    assert value(made, "bob-weight, each pin") == 1740
    whole = permissible_unbalance(6.3, 20.0, 6000.0).whole
    left = float(value(made, "unbalance that may be left, whole"))
    assert left == pytest.approx(whole, abs=0.05)

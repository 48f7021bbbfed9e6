"""Adjusters, pushrods and shims, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.mechanics.cam import lash_fixed_pivot, lifter_preload
from sparkout.setups.record import SetUp
from sparkout.setups.valve_train import adjuster_range, follower_preload, lash_by_shim

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_lash_range() -> None:
    """0.13 + 0.14 + (1.40 − 1.30) = 0.37; × 1.5 = 0.555 at the valve."""
    made = adjuster_range(F("0.13") + F("0.14") + F("0.10"), 1.5, lash=0.30, travel=2)
    assert value(made, "lash closes at the valve by") == F("0.555")
    assert value(made, "adjuster backs off by, pushrod side") == F("0.37")
    left = float(value(made, "lash with nothing adjusted"))
    assert left == pytest.approx(lash_fixed_pivot(0.30, 1.5, pivot_drop=0.37))
    assert value(made, "travel left then") == F("1.63")


@given(st.floats(-0.5, 1), st.floats(1, 2), st.floats(0, 0.5), st.floats(0.1, 0.5))
def test_agrees_with_the_lash_formula(drop: float, ratio: float, rise: float, lash: float) -> None:
    made = adjuster_range(drop, ratio, rise, lash)
    after = float(value(made, "lash with nothing adjusted"))
    assert after == pytest.approx(lash_fixed_pivot(lash, ratio, drop, rise), abs=1e-9)


def test_an_adjuster_without_the_travel() -> None:
    with pytest.raises(ValueError, match="shorter pushrods"):
        adjuster_range(0.37, 1.5, travel=0.3)


def test_preload() -> None:
    """.040 + .014 + .015 ÷ 1.5 = .064 > .060: the pushrod is to be .024 shorter for the middle
    of .020 to .060."""
    made = follower_preload(F(".040") * IN, F(".014") * IN, F(".015") * IN, 1.5,
                            F(".020") * IN, F(".060") * IN)  # fmt: skip
    assert value(made, "preload") == F(".064") * IN
    assert value(made, "pushrod, + longer, to centre it") == F("-.024") * IN
    assert "Outside" in made.notes[0]
    assert float(made.numbers[0].value) == pytest.approx(
        lifter_preload(0.040 * 25.4, 1.5, 0.014 * 25.4, 0.015 * 25.4)
    )


@pytest.mark.parametrize(
    ("shims", "fitted", "lash"),
    # 0.13 − 0.22 = −0.09 held open; 2.60 − 0.09 − 0.125 = 2.385; 2.40 leaves 0.11
    [(("2.30", "2.40", "2.50"), "2.40", "0.11")],
)
def test_shim(shims: tuple[str, ...], fitted: str, lash: str) -> None:
    made = lash_by_shim(0.13, 2.60, 0.125, 0.22, 0.10, 0.15, [F(s) for s in shims])
    assert value(made, "lash with the old shim") == F("-0.09")
    assert value(made, "shim that would set it") == F("2.385")
    assert value(made, "fit a shim of") == F(fitted)
    assert value(made, "lash then") == F(lash)


def test_no_shim_that_exists_serves() -> None:
    # 2.35 leaves 0.16
    with pytest.raises(ValueError, match=r"leaves a lash of 0\.16 mm"):
        lash_by_shim(0.13, 2.60, 0.125, 0.22, 0.10, 0.15, (2.35,))

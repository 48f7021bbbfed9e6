"""Fitting dry liners, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.liners import fit_liner
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


@pytest.mark.parametrize(
    ("flange", "protrusion"),
    # flange − (10.120 − 0.13)
    [("10.040", "0.050"), ("10.035", "0.045"), ("10.045", "0.055")],
)
def test_stands_out(flange: str, protrusion: str) -> None:
    made = fit_liner(104.012, 104.005, flange=F(flange), ledge=F("9.990"),
                     press={"holds": False})  # fmt: skip
    assert value(made, "stands out when seated") == F(protrusion)


def test_the_bore_closes_by_a_share_of_the_interference() -> None:
    # most 104.012 − 104.005 = 0.007; 100.016 − 0.8 × 0.007 = 100.0104
    made = fit_liner(104.012, 104.005, 104.012, 104.008, inside=100.016, closing=F("0.8"),
                     press={"holds": False})  # fmt: skip
    assert value(made, "interference, most") == F("0.007")
    assert value(made, "interference, least") == F("0.004")
    assert value(made, "bore when settled, least") == F("100.0104")


def test_a_liner_that_slips_in_does_not_close() -> None:
    made = fit_liner(104.000, 104.010, inside=100.016, closing=F("0.8"),
                     press={"holds": False})  # fmt: skip
    assert value(made, "bore when settled, least") == F("100.016")
    assert "by hand" in made.notes[0]

"""Injector washers, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.setups.injectors import choose_washer
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


@pytest.mark.parametrize(
    ("found", "now", "then"),
    # + 0.14 head cut; + 1.5 − 2.0
    [("2.49", "2.63", "2.13"), ("2.51", "2.65", "2.15"), ("2.48", "2.62", "2.12")],
)
def test_washers(found: str, now: str, then: str) -> None:
    made = choose_washer(F(found), F("1.5"), F("0.14"), (1.5, 2.0), 2.00, 2.60)
    assert value(made, "projection with the old washer") == F(now)
    assert value(made, "fit a washer of") == 2
    assert value(made, "projection then") == F(then)


def test_none_fits() -> None:
    with pytest.raises(ValueError, match=r"none brings a projection of 2\.65 mm"):
        choose_washer(2.51, 1.5, 0.14, (1.5,), 2.00, 2.60)

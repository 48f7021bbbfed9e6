"""Springs after the seat was sunk, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.mechanics.springs.installed import load_at_height
from sparkout.setups.record import SetUp
from sparkout.setups.spring_shims import shim_spring

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_height_and_shim() -> None:
    # 33.0 + 0.22 = 33.22; − 33.0 = 0.22, a choice below 33.4
    made = shim_spring(33.0, 33.0, 0.22, most=33.4)
    assert value(made, "installed height after") == F("33.22")
    assert value(made, "shim to bring it back") == F("0.22")
    assert "a choice" in made.notes[0]


def test_loads_are_those_of_the_shimmed_height() -> None:
    made = shim_spring(42.1, 42.0, 0.06, test_load=275, test_height=42.0, rate=20, lift=10,
                       solid=28)  # fmt: skip
    assert float(value(made, "seat load")) == load_at_height(275, 42, 20, 42.0)
    assert float(value(made, "load at full lift")) == load_at_height(275, 42, 20, 32.0)
    assert value(made, "left to coil bind") == 4


def test_coils_that_bind() -> None:
    with pytest.raises(ValueError, match="the coils bind"):
        shim_spring(42.1, 42.0, test_load=275, test_height=42.0, rate=20, lift=14.5, solid=28)


def test_a_spring_that_is_low_gets_no_shim() -> None:
    made = shim_spring(32.8, 33.0)
    assert [n.label for n in made.numbers] == ["installed height after"]
    assert "only lower it" in made.notes[0]

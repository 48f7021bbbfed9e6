"""Boring an old liner out to a thin shell, against the arithmetic beside each number."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.setups.liner_shell import bore_out_liner
from sparkout.setups.record import SetUp

IN = F("25.4")


def value(made: SetUp, label: str) -> F:
    return made.number(label).value


def test_shell_and_stop() -> None:
    # 104.006 − 2 × 0.5; 190 − 2; 0.5 − 0.1; 103.006 − 100.2
    made = bore_out_liner(104.006, 0.5, 0.1, 100.2, 190, 2)
    assert value(made, "bore to") == F("103.006")
    assert value(made, "thinnest shell then") == F("0.4")
    assert value(made, "depth stop, from the deck") == 188
    assert value(made, "metal to bore out") == F("2.806")
    assert sum(cut.taken for cut in made.passes) == F("2.806")


@given(st.floats(0.1, 1.5), st.floats(0, 2))
def test_the_parent_bore_is_never_reached(shell: float, off: float) -> None:
    if off >= shell:
        with pytest.raises(ValueError, match="would touch the parent bore"):
            bore_out_liner(104, shell, off)
        return
    made = bore_out_liner(104, shell, off)
    # the bar at its worst stands off centre by `off`
    assert float(value(made, "bore to")) / 2 + off < 52.0


def test_no_length_no_stop() -> None:
    made = bore_out_liner(104.006)
    assert "liner length" in made.read_first[0]
    assert not any("stop" in number.label for number in made.numbers)
    assert made.marks == ("common practice, a rule of thumb",)


def test_a_thin_shell_already() -> None:
    with pytest.raises(ValueError, match="thin shell already"):
        bore_out_liner(104, 0.5, liner_bore=103.5)
    with pytest.raises(ValueError, match=r"liner_length is 1\.5 mm"):
        bore_out_liner(104, 0.5, liner_length=1.5, stop_short=2)

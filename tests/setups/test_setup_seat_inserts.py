"""Pockets for seat inserts, against the arithmetic beside each number."""

from __future__ import annotations

import pytest

from sparkout.setups.seat_inserts import cut_pocket


def test_pocket_for_an_insert() -> None:
    # 40.08 − 0.08; 7.0 + 0.2
    made = cut_pocket(40.08, 0.08, 7.0, 0.2)
    assert [float(n.value) for n in made.numbers] == [40.0, 20.0, 7.2]
    assert cut_pocket(40.08, 0.08).read_first == ("for the depth: insert height",)
    with pytest.raises(ValueError, match="an oversize insert"):
        cut_pocket(40.08, 0)

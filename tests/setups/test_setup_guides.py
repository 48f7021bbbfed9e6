"""Guides sized to their stems, against the arithmetic beside each number."""

from __future__ import annotations

import pytest

from sparkout.setups.guides import size_guide


def test_guide_to_its_stem() -> None:
    # 8.961 + 0.045; less 0.02
    made = size_guide(8.961, 0.045, 0.02, projection=14.5)
    assert [float(n.value) for n in made.numbers] == [9.006, 8.986, 14.5]
    with pytest.raises(ValueError, match="clearance is 0 mm"):
        size_guide(8.961, 0, 0.02)
    with pytest.raises(ValueError, match=r"hone_stock is -0\.1 mm"):
        size_guide(8.961, 0.045, -0.1)

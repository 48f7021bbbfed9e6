"""Kinematics and compression against Heywood and Gupta."""

from __future__ import annotations

import pytest

from sparkout.mechanics.compression import (
    Chamber,
    compression_ratio,
    ratio_when_piston_at,
    swept_volume,
)
from sparkout.mechanics.slider_crank import SliderCrank, piston_drop

# Heywood, Internal Combustion Engine Fundamentals (1988), equations 2.4 to 2.6, worked for bore and
# stroke 86 mm, rod 143.5 mm, ratio 10 (recalled from memory; both forms of the book agree).
CASE = SliderCrank(43.0, 143.5)
HEYWOOD = [
    (30.0, 7.38068, 1.7723964),
    (60.0, 26.41609, 3.7644746),
    (90.0, 49.59401, 6.1900709),
    (120.0, 69.41609, 8.2644746),
    (180.0, 86.0, 10.0),
]


@pytest.mark.parametrize(("angle", "drop", "volume_ratio"), HEYWOOD)
def test_piston_position_and_volume(angle: float, drop: float, volume_ratio: float) -> None:
    got = piston_drop(CASE, angle)
    assert got == pytest.approx(drop, abs=5e-6)
    # Ratio 10: the clearance volume is a ninth of the swept one.
    chamber = Chamber(86.0, 86.0, swept_volume(86.0, 86.0) / 9.0, 86.0, 0.0)
    assert ratio_when_piston_at(chamber, got) == pytest.approx(volume_ratio, abs=5e-8)


def test_gupta_example_2_1() -> None:
    # Gupta, Fundamentals of Internal Combustion Engines, example 2.1 (read in a stored textbook
    # companion): 200 × 250 mm, clearance volume 1570 cm³: ratio 6.0025.
    assert compression_ratio(Chamber(200.0, 250.0, 1570.0, 200.0, 0.0)) == pytest.approx(
        6.0025, abs=5e-5
    )


def test_bored_and_decked_cylinder() -> None:
    # Arithmetic: 86 × 86 at 10 to 1 has a clearance volume of 499.559 / 9 = 55.507 cm³. Bored to
    # 86.5, swept π/4 × 86.5² × 86 / 1000 = 505.383 cm³.
    assert swept_volume(86.5, 86.0) == pytest.approx(505.383, abs=5e-4)

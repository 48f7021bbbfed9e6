"""Form against worked examples, and the clean-up rules of the trade."""

from __future__ import annotations

import math

import pytest

from sparkout.measure.form.bore_clean_up import (
    Score,
    bore_clean_up,
    bore_clean_up_scored,
    bore_clean_up_two_point,
    journal_clean_up_scored,
    journal_clean_up_two_point,
)
from sparkout.measure.form.circle import associated_circle
from sparkout.measure.form.records import Method

# W. Gander, G. H. Golub, R. Strebel, "Least-squares fitting of circles and ellipses", BIT 34
# (1994) 558-578, the six points of its circle example; points read in a stored copy of a
# benchmark that quotes them, answer recalled from memory and recomputed.
GANDER = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]


def test_gander_golub_strebel_geometric_circle() -> None:
    fit = associated_circle(GANDER, Method.LEAST_SQUARES)
    assert (fit.x, fit.y) == pytest.approx((4.7398, 2.9835), abs=5e-5)
    assert fit.radius == pytest.approx(4.7142, abs=5e-5)


def test_gander_golub_strebel_circumscribed_circle() -> None:
    """Recomputed: centre (5, 6), radius √17 = 4.123106."""
    fit = associated_circle(GANDER, Method.CIRCUMSCRIBED)
    assert (fit.x, fit.y, fit.radius) == pytest.approx((5.0, 6.0, math.sqrt(17.0)), abs=1e-12)


def test_gander_golub_strebel_points_make_no_useful_zone() -> None:
    """A short arc with errors as large as its rise: the record says so in words."""
    words = " ".join(associated_circle(GANDER).warnings)
    assert "short arc" in words
    assert "6 readings see at most 2 lobes" in words


def test_bore_clean_up_on_centre_from_two_point_readings() -> None:
    """Unworn 100.036, largest 100.246: 100.036 + 2 × 0.210 = 100.456 (common practice)."""
    assert bore_clean_up_two_point(100.036, 100.246).sure == pytest.approx(100.456, abs=1e-9)
    assert bore_clean_up_two_point(100.036, 100.246).hopeful == 100.246


def test_scored_bore_on_centre_and_offset() -> None:
    """In inches: unworn radius 2.0005, a score .0220 deep in a wall worn .0038 on that side, so
    .0258 from the unworn wall. On centre 2 × 2.0263 = 4.0526; .010 towards it 4.0326; .004 4.0446
    (2·max(R + d − e, R + e), common practice)."""
    for offset, size in ((0.0, 4.0526), (0.010, 4.0326), (0.004, 4.0446)):
        found = bore_clean_up_scored(4.001, [Score(90.0, 0.0220 + 0.0038)], offset)
        assert found.diameter == pytest.approx(size, abs=1e-9)


def test_journal_clean_up_on_centre() -> None:
    """64.988 worn 0.043 on one side: 64.988 − 2 × 0.043 = 64.902 (common practice)."""
    found = journal_clean_up_scored(64.988, [Score(0.0, 0.043)])
    assert found.diameter == pytest.approx(64.902, abs=1e-9)
    assert journal_clean_up_two_point(64.988, 64.945).sure == pytest.approx(64.902, abs=1e-9)


def test_least_overbore_with_free_centre_is_the_circumscribed_circle() -> None:
    """On the six points above: diameter 2·√17."""
    found = bore_clean_up(GANDER, shift=math.inf)
    assert found.diameter == pytest.approx(2.0 * math.sqrt(17.0), abs=1e-12)

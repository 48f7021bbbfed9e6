"""What is stamped of a face is all that came off it, by what it is known best."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from job_samples import copied, enter, shipped, source_in

from sparkout.report.documents.built.decided import stampings


def deck_of(folder: Path, entries: list[tuple[str, dict[str, Any]]]) -> list[str]:
    enter(folder, entries)
    return next(row for row in stampings(source_in(folder)) if row[0] == "deck")


def height(place: str, typed: str) -> tuple[str, dict[str, Any]]:
    return "reading", {"feature": "deck", "characteristic": "deck height", "level": place,
                       "typed": typed, "phase": "left"}  # fmt: skip


def cut(target: str) -> tuple[str, dict[str, Any]]:
    return "work", {"operation": "surface deck", "features": ["deck"], "target": target}


def test_a_plan_is_told_as_a_plan() -> None:
    rows = {row[0]: row for row in stampings(shipped("workboat_four"))}
    assert rows["deck"][1] == "−0.13 mm"
    assert rows["deck"][2].startswith("deck face cut, as planned; deck height as planned")
    assert rows["head"][1] == "−0.15 mm"


def test_heights_read_before_and_after_say_what_is_off(tmp_path: Path) -> None:
    """Planned 0.13; 327.455 − 327.305 and 327.445 − 327.295 are 0.15 in all."""
    folder = copied(tmp_path, "workboat_four")
    row = deck_of(folder, [cut("0.13"), height("front", "327.305"), height("rear", "327.295")])
    assert row[1] == "−0.15 mm"
    assert row[2].startswith("deck face cut, measured before and after; deck height as left")


def test_a_face_cut_out_of_level_is_stamped_with_both_ends(tmp_path: Path) -> None:
    """327.455 − 327.300 = 0.155, 327.445 − 327.305 = 0.140."""
    folder = copied(tmp_path, "workboat_four")
    row = deck_of(folder, [cut("0.15"), height("front", "327.300"), height("rear", "327.305")])
    assert row[1] == "−0.14 to −0.16 mm"


@pytest.mark.parametrize(
    ("targets", "off"),
    [
        (("0.13", "0.02"), "−0.15 mm"),  # cut twice: 0.13 + 0.02
        (("327.305",), "−0.15 mm"),  # the height it was cut to: 327.455 − 327.305
        (("0.15 mm",), "−0.15 mm"),
    ],
)
def test_without_heights_the_work_says_it(
    tmp_path: Path, targets: tuple[str, ...], off: str
) -> None:
    row = deck_of(copied(tmp_path, "workboat_four"), [cut(target) for target in targets])
    assert row[1] == off
    assert row[2].startswith("deck face cut, as entered with the work")


def test_a_target_in_words_leaves_the_plan(tmp_path: Path) -> None:
    row = deck_of(copied(tmp_path, "workboat_four"), [cut("until it is clean")])
    assert row[2].startswith("deck face cut, as planned")

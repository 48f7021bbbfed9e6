"""What is stamped of a face is all that came off it, by what it is known best."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from job_samples import copied, enter, shipped, source_in

from sparkout.job.bodies import Intake
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
    # the block came in stamped −0.15: 0.15 + 0.13
    assert rows["deck"][1] == "−0.28 mm in all"
    assert rows["deck"][2].startswith("deck face cut, as planned; 0.13 mm here, 0.15 mm before")
    assert rows["head"][1] == "−0.15 mm"
    assert rows["head"][2].startswith("head face cut, as planned; head height as planned")


def test_heights_read_before_and_after_say_what_is_off(tmp_path: Path) -> None:
    """Planned 0.13; 327.455 − 327.305 and 327.445 − 327.295 are 0.15, with the old 0.15 0.30."""
    folder = copied(tmp_path, "workboat_four")
    row = deck_of(folder, [cut("0.13"), height("front", "327.305"), height("rear", "327.295")])
    assert row[1] == "−0.30 mm in all"
    assert row[2].startswith("deck face cut, measured before and after; 0.15 mm here, 0.15 mm")
    assert "deck height as left" in row[2]


def test_a_face_cut_out_of_level_is_stamped_with_both_ends(tmp_path: Path) -> None:
    """327.455 − 327.300 = 0.155, 327.445 − 327.305 = 0.140; 0.15 each was off before."""
    folder = copied(tmp_path, "workboat_four")
    row = deck_of(folder, [cut("0.15"), height("front", "327.300"), height("rear", "327.305")])
    assert row[1] in ("−0.29 to −0.30 mm in all", "−0.29 to −0.31 mm in all")
    assert "0.14 to 0.16 mm here" in row[2]


@pytest.mark.parametrize(
    "targets",
    [
        ("0.13", "0.02"),  # cut twice: 0.13 + 0.02
        ("327.305",),  # the height it was cut to: 327.455 − 327.305
        ("0.15 mm",),
    ],
)
def test_without_heights_the_work_says_it(tmp_path: Path, targets: tuple[str, ...]) -> None:
    row = deck_of(copied(tmp_path, "workboat_four"), [cut(target) for target in targets])
    assert row[1] == "−0.30 mm in all"  # 0.15 before, 0.15 here
    assert row[2].startswith("deck face cut, as entered with the work")


def test_a_target_in_words_leaves_the_plan(tmp_path: Path) -> None:
    row = deck_of(copied(tmp_path, "workboat_four"), [cut("until it is clean")])
    assert row[2].startswith("deck face cut, as planned")


@pytest.mark.parametrize(
    ("plate", "off"),
    [
        ("block stamped −0.15 by an earlier shop", "−0.28 mm in all"),
        ("BLOCK -0,15 mm", "−0.28 mm in all"),
        ("deck – 6 thou", "−0.28 mm in all"),  # 0.1524 + 0.13 = 0.2824
        # a height of 327.445 to 327.455 against 327.55 to 327.65 new: 0.095 to 0.205 is off
        ("block stamped −0.50", "at least −0.22 mm in all"),
        ("block 4711-0.15", "at least −0.22 mm in all"),
        ("block stamped 0.50", "at least −0.22 mm in all"),
        ("head stamped −0.15", "at least −0.22 mm in all"),
    ],
)
def test_a_stamp_counts_where_the_height_bears_it_out(tmp_path: Path, plate: str, off: str) -> None:
    """Without a stamp that fits, the height says only the least: 327.55 − 327.455 + 0.13."""
    source = shipped("workboat_four")
    entries = tuple(
        replace(entry, body=replace(entry.body, plates=(plate,)))
        if isinstance(entry.body, Intake)
        else entry
        for entry in source.job.replayed.effective
    )
    replayed = source.job.replayed._replace(effective=entries)
    other = replace(source, job=replace(source.job, replayed=replayed))
    row = next(row for row in stampings(other) if row[0] == "deck")
    assert row[1] == off

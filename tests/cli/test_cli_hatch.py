"""sparkout hatch: plane kinematics and means worked out by hand, and what cannot be read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from sparkout.cli.main import find, run

MOVES = ("--bore", "100", "--rpm", "150", "--stroke", "130")


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["hatch", *words, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(find("hatch").SCHEMA)
    Draft202012Validator(find("hatch").SCHEMA).validate(result)
    return dict(result)


def test_from_how_the_hone_moves(capsys: pytest.CaptureFixture[str]) -> None:
    # pi · 0.1 · 150 = 47.124 m/min round, 2 · 0.13 · 60 = 15.6 m/min along;
    # 2 atan(15.6/47.124) = 36.63 degrees
    result = data(capsys, *MOVES, "--strokes", "60")
    assert result["surface_speed"] == pytest.approx(47.124, abs=5e-4)
    assert result["axial_speed"] == pytest.approx(15.6)
    assert result["about_circumference"] == pytest.approx(36.63, abs=5e-3)
    assert result["about_axis"] == pytest.approx(180 - 36.63, abs=5e-3)


def test_strokes_for_a_wanted_angle(capsys: pytest.CaptureFixture[str]) -> None:
    # 47.124 · tan 22.5° = 19.519 m/min; over 2 · 0.13 m a double stroke: 75.07 a minute
    result = data(capsys, *MOVES, "--want", "45")
    assert result["strokes"] == pytest.approx(75.07, abs=5e-3)
    inch = data(capsys, "--bore", "3.93700787 in", "--rpm", "150", "--stroke", "5.11811024",
                "--unit", "in", "--want", "45")  # fmt: skip
    assert inch["strokes"] == pytest.approx(75.07, abs=5e-3)


def test_from_lines(capsys: pytest.CaptureFixture[str]) -> None:
    # means 30 and 31; u² = 2/2 + 2/2 = 2 (two lines each way, one degree off their means)
    result = data(capsys, "--lines", "29° 31 -30 −32", "--least", "55", "--most", "65")
    assert result["about_circumference"] == pytest.approx(61.0)
    assert result["expanded"] == pytest.approx(2 * 2**0.5)
    assert result["within"] is True
    assert data(capsys, "--lines", "29 31 -30 -32", "--most", "60", status=1)["within"] is False


def test_both_habits_stand_in_the_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["hatch", "--lines", "29 31 -30 -32"]) == 0
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    said = " ".join(text.split())
    assert "61.0° included, halved by the circumference (119.0° halved by the bore axis)" in said


def test_picture(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    picture = tmp_path / "hatch.svg"
    assert run(["hatch", *MOVES, "--strokes", "60", "--picture", str(picture)]) == 0
    assert "36.6°" in picture.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "--lines, or --bore, --rpm, --stroke, --strokes too"),
        (MOVES, "--strokes too"),
        ((*MOVES, "--strokes", "-1"), "--strokes: found -1; expected above zero"),
        (("--bore", "wide", "--rpm", "1", "--stroke", "1", "--strokes", "1"), "--bore"),
        ((*MOVES, "--want", "180"), "above 0 and below 180"),
        (("--lines", "29 thirty"), "found 'thirty'"),
        (("--lines", "29 31"), "two or more each way"),
        (("--lines", "29 31 -30 -30", "--bore", "100"), "one of the two"),
    ],
)
def test_what_is_missing_or_wrong_is_told(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    assert run(["hatch", *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in " ".join(told.err.split())

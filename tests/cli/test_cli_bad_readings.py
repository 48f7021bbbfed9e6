"""Readings that cannot be right, from the bench to the findings: record, check, confirm, correct.

Each is asked about with its likely slip, stays in the log as typed, and is left out of the state
until somebody confirms or corrects it. 1 in = 25.4 mm exactly (NIST SP 811, B.8).
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

import sparkout
from sparkout.cli.main import run

DEMOS = Path(sparkout.__file__).parent / "demos"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """The single, without what was read of its bore and piston."""
    folder = tmp_path / "job"
    folder.mkdir()
    for name in ("engine.yaml", "supply.yaml"):
        shutil.copy(DEMOS / "farm_single" / name, folder)
    shutil.copy(DEMOS / "shop.yaml", folder)
    return folder


def record(capsys: pytest.CaptureFixture[str], job: Path, *words: str) -> dict[str, Any]:
    status = run(["record", str(job), *words, "--by", "test", "--device", "bench", "--json"])
    said = capsys.readouterr()
    assert status == 0, said.err
    return dict(json.loads(said.out))


def state(capsys: pytest.CaptureFixture[str], job: Path) -> dict[str, Any]:
    run(["check", str(job), "--json"])
    return dict(json.loads(capsys.readouterr().out))


def verdicts(found: dict[str, Any], characteristic: str) -> list[str]:
    return [row["verdict"] for row in found["findings"] if row["characteristic"] == characteristic]


BORE = ("bore 1", "bore diameter")
AT = ("--level", "top", "--direction", "thrust", "--gauge", "BG-1")


@pytest.mark.parametrize(
    ("words", "said", "would_be"),
    [
        ((*BORE, "-72.010"), "below zero", "72.01"),
        ((*BORE, "720.10"), "from nominal", "72.01"),
        ((*BORE, "7.201"), "from nominal", "72.01"),
        ((*BORE, "2.8350"), "read in inches", "72.009"),
        ((*BORE, "71.020"), "one turn too seldom", "72.02"),
        ((*BORE, "27.010"), "changed places", "72.01"),
        (("deck", "deck flatness", "5.0"), "beyond", ""),
        (("bore 1", "bore score depth", "-0.15"), "below zero", "0.15"),
    ],
)
def test_it_is_asked_about_with_its_likely_slip(
    capsys: pytest.CaptureFixture[str], job: Path, words: tuple[str, ...], said: str, would_be: str
) -> None:
    told = record(capsys, job, *words, *AT)
    assert told["question"] is not None
    assert said in told["question"]
    assert would_be in told["question"]
    assert told["verdicts"] == []
    assert json.loads((job / "log.jsonl").read_text().splitlines()[-1])["body"]["typed"] == words[2]
    found = state(capsys, job)
    assert [row["typed"] for row in found["questioned"]] == [words[2]]
    assert set(verdicts(found, words[1])) == {"not measured"}


def test_a_level_deeper_than_the_bore(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    told = record(capsys, job, *BORE, "72.010", "--level", "1400 mm", "--gauge", "BG-1")
    assert "a depth of 1400 mm, more than twice the stroke" in told["question"]


def test_confirmed_it_counts(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    told = record(capsys, job, *BORE, "74.610", *AT)
    assert told["question"]
    record(capsys, job, "--kind", "correction", "--field", f"of={told['id']}",
           "--field", "action=confirm", "--field", "reason=read twice")  # fmt: skip
    found = state(capsys, job)
    assert found["questioned"] == []
    assert verdicts(found, "bore diameter") == ["out"]


def test_corrected_the_right_one_counts(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    told = record(capsys, job, *BORE, "720.10", *AT)
    record(capsys, job, "--kind", "correction", "--field", f"of={told['id']}", "--field",
           "action=replace", "--field", "reason=mark slipped", "--field",
           "body.typed=72.010")  # fmt: skip
    found = state(capsys, job)
    assert found["questioned"] == []
    assert verdicts(found, "bore diameter") == ["within"]
    lines = (job / "log.jsonl").read_text().splitlines()
    assert json.loads(lines[0])["body"]["typed"] == "720.10"


def test_the_plain_command_says_how_to_answer(
    capsys: pytest.CaptureFixture[str], job: Path
) -> None:
    words = [*BORE, "720.10", *AT]
    assert run(["record", str(job), *words, "--by", "test", "--device", "bench"]) == 0
    said = capsys.readouterr().err
    assert "decimal mark may have slipped" in said
    assert "action=confirm" in said
    assert "body.typed=" in said
    run(["check", str(job)])
    assert "READINGS IN QUESTION" in capsys.readouterr().out


def test_what_can_be_is_not_asked_about(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    for words in (
        (*BORE, "72.010"),
        ("bore 1", "piston protrusion", "-0.30"),
        ("deck", "deck flatness", "0.30"),
        ("bore 1", "bore score depth", "0.8"),
    ):
        assert record(capsys, job, *words, *AT)["question"] is None, words


def test_a_gauge_nobody_listed_is_refused(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    assert run(["record", str(job), *BORE, "72.010", "--gauge", "BG-77", "--by", "t"]) == 2
    assert "a gauge of the shop file" in capsys.readouterr().err


def test_no_gauge_is_taken_but_marked(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    record(capsys, job, *BORE, "72.010", "--level", "top")
    found = state(capsys, job)
    row = next(row for row in found["findings"] if row["characteristic"] == "bore diameter")
    assert any("rule of thumb" in mark for mark in row["marks"])

"""sparkout setups: lines of eighty columns, one JSON object, and what it exits with."""

from __future__ import annotations

import json
from itertools import takewhile
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cautions import shipped_messages
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"
FARM = str(DEMOS / "farm_single")


def out(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert run(["setups", *words]) == status
    return capsys.readouterr().out


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    result = json.loads(out(capsys, *words, "--json", status=status))
    Draft202012Validator.check_schema(find("setups").SCHEMA)
    Draft202012Validator(find("setups").SCHEMA).validate(result)
    return dict(result)


@pytest.mark.parametrize("name", ["workboat_four", "road_eight", "farm_single"])
def test_no_line_is_wider_than_a_terminal(capsys: pytest.CaptureFixture[str], name: str) -> None:
    stopped = name != "farm_single"  # guides to be pressed in were not measured
    text = out(capsys, str(DEMOS / name), status=int(stopped))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "Read first: guide outside diameter" in text if stopped else "Read first" in text


def test_the_sum_stands_under_its_number(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, FARM, "--step", "5")
    assert (
        "    hone to: 72.500 mm on diameter (72.496 to 72.504, as well as the hone hits)\n" in text
    )
    assert (
        "        = 72.452 piston 1 skirt diameter + 0.048 clearance (middle of 0.040 to\n" in text
    )
    assert "? Read first: block temperature" in text


def test_what_was_measured_at_the_machine_is_taken(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, FARM, "--step", "5", "--know", "block temperature=32 °C", "--grade",
               "bore=grey iron G3000")  # fmt: skip
    assert "gauge reads, warm: 72.510 mm on diameter" in text
    # sized warm without it the bore is 72.490 cold: outside the limits, and said to be
    assert "clearance then: 0.038 mm on diameter (0.040 to 0.055, limit for new) OUTSIDE" in (
        " ".join(text.split())
    )


def test_marks_stand_on_the_line_of_the_number(capsys: pytest.CaptureFixture[str]) -> None:
    text = " ".join(out(capsys, str(DEMOS / "workboat_four"), status=1).split())
    assert (
        "end play: 0.24 mm axial (0.10 to 0.40, limit) [crankshaft thrust washer thickness "
        "assumed from the data sheet, 2.48 to 2.52: measure it first]" in text
    )


def test_set_ups_alike_are_said_once(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, str(DEMOS / "road_eight"), "--step", "9")
    assert "seat I1, E1, I3, E3, I5, E5, I7, E7: cut a seat to its recession" in text
    assert text.count("recession to reach") == 2


@pytest.mark.parametrize("name", ["workboat_four", "road_eight", "farm_single"])
def test_a_caution_stands_in_full_once_and_before_the_work(
    capsys: pytest.CaptureFixture[str], name: str
) -> None:
    folder = str(DEMOS / name)
    status = int(name != "farm_single")
    lines = out(capsys, folder, status=status).splitlines()
    text = " ".join(" ".join(lines).split())
    wanted = {caution for one in data(capsys, folder, status=status)["setups"]
              for caution in one["cautions"]}  # fmt: skip
    assert wanted
    for message in shipped_messages():
        told = f"{message.hazard} {message.consequence} {message.avoid}"
        assert text.count(told) == (message.name in wanted), message.name
    for place, line in enumerate(lines):
        if line.startswith("──"):  # under every heading the warnings come first
            under = takewhile(bool, lines[place + 1 :])
            told = [row.startswith("  ! ") for row in under if not row.startswith("    ")]
            assert told == sorted(told, reverse=True)


def test_a_caution_told_before_is_named_with_its_step(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = out(capsys, FARM)
    assert "  ! WARNING, as told at step 3: boring and milling." in text
    # one step alone tells it in full
    alone = " ".join(out(capsys, FARM, "--step", "4").split())
    assert "WARNING, boring and milling: A spindle starts, a tool throws chips" in alone
    assert "as told at step" not in alone


def test_where_to_stop_is_said_once(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, FARM, "--step", "4")
    assert text.count("at the top, stop, measure") == 1


def test_json_holds_every_number_with_its_sum(capsys: pytest.CaptureFixture[str]) -> None:
    result = data(capsys, FARM, "--step", "4")
    bored = result["setups"][-1]
    number = next(n for n in bored["numbers"] if n["label"] == "bore to")
    assert number["exact"] == "1811/25"  # 72.44
    assert [(t["sign"], t["value"]) for t in number["terms"]] == [("+", 72.5), ("−", 0.06)]
    assert number["marks"] == ["common practice, a rule of thumb"]
    assert bored["passes"][-1]["each"] == 0.15
    assert result["moves"] == []


def test_moves(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, FARM, "--moves")
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "cam timing error" in text
    result = data(capsys, FARM, "--moves")
    deck = next(row for row in result["moves"] if row["operation"] == "surface deck")
    moved = {item["quantity"]: item for item in deck["moved"]}
    assert moved["squish"]["per"] == -1.0
    assert moved["compression ratio"]["per"] is None
    assert moved["compression ratio"]["sign"] == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--step", "99"), "found 99; expected a step from 1 to"),
        (("--know", "block temprature=32"), "Did you mean 'block temperature'?"),
        (("--know", "block temperature"), "expected NAME=VALUE"),
        (("--know", "block temperature=warm"), "--know block temperature"),
        (("--grade", "bore=grey iron"), "name the grade"),
        (("--grade", "wheel=steel 1020"), "a part out of block, bore"),
        (("--trial", "E3=4.20"), "expected VALVE=READ-OUT,RECESSION"),
        (("--trial", "E3=4.20,deep"), "--trial"),
    ],
)
def test_what_cannot_be_read_is_told(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    assert run(["setups", FARM, *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in " ".join(told.err.split())


def test_no_such_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert run(["setups", str(tmp_path / "none")]) == 2
    assert "no such folder" in " ".join(capsys.readouterr().err.split())


def test_set_ups_are_those_left_of_the_approved_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = str(tmp_path / "job")
    assert run(["begin", job, "--demo", "farm_single"]) == 0
    before = {item["operation"] for item in data(capsys_cleared(capsys), job)["setups"]}
    assert "true crankshaft" in before
    said = ["what=the plan as quoted", "by_whom=Rita", "how=phone"]
    fields = [word for field in said for word in ("--field", field)]
    assert run(["record", job, "--kind", "approval", "--by", "Ines", *fields]) == 0
    done = ["operation=true crankshaft", "features=crankshaft"]
    fields = [word for field in done for word in ("--field", field)]
    assert run(["record", job, "--kind", "work", "--by", "Ines", *fields]) == 0
    left = data(capsys_cleared(capsys), job)
    assert {item["operation"] for item in left["setups"]} == before - {"true crankshaft"}
    assert left["follows"].startswith("the approved plan ")
    assert run(["setups", job]) == 0
    assert "those left to do, by the approved plan" in " ".join(capsys.readouterr().err.split())


def capsys_cleared(capsys: pytest.CaptureFixture[str]) -> pytest.CaptureFixture[str]:
    capsys.readouterr()
    return capsys

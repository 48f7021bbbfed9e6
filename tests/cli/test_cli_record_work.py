"""sparkout record and check: what work left, by which size it was judged, what is said of it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"
PIN = ("rod journal 1", "rod journal diameter", "64.740", "--gauge", "OM-2", "--phase", "left")


@pytest.fixture
def job(tmp_path: Path) -> str:
    folder = tmp_path / "job"
    shutil.copytree(DEMOS / "workboat_four", folder)
    shutil.copy(DEMOS / "shop.yaml", folder)
    return str(folder)


def said(capsys: pytest.CaptureFixture[str], command: str, *words: str, status: int = 0) -> str:
    who = ("--by", "Ines") if command == "record" else ()
    assert run([command, *words, *who]) == status
    told = capsys.readouterr()
    assert max(map(len, told.out.splitlines()), default=0) <= 80
    return " ".join((told.out + " " + told.err).split())


def digest(capsys: pytest.CaptureFixture[str], job: str) -> str:
    assert run(["plan", job, "--json"]) == 0
    return str(json.loads(capsys.readouterr().out)["plan"])[:12]


def approve(capsys: pytest.CaptureFixture[str], job: str) -> str:
    plan = digest(capsys, job)
    fields = (f"what=plan {plan}", "by_whom=owner", "how=phone")
    words = [word for field in fields for word in ("--field", field)]
    said(capsys, "record", job, "--kind", "approval", *words)
    return plan


def grind(
    capsys: pytest.CaptureFixture[str], job: str, pin: str, *more: str, gauge: str = "OM-2"
) -> str:
    row = ("--size", pin, "rod journal diameter", "64.740")
    named = ("--gauge", gauge) if gauge else ()
    fields = ("--field", "operation=grind rod journals", "--field", f"features={pin}")
    return said(capsys, "record", job, "--kind", "work", *fields, *row, *named, *more)


def test_a_bare_reading_as_left_says_by_which_approved_size_it_was_judged(capsys, job):
    plan = approve(capsys, job)
    told = said(capsys, "record", job, *PIN)
    assert "within the new limit, 64.730 to 64.750 mm" in told
    assert (
        f"Diameter of rod journal 1: judged as 0.25 mm under (64.740 mm), as the approved plan "
        f"{plan} has it." in told
    )
    assert "rod 1 oil clearance is 0.066 to 0.070 mm: within" in told


def test_without_plan_and_work_it_says_that_standard_size_was_taken(capsys, job):
    told = said(capsys, "record", job, *PIN)
    assert "outside the service limit, at least 64.950 mm" in told
    assert "Diameter of rod journal 1: judged as standard size. Nothing is approved" in told


def test_recorded_work_gives_the_size_where_nothing_is_approved(capsys, job):
    told = grind(capsys, job, "rod journal 1")
    assert "within the new limit, 64.730 to 64.750 mm" in told
    assert "as the work in the log makes it; nothing is approved." in told
    # and a bare reading after it is judged by the same
    told = said(capsys, "record", job, *PIN)
    assert "judged as 0.25 mm under (64.740 mm), as the work in the log makes it" in told


def test_check_judges_by_the_same_size_and_names_those_alike_together(capsys, job):
    approve(capsys, job)
    for n in (1, 2, 3, 4):
        grind(capsys, job, f"rod journal {n}")
    told = said(capsys, "check", job, status=1)
    assert "rod journal diameter:" not in told  # neither out nor not proven
    assert "Diameter of rod journals 1 to 4: judged as 0.25 mm under (64.740 mm)" in told
    assert run(["check", job, "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    Draft202012Validator(find("check").SCHEMA).validate(data)
    assert len(data["judged_by"]) == 1
    pins = [f for f in data["findings"] if f["characteristic"] == "rod journal diameter"]
    assert [f["verdict"] for f in pins] == ["within"] * 4


def test_record_as_json_says_the_same(capsys, job):
    approve(capsys, job)
    assert run(["record", job, *PIN, "--by", "Ines", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    Draft202012Validator(find("record").SCHEMA).validate(data)
    assert "judged as 0.25 mm under" in data["judged_by"][0]
    assert "within" in data["verdicts"][0]


def test_plan_goes_on_from_work_nobody_approved_and_says_so(capsys, job):
    for n in (1, 2, 3, 4):
        grind(capsys, job, f"rod journal {n}")
    told = said(capsys, "plan", job)
    assert told.startswith("THE PLAN FROM THE WORK IN THE LOG ON; NOT APPROVED")
    assert "still to do: crack-test crankshaft." in told
    assert "Crack-test crankshaft: crankshaft" in told
    assert "To approve it as it now is".upper() in told
    assert run(["plan", job, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    Draft202012Validator(find("plan").SCHEMA).validate(data)
    assert data["approved"] is None
    assert data["not_approved"]["done"][0]["group"] == "rod journals"

"""ask, assembly and papers go by what was approved and what is done, and say so."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from replan_jobs import Growing

from sparkout.cli.main import find, run
from sparkout.plan.decide import Plan
from sparkout.report.documents.source import decided_plan

TODAY = ("--today", "2026-11-23")
PINS = [f"rod journal {n}" for n in (1, 2, 3, 4)]


@pytest.fixture
def four(tmp_path: Path) -> Growing:
    return Growing(tmp_path, "workboat_four")


def data(capsys: pytest.CaptureFixture[str], command: str, job: Growing, *words: str,
         status: int = 0) -> dict[str, Any]:  # fmt: skip
    assert run([command, str(job.folder), *words, "--json"]) == status
    found = json.loads(capsys.readouterr().out)
    Draft202012Validator(find(command).SCHEMA).validate(found)
    return dict(found)


def text(capsys: pytest.CaptureFixture[str], command: str, job: Growing, *words: str) -> str:
    assert run([command, str(job.folder), *words]) == 0
    told = capsys.readouterr().out
    assert max(map(len, told.splitlines())) <= 80
    return " ".join(told.split())


def test_a_question_starts_from_the_approved_offer(capsys, four):
    """Best value re-bushes all four rods, least cost rod 2 alone: to keep rod 3 is a change to the
    one and none to the other."""
    question = ("keep", "rod", "3", "small", "end", *TODAY)
    assert data(capsys, "ask", four, *question)["options"] == []
    four.add("approval", what="best value", by_whom="owner", how="mail")
    told = data(capsys, "ask", four, *question)
    assert [item["group"] for item in told["options"]] == ["rod 3 small end"]
    assert told["cost"] < 0
    assert told["follows"].startswith("the approved plan ")
    assert "Starts from: the approved plan" in text(capsys, "ask", four, *question)


def test_a_question_does_not_plan_work_again_that_is_done(capsys, four):
    """The deck is cut 0.13 mm; 0.05 more is a second pass, paid again: 168.00 (2.0 h at 80.00 with
    5 % for consumables), were it not below what the deck height allows."""
    four.approve()
    four.add("work", operation="surface deck", features=["deck"], target="0.08")
    told = data(capsys, "ask", four, "head", "cut", "0.20", *TODAY)
    assert told["options"] == []
    assert told["amounts"] == [{"name": "head cut", "was": 0.15, "now": 0.2}]
    assert "Work for 168.00 EUR is done." in text(capsys, "ask", four, "head cut 0.20", *TODAY)


def test_a_question_starts_from_work_nobody_approved(capsys, four):
    four.add("work", operation="grind rod journals", features=PINS, target="0.25")
    told = data(capsys, "ask", four, "head", "cut", "0.20", *TODAY)
    assert told["follows"].endswith("nothing is approved.")
    assert told["options"] == []


def test_without_approval_and_work_nothing_is_said_of_either(capsys, four):
    assert data(capsys, "ask", four, "head", "cut", "0.20", *TODAY)["follows"] == ""
    assert data(capsys, "assembly", four)["follows"] == ""
    assert "Goes by" not in text(capsys, "assembly", four)


def test_the_build_takes_the_parts_of_the_approved_plan(capsys, four):
    """Best value re-bushes all four rods."""

    def bushes() -> int:
        parts = data(capsys, "assembly", four)["parts"]
        return next(int(line["planned"]) for line in parts if line["part"] == "small-end bush")

    assert bushes() == 1
    four.add("approval", what="best value", by_whom="owner", how="mail")
    assert bushes() == 4
    assert "Goes by: the approved plan" in text(capsys, "assembly", four)


def test_the_build_keeps_parts_of_work_that_is_done_and_approved_again(four):
    four.approve()
    four.add("work", operation="grind rod journals", features=PINS, target="0.25")
    four.approve(four.again().plan)
    plan = decided_plan(four.job())
    assert isinstance(plan, Plan)
    picks = {group.name: option for group, option in plan.chosen}
    assert picks["rod journals"].name == "grind −0.25"
    assert [work.operation for work in picks["rod journals"].work] == [
        "grind rod journals", "crack-test crankshaft",
    ]  # fmt: skip
    assert "rod shells, 0.25 under" in {use.part for use in picks["rod journals"].parts}


def test_a_plan_that_cannot_be_worked_out_again_is_said(capsys, four):
    four.add("approval", what="plan 0123456789ab", by_whom="owner", how="phone")
    told = data(capsys, "assembly", four)
    assert told["follows"].startswith("a plan made anew")

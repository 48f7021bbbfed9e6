"""Papers of a job of which something is approved or done: they go by that plan, and say so."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from job_samples import copied, enter, papers_of, shipped, source_in

from sparkout.plan.decide import Plan
from sparkout.report.documents.source import Source

APPROVAL = ("approval", {"what": "best value", "by_whom": "owner", "how": "mail"})


def ground(pin: int) -> tuple[str, dict[str, Any]]:
    row = {"characteristic": "rod journal diameter", "typed": "64.740", "gauge": "OM-2"}
    body = {
        "operation": "grind rod journals",
        "features": [f"rod journal {pin}"],
        "results": [row],
    }
    return "work", body


@pytest.fixture(scope="module")
def followed(tmp_path_factory: pytest.TempPathFactory) -> Source:
    """Best value is approved, two of four pins are ground."""
    folder = copied(tmp_path_factory.mktemp("followed"), "workboat_four")
    enter(folder, [APPROVAL, ground(1), ground(2)])
    return source_in(folder)


@pytest.fixture(scope="module")
def papers(followed: Source) -> dict[str, Any]:
    return {name: paper.data for name, paper in papers_of(followed).items()}


def test_every_paper_names_the_plan_it_goes_by(papers: dict[str, Any]) -> None:
    for data in papers.values():
        rows = {row[0]: row[1] for row in data["identity"]}
        assert rows["Goes by"].startswith("The approved plan ")
        assert "(owner, mail, 2027-03-01)" in rows["Goes by"]


def test_the_findings_sheet_prices_what_was_approved_with_the_work_done(
    papers: dict[str, Any],
) -> None:
    """4239.40 is the best value of this job as `offers` has it; half of it is begun."""
    data = papers["findings"]
    assert data["names"] == ["As approved"]
    assert "What was approved costs 4239.40 EUR before tax" in data["short"][2]
    why = {row[1]: row[2] for row in data["work"]}
    bushes = [text for words, text in why.items() if "small end" in words or "bush" in words]
    assert "As approved." in bushes
    assert any("loose in its rod" in text for text in bushes)


def test_the_findings_are_those_of_the_engine_as_found(papers: dict[str, Any]) -> None:
    """Rod journal 3 is out whatever was ground since; pin 1 was 64.972."""
    rows = [row for row in papers["findings"]["judged"] if row[0] == "rod journal diameter"]
    assert rows == [
        row for row in papers_of(shipped("workboat_four"))["findings"].data["judged"]
        if row[0] == "rod journal diameter"
    ]  # fmt: skip


def test_the_work_sheet_has_what_is_left(papers: dict[str, Any]) -> None:
    steps = {row[1]: row[2] for row in papers["work"]["overview"]}
    assert steps["Grind rod journals (sent out)"] == "rod journals 3 and 4"
    assert steps["Re-bush rod"] == "rods 1 to 4"
    assert not any(row[3]["tick"] for row in papers["work"]["overview"])
    assert [row[2] for row in papers["work"]["done"]] == ["rod journal 1", "rod journal 2"]


def test_the_record_decides_as_approved_and_misses_what_is_not_done(
    papers: dict[str, Any],
) -> None:
    told = " ".join(papers["record"]["missing"])
    assert "grind rod journals" in told  # on two of the four
    assert len(papers["record"]["decisions"]) > len(
        papers_of(shipped("workboat_four"))["record"].data["decisions"]
    )


def test_work_nobody_approved_is_gone_by_too(tmp_path: Path) -> None:
    folder = copied(tmp_path, "workboat_four")
    enter(folder, [ground(1)])
    source = source_in(folder)
    assert source.follows == "the plan that the work in the log belongs to; nothing is approved."
    data = papers_of(source)
    assert data["findings"].data["names"] == ["As begun"]
    steps = {row[1]: row[2] for row in data["work"].data["overview"]}
    assert steps["Grind rod journals (sent out)"] == "rod journals 2 to 4"


def test_without_either_nothing_is_followed(tmp_path: Path) -> None:
    source = shipped("workboat_four")
    assert source.follows == ""
    assert isinstance(source.plan, Plan)
    assert source.decided is source.plan
    identity = papers_of(source)["findings"].data["identity"]
    assert "Goes by" not in {row[0] for row in identity}

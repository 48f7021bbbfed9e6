"""sparkout record: approvals of no plan, odd amounts, work out of turn, sizes without a gauge."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"


@pytest.fixture
def job(tmp_path: Path) -> str:
    folder = tmp_path / "job"
    shutil.copytree(DEMOS / "workboat_four", folder)
    shutil.copy(DEMOS / "shop.yaml", folder)
    return str(folder)


def record(
    capsys: pytest.CaptureFixture[str], job: str, kind: str, *fields: str, status: int = 0,
    more: tuple[str, ...] = (),
) -> str:  # fmt: skip
    words = [word for field in fields for word in ("--field", field)]
    assert run(["record", job, "--kind", kind, *words, *more, "--by", "Ines"]) == status
    told = capsys.readouterr()
    assert max(map(len, (told.out + told.err).splitlines()), default=0) <= 80
    return " ".join((told.out + " " + told.err).split())


def approve(capsys, job: str, what: str, *more: str, status: int = 0) -> str:
    return record(capsys, job, "approval", f"what={what}", "by_whom=owner", "how=phone", *more,
                  status=status)  # fmt: skip


def log(job: str) -> bytes:
    return (Path(job) / "log.jsonl").read_bytes()


def plan_now(capsys, job: str) -> str:
    run(["plan", job, "--json"])
    return str(json.loads(capsys.readouterr().out)["plan"])[:12]


# Approvals ---------------------------------------------------------------------------------------


def test_a_plan_that_does_not_exist_is_refused_and_changes_nothing(capsys, job):
    before, plan = log(job), plan_now(capsys, job)
    told = approve(capsys, job, "plan 0123456789ab", status=2)
    assert "what: found plan 0123456789ab;" in told
    assert f"it now is plan {plan}." in told
    assert "Nothing was recorded." in told
    assert log(job) == before


def test_the_plan_as_it_is_and_an_offer_are_taken(capsys, job):
    told = approve(capsys, job, f"plan {plan_now(capsys, job)}")
    assert "!" not in told
    told = approve(capsys, job, "best value")
    assert "taken to be the offer “best value” as it is now" in told


def test_after_more_readings_the_old_digest_is_refused_and_the_new_one_named(capsys, job):
    """Guide I1 turns out worn: one guide more."""
    old = plan_now(capsys, job)
    reading = ("guide I1", "guide diameter", "9.095", "--gauge", "BG-2", "--level", "top",
               "--direction", "in line", "--by", "Ines")  # fmt: skip
    assert run(["record", job, *reading]) == 0
    capsys.readouterr()
    new = plan_now(capsys, job)
    assert new != old
    assert f"it now is plan {new}" in approve(capsys, job, f"plan {old}", status=2)


@pytest.mark.parametrize("typed", ["lots", "-50", "0", "3,991.6.0"])
def test_an_amount_that_is_none_is_refused(capsys, job, typed):
    before = log(job)
    told = approve(capsys, job, "the work", f"amount={typed}", status=2)
    assert f"amount: found '{typed}'; expected an amount of money above zero" in told
    assert log(job) == before


@pytest.mark.parametrize("typed", ["3991.60", "3,991.60", "5 268,91", "EUR 5268.91"])
def test_an_amount_that_the_plan_comes_to_needs_no_word(capsys, job, typed):
    """3991.60 for work and parts, 5268.91 in all: the price the plan prints."""
    plan = plan_now(capsys, job)
    assert "!" not in approve(capsys, job, f"plan {plan}", f"amount={typed}")


def test_another_amount_is_recorded_and_said(capsys, job):
    told = approve(capsys, job, f"plan {plan_now(capsys, job)}", "amount=4000")
    assert "! The approved amount is none of the sums that plan comes to: 3991.60 EUR" in told


def test_another_currency_is_recorded_and_said(capsys, job):
    more = ("amount=3991.60", "currency=USD")
    told = approve(capsys, job, f"plan {plan_now(capsys, job)}", *more)
    assert "! The approved amount is in USD; this shop reckons in EUR." in told


# Work --------------------------------------------------------------------------------------------


def work(capsys, job: str, operation: str, *features: str, more: tuple[str, ...] = ()) -> str:
    fields = [f"features={name}" for name in features]
    return record(capsys, job, "work", f"operation={operation}", *fields, more=more)


def test_work_before_what_should_precede_it_is_recorded_and_said(capsys, job):
    before = len(log(job).splitlines())
    told = work(capsys, job, "fit dry liner", "bore 1")
    assert len(log(job).splitlines()) == before + 1
    assert "Out of turn: fit dry liner before recut ledge (ledge 1): the flange must sit" in told
    assert "Out of turn: fit dry liner before surface deck: with liners in" in told


def test_work_after_what_should_follow_it_is_said(capsys, job):
    work(capsys, job, "Fit  dry liner", "bore 1")
    told = work(capsys, job, "surface deck", "deck")
    assert "Out of turn: surface deck after fit dry liner: with liners in" in told


def test_work_in_its_turn_needs_no_word(capsys, job):
    pins = [f"rod journal {n}" for n in (1, 2, 3, 4)]
    assert "Out of turn" not in work(capsys, job, "grind rod journals", *pins)
    assert "Out of turn" not in work(capsys, job, "crack-test crankshaft", "crankshaft")
    mains = [f"main journal {n}" for n in (1, 2, 3, 4, 5)]
    assert "Out of turn" not in work(capsys, job, "polish journals", *mains)


def test_one_rod_does_not_wait_for_another(capsys, job):
    """Rod 2 is resized, rod 3 straightened: neither is a matter of the other."""
    assert "Out of turn" not in work(capsys, job, "straighten rod", "rod 3")
    assert "Out of turn" not in work(capsys, job, "resize rod", "rod 2")
    told = work(capsys, job, "resize rod", "rod 3")
    assert "Out of turn: resize rod after straighten rod" in told


def test_work_that_was_not_approved_is_said_at_once(capsys, job):
    assert "Not in what was approved" not in work(capsys, job, "skim flywheel", "flywheel")
    approve(capsys, job, "the work")
    told = work(capsys, job, "skim manifold face", "head")
    assert "Not in what was approved: skim manifold face on head." in told


def test_a_size_without_a_gauge_is_said_to_prove_nothing(capsys, job):
    row = ("--size", "rod journal 1", "rod journal diameter", "64.740")
    told = work(capsys, job, "grind rod journals", "rod journal 1", more=row)
    assert "! No gauge is named for the rod journal diameter of rod journal 1" in told
    assert "proves nothing near a limit" in told
    row = (*row, "--gauge", "OM-2")
    assert "No gauge" not in work(capsys, job, "grind rod journals", "rod journal 1", more=row)


def test_a_gauge_that_the_shop_does_not_have_is_refused_for_work_too(capsys, job):
    row = ("--size", "rod journal 1", "rod journal diameter", "64.740", "--gauge", "NOPE")
    fields = ("operation=grind rod journals", "features=rod journal 1")
    before = log(job)
    told = record(capsys, job, "work", *fields, more=row, status=2)
    assert "--gauge: found 'NOPE'; expected a gauge of the shop file" in told
    assert log(job) == before


def test_the_same_as_json(capsys, job):
    fields = ("--field", "operation=fit dry liner", "--field", "features=bore 1")
    assert run(["record", job, "--kind", "work", *fields, "--by", "Ines", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    Draft202012Validator(find("record").SCHEMA).validate(data)
    assert data["cautions"][0].startswith("Out of turn: fit dry liner before recut ledge")

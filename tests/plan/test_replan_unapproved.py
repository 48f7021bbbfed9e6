"""Work nobody approved or entered: it stands, what it owes is kept, and it is judged as made."""

from __future__ import annotations

from pathlib import Path

import pytest
from replan_jobs import Growing

from sparkout.judge.finding import Verdict
from sparkout.plan.replan import plan_digest
from sparkout.report.documents.standing import judged, replanned

FOUR, FARM = "workboat_four", "farm_single"
PINS = [f"rod journal {n}" for n in (1, 2, 3, 4)]
PLACES = [(at, way) for at in ("front", "rear") for way in ("vertical", "horizontal")]


@pytest.fixture
def four(tmp_path: Path) -> Growing:
    return Growing(tmp_path, FOUR)


def read_left(job: Growing, feature: str, what: str, typed: str, gauge: str = "OM-2") -> None:
    """A size read round the feature after work, with no word of the work."""
    for level, direction in PLACES:
        job.add("reading", feature=feature, characteristic=what, typed=typed, level=level,
                direction=direction, gauge=gauge, phase="left")  # fmt: skip


def ground(job: Growing, size: str = "64.740", pins: list[str] = PINS) -> None:
    for pin in pins:
        row = {"characteristic": "rod journal diameter", "typed": size, "gauge": "OM-2"}
        job.add("work", operation="grind rod journals", features=[pin], results=[row])


def of(job: Growing, name: str):
    """The finding of a name, as `check` and `record` judge it."""
    return next(f for f in judged(job.job()).job.findings if f.check.name == name)


def left_to_do(plan) -> set[str]:
    return {work.operation for _, option in plan.chosen for work in option.work}


# Recorded, not approved --------------------------------------------------------------------------


def test_ground_without_a_word_still_owes_its_crack_test_and_polish(four):
    """Common practice: grinding can crack a shaft. The same is left as with an approval."""
    ground(four)
    approved, again, _ = replanned(four.job())
    assert not approved.given
    assert {"crack-test crankshaft", "polish journals"} <= left_to_do(again.plan)
    assert "grind rod journals" not in left_to_do(again.plan)
    assert {"crack-test crankshaft", "polish journals"} <= left_to_do(again.free)


def test_work_without_approval_is_paid_once(four):
    """260.00 for the grinding, sent out; the rest of the plan comes to what it was."""
    cost = four.plan().cost
    ground(four)
    _, again, _ = replanned(four.job())
    assert again.spent == 26_000
    assert again.cost == cost


def test_a_deck_that_was_cut_is_not_cut_again(four):
    four.add("work", operation="surface deck", features=["deck"], target="0.13")
    _, again, _ = replanned(four.job())
    assert "surface deck" not in left_to_do(again.plan)


def test_the_undersize_is_that_of_what_was_read(four):
    """64.490 is 0.50 under the middle of 64.980 to 65.000."""
    ground(four, "64.490")
    approved, _, _ = replanned(four.job())
    picks = {group.name: option.name for group, option in approved.plan.chosen}
    assert picks["rod journals"] == "grind −0.50"


def test_a_size_worked_to_tells_the_undersize_where_nothing_was_read(four):
    for typed in ("64.490", "0.50"):
        four.add("work", operation="grind rod journals", features=PINS, target=typed)
        approved, _, _ = replanned(four.job())
        picks = {group.name: option.name for group, option in approved.plan.chosen}
        assert picks["rod journals"] == "grind −0.50"


def test_what_is_approved_after_the_work_keeps_what_the_work_owes(four):
    ground(four)
    _, again, _ = replanned(four.job())
    four.approve(again.plan)
    approved, later, _ = replanned(four.job())
    assert approved.given
    assert plan_digest(approved.plan) == plan_digest(again.plan)
    assert later.as_approved
    assert later.cheaper == 0  # no saving is made of the crack test
    assert {"crack-test crankshaft", "polish journals"} <= left_to_do(later.free)
    assert later.cost == again.cost


def test_a_plan_made_without_regard_to_work_can_still_be_approved(four):
    ground(four)
    four.approve(four.plan())
    approved, _, _ = replanned(four.job())
    assert approved.plan is not None


def test_work_that_no_plan_has_is_told_and_leaves_the_plan_as_it_was(four):
    plan = four.plan()
    four.add("work", operation="weld bracket", features=["block"])
    _, again, _ = replanned(four.job())
    assert again.plan.cost == plan.cost
    assert "What weld bracket on block did to the sizes is not known" in again.noted[0]


def test_without_work_and_approval_there_is_nothing_to_go_on_from(four):
    assert replanned(four.job()) is None
    assert judged(four.job()).approved is None


# Read as left, not recorded ----------------------------------------------------------------------


def test_a_bare_reading_as_left_is_judged_by_the_approved_size(four):
    """0.25 under 64.980 to 65.000 is 64.730 to 64.750, the new limit moved with the size."""
    four.approve()
    read_left(four, PINS[0], "rod journal diameter", "64.740")
    found = of(four, "rod journal 1: rod journal diameter")
    assert found.verdict is Verdict.WITHIN
    assert (float(found.bounds.low), float(found.bounds.high)) == (64.730, 64.750)
    # 0.066 to 0.070: to the shells 0.25 under that came and were measured, not to the old ones
    assert of(four, "rod 1: rod oil clearance").verdict is Verdict.WITHIN


def test_too_small_for_the_approved_size_is_out(four):
    four.approve()
    read_left(four, PINS[0], "rod journal diameter", "64.700")
    assert of(four, "rod journal 1: rod journal diameter").verdict is Verdict.OUT


def test_a_bare_reading_as_left_asks_for_no_more_metal(four):
    """It was taken for a journal at 64.740 still to be ground 0.25 under, so 0.50 was asked for."""
    plan = four.plan()
    four.approve(plan)
    read_left(four, PINS[0], "rod journal diameter", "64.740")
    again = four.again()
    assert again.as_approved
    assert again.needs_approval == ()
    done = next(item for item in again.done if item.group.name == "rod journals")
    assert done.left[0].features == tuple(PINS[1:])
    assert (
        "Rod journal 1 was read as left, and no entry says “grind rod journals”" in (again.noted[0])
    )


def test_an_untouched_journal_read_in_the_wrong_phase_is_no_work(four):
    """Found at 64.972; 64.974 as left is nearer to that than to 64.740."""
    four.approve()
    read_left(four, PINS[0], "rod journal diameter", "64.974")
    again = four.again()
    assert again.done == ()
    assert of(four, "rod journal 1: rod journal diameter").verdict is Verdict.OUT


def test_a_deck_read_as_left_is_cut_and_not_cut_again(four):
    """327.445 at the rear less 0.13 is 327.315."""
    four.approve()
    for level, typed in (("front", "327.325"), ("rear", "327.315")):
        four.add("reading", feature="deck", characteristic="deck height", typed=typed, level=level,
                 gauge="HG-1", phase="left")  # fmt: skip
    again = four.again()
    assert "surface deck" not in left_to_do(again.plan)
    assert again.needs_approval == ()
    # flatness was read of the old face
    assert of(four, "deck: deck flatness").verdict is Verdict.STALE


def test_without_plan_and_work_it_is_judged_as_standard(four):
    read_left(four, PINS[0], "rod journal diameter", "64.740")
    assert of(four, "rod journal 1: rod journal diameter").verdict is Verdict.OUT


def test_a_bore_made_to_its_piston_is_judged_by_the_clearance(tmp_path: Path):
    """+0.50: the piston that came measures 72.452, the sheet asks 0.030 to 0.050 of a new one."""
    farm = Growing(tmp_path, FARM)
    farm.approve()
    sizes = [{"characteristic": "piston skirt diameter", "typed": "72.452", "gauge": "OM-2"}]
    farm.add("part", part="piston +0.50", for_feature="piston 1", quantity="1", sizes=sizes)
    for level in ("top", "middle", "bottom"):
        for direction in ("thrust", "axial"):
            farm.add("reading", feature="bore 1", characteristic="bore diameter", typed="72.492",
                     level=level, direction=direction, gauge="BG-1", phase="left")  # fmt: skip
    assert of(farm, "bore 1: bore diameter").verdict is Verdict.NO_LIMIT
    clearance = of(farm, "bore 1: piston clearance")
    assert (float(clearance.low.value), float(clearance.high.value)) == (0.040, 0.040)


def test_a_size_that_work_moved_and_nobody_read_is_stale(four):
    """What was read before the grinding says nothing of the journal any more."""
    four.approve()
    four.add("work", operation="grind rod journals", features=PINS)
    assert of(four, "rod journal 2: rod journal diameter").verdict is Verdict.STALE
    assert of(four, "main journal 2: main journal diameter").verdict is Verdict.WITHIN

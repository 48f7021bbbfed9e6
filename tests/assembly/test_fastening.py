"""One fastener at a time: every move in its turn, and a broken sequence from the beginning."""

from __future__ import annotations

from fractions import Fraction

import pytest
from assembly_makers import LOOSEN, check, joint, place, recorded, torque, turn
from hypothesis import given
from hypothesis import strategies as st

from sparkout.assembly.fastening import Act, JointWork, moves, next_fastener
from sparkout.sheet.assembly_model import Again, Pattern, StageKind

STEP = "tighten-head"
FOUR = tuple(place(n, x, y) for n, x, y in (("1", 0, 0), ("2", 90, 0), ("3", 90, 90), ("4", 0, 90)))


def work(*stages: object, **more: object) -> JointWork:
    return JointWork(STEP, joint(stages, FOUR, Pattern.CROSS, **more))  # type: ignore[arg-type]


def moved(w: JointWork, count: int) -> list[tuple[str, dict[str, str]]]:
    """The first so many moves, recorded as they should be."""
    rows = []
    for move in moves(w)[:count]:
        unit = {StageKind.TORQUE: "N·m", StageKind.TURN: "deg"}.get(move.what.kind)
        result = f"{move.what.value} {unit}" if unit else "done"
        rows.append(check(f"{STEP}/{move.check}", result, move.fastener, tool="TW-1",
                          lubricant="engine oil on thread" if move.stage == 1 else ""))  # fmt: skip
    return rows


@given(
    st.lists(st.sampled_from([torque, turn]), min_size=1, max_size=4),
    st.integers(1, 60),
)
def test_stages_times_order(kinds: list[object], count: int) -> None:
    """Each fastener once a stage, and no stage begun before the one before is finished."""
    stages = [kind(20 * (k + 1)) for k, kind in enumerate(kinds)]  # type: ignore[operator]
    places = tuple(place(f"b{k}", 37 * (k % 8), 53 * (k // 8)) for k in range(count))
    w = JointWork(STEP, joint(stages, places))
    made = moves(w)
    assert len(made) == count * len(stages)
    for number in range(1, len(stages) + 1):
        at = [move.fastener for move in made if move.stage == number]
        assert sorted(at) == sorted(p.name for p in places)
    assert [move.stage for move in made] == sorted(move.stage for move in made)


def test_loosening_goes_backwards() -> None:
    w = work(torque(30), LOOSEN, torque(20))
    by_stage = [[m.fastener for m in moves(w) if m.stage == k] for k in (1, 2, 3)]
    assert by_stage == [["1", "3", "2", "4"], ["4", "2", "3", "1"], ["1", "3", "2", "4"]]


@given(st.integers(0, 12))
def test_each_record_leads_to_the_next(done: int) -> None:
    w = work(torque(30), torque(60), turn(90))
    made = moves(w)
    now = next_fastener(w, recorded(*moved(w, done)))
    assert (now.done, now.of) == (done, 12)
    if done == 12:
        assert now.act is Act.DONE
    else:
        assert (now.act, now.stage, now.fastener) == (
            Act.TIGHTEN, made[done].stage, made[done].fastener)  # fmt: skip


def test_it_says_what_to_do_and_what_to_enter() -> None:
    w = work(torque(30), turn(90))
    first = next_fastener(w, ())
    assert first.words == "Stage 1 of 2, fastener 1: 30 N·m, engine oil on thread."
    assert first.record == (
        "tighten-head/stage 1, feature 1: the torque the wrench was set to, the wrench, the "
        "lubricant used"
    )
    last = next_fastener(w, recorded(*moved(w, 7)))
    assert last.words == "Stage 2 of 2, fastener 4: turn 90 deg, engine oil on thread."
    assert last.record == "tighten-head/stage 2, feature 4: the angle turned, the angle gauge"


BROKEN = [
    (check(f"{STEP}/interrupted", "called away"), "the sequence was interrupted (called away)"),
    (check(f"{STEP}/stage 1", "30 N·m", "4", tool="TW-1", lubricant="engine oil"),
     "fastener 4, stage 1 was recorded where fastener 2, stage 1 was next"),
    (check(f"{STEP}/stage 1", "30 N·m", "1", tool="TW-1", lubricant="engine oil"),
     "fastener 1, stage 1 was recorded a second time"),
    (check(f"{STEP}/stage 2", "60 N·m", "2", tool="TW-1"),
     "fastener 2, stage 2 was recorded where fastener 2, stage 1 was next"),
    (check(f"{STEP}/stage 1", "35 N·m", "2", tool="TW-1", lubricant="engine oil"),
     "fastener 2, stage 1: 35 N·m recorded, 30.0 N·m wanted"),
    (check(f"{STEP}/stage 1", "tight", "2", tool="TW-1", lubricant="engine oil"),
     "fastener 2, stage 1: 'tight' is not a torque"),
    (check(f"{STEP}/stage 1", "30", "2", tool="TW-1", lubricant="engine oil"),
     "fastener 2, stage 1: '30' is not a torque"),
    (check(f"{STEP}/stage 1", "30 N·m", "2", lubricant="engine oil"),
     "fastener 2, stage 1: no wrench named"),
    (check(f"{STEP}/stage 1", "30 N·m", "2", tool="TW-1"),
     "fastener 2, stage 1: no lubricant recorded; the sheet has: engine oil on thread"),
    (check(f"{STEP}/stage 1", "30 N·m", "2", tool="TW-1", lubricant="dry"),
     "fastener 2, stage 1: lubricant 'dry', and the sheet has: engine oil on thread"),
]  # fmt: skip


@pytest.mark.parametrize(("row", "reason"), BROKEN)
def test_a_broken_sequence_begins_again(row: tuple[str, dict[str, str]], reason: str) -> None:
    w = work(torque(30), torque(60))
    begun = moved(w, 2)
    now = next_fastener(w, recorded(*begun, row))
    assert (now.act, now.reason) == (Act.RESTART, reason)
    assert now.words.startswith("Loosen every fastener fully, then begin again with the first")
    # What is done before it is loosened does not count ...
    going_on = moved(w, 8)[2:]
    assert next_fastener(w, recorded(*begun, row, *going_on)).act is Act.RESTART
    # ... and after it everything is done again, from the first.
    loosened = [*begun, row, check(f"{STEP}/loosen", "done")]
    again = next_fastener(w, recorded(*loosened))
    assert (again.act, again.stage, again.fastener, again.done) == (Act.TIGHTEN, 1, "1", 0)
    assert next_fastener(w, recorded(*loosened, *moved(w, 8))).act is Act.DONE


def test_nothing_is_added_after_the_last() -> None:
    w = work(torque(30))
    more = check(f"{STEP}/stage 1", "30 N·m", "1", tool="TW-1", lubricant="engine oil")
    now = next_fastener(w, recorded(*moved(w, 4), more))
    assert now.act is Act.RESTART
    assert now.reason == (
        "fastener 1, stage 1 was recorded after the last one: nothing is to be added"
    )


def test_tolerances_are_the_sheets_alone() -> None:
    """Without one, the last digit typed decides: 22 lbf·ft is 29.83 N·m, and 30 to that digit."""
    plain = work(torque(30))
    inch = check(f"{STEP}/stage 1", "22 lbf·ft", "1", tool="TW-2", lubricant="engine oil")
    assert next_fastener(plain, recorded(inch)).done == 1
    fine = check(f"{STEP}/stage 1", "29.8 N·m", "1", tool="TW-2", lubricant="engine oil")
    assert next_fastener(plain, recorded(fine)).act is Act.RESTART
    wide = work(torque(30), turn(90), torque_tolerance=Fraction(4, 100), turn_tolerance=Fraction(5))
    for result, right in (("31.2 N·m", True), ("28.8 N·m", True), ("31.3 N·m", False)):
        row = check(f"{STEP}/stage 1", result, "1", tool="TW-2", lubricant="engine oil")
        assert (next_fastener(wide, recorded(row)).done == 1) is right
    for result, right in (("94 deg", True), ("95 deg", True), ("96 deg", False)):
        row = check(f"{STEP}/stage 2", result, "1", tool="AG-1")
        assert (next_fastener(wide, recorded(*moved(wide, 4), row)).done == 5) is right


def test_one_use_fasteners_are_named_when_it_begins_again() -> None:
    row = check(f"{STEP}/interrupted", "shift ended")
    once = next_fastener(work(torque(30), again=Again.NO), recorded(row))
    assert "fit new ones where it says so" in once.words
    length = next_fastener(work(torque(30), again=Again.LENGTH), recorded(row))
    assert "Measure their free length" in length.words


def test_other_steps_records_do_not_matter() -> None:
    w = work(torque(30))
    row = check("tighten-main-caps/stage 1", "95 N·m", "1", tool="TW-1", lubricant="dry")
    assert next_fastener(w, recorded(row)).done == 0


def test_a_lubricant_may_be_named_short_at_a_comma_too() -> None:
    one = joint([torque(30)], lubrication="thread sealant, as the holes are wet")
    work = JointWork("tighten-head", one)
    first = next_fastener(work, ()).fastener

    def after(lubricant: str) -> Act:
        entry = check("tighten-head/stage 1", "30", first, unit="N·m", tool="TW-1",
                      lubricant=lubricant)  # fmt: skip
        return next_fastener(work, recorded(entry)).act

    assert after("thread sealant") is Act.TIGHTEN
    assert after("thread seal") is Act.RESTART

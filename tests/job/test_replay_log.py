"""Corrections supersede; nothing is edited and nothing is lost."""

from __future__ import annotations

import itertools
from datetime import timedelta

from log_makers import START, chain, drafted, readings

from sparkout.job.bodies import Reading, Work
from sparkout.job.entry import Draft, Entry
from sparkout.job.replay import Replay, replay

FIRST = "BENCH" + "1".zfill(21)
SECOND = "BENCH" + "2".zfill(21)
THIRD = "BENCH" + "3".zfill(21)


def correction(of: str, action: str, **fields: object) -> Draft:
    body = {"body": fields} if fields else {}
    return drafted("correction", of=of, action=action, reason="slip of the pen", **body)


def log(*drafts: Draft) -> tuple[Entry, ...]:
    return chain("bench", drafts)


def typed(result: Replay) -> list[str]:
    return [one.body.typed for one in result.effective if isinstance(one.body, Reading)]


BORE = readings("10.246")[0]


def test_without_corrections_everything_counts_in_order_of_time() -> None:
    bench = chain("bench", readings("1", "2"))
    tablet = chain("tablet", readings("3", "4"), start=START + timedelta(seconds=30))
    for entries in itertools.permutations(bench + tablet):
        result = replay(entries)
        assert typed(result) == ["1", "3", "2", "4"]
        assert result.superseded == ()
        assert result.faults == ()


def test_at_one_moment_the_device_and_then_the_number_decide() -> None:
    bench = chain("bench", readings("1", "2"))
    tablet = chain("a tablet", readings("3"))
    assert typed(replay(bench + tablet)) == ["3", "1", "2"]


def test_a_replacement_changes_only_what_it_names() -> None:
    result = replay(log(BORE, correction(FIRST, "replace", typed="100.246", level="top")))
    (now,) = result.effective
    assert now.body == Reading(
        feature="bore 2", characteristic="bore diameter", typed="100.246", level="top"
    )
    assert now.corrected_by == (SECOND,)
    (then,) = result.superseded
    assert then.body == BORE.body
    assert (then.id, then.superseded_by) == (FIRST, SECOND)
    assert result.faults == ()


def test_an_empty_text_takes_a_field_away() -> None:
    noted = drafted(feature="bore 2", characteristic="bore diameter", typed="1", note="cold")
    (now,) = replay(log(noted, correction(FIRST, "replace", note=""))).effective
    assert isinstance(now.body, Reading)
    assert now.body.note == ""


def test_a_replacement_that_leaves_no_reading_is_a_fault_and_changes_nothing() -> None:
    result = replay(log(BORE, correction(FIRST, "replace", typed="", leevl="top")))
    assert typed(result) == ["10.246"]
    assert [fault.place.key for fault in result.faults] == ["reading.leevl", "reading.typed"]
    assert 'Did you mean "level"?' in result.faults[0].remedy


def test_later_corrections_win_and_all_stay() -> None:
    result = replay(
        log(
            BORE,
            correction(FIRST, "replace", typed="100.256"),
            correction(FIRST, "replace", typed="100.246"),
        )
    )
    assert typed(result) == ["100.246"]
    assert [(one.body.typed, one.superseded_by) for one in result.superseded] == [  # type: ignore[union-attr]
        ("10.246", SECOND),
        ("100.256", THIRD),
    ]


def test_withdrawn_entries_do_not_count_and_point_at_why() -> None:
    result = replay(log(BORE, correction(FIRST, "withdraw")))
    assert result.effective == ()
    assert [(one.id, one.superseded_by) for one in result.superseded] == [(FIRST, SECOND)]


def test_a_withdrawal_can_be_withdrawn_and_that_again() -> None:
    undo = correction(SECOND, "withdraw")
    assert typed(replay(log(BORE, correction(FIRST, "withdraw"), undo))) == ["10.246"]
    again = correction(THIRD, "withdraw")
    assert typed(replay(log(BORE, correction(FIRST, "withdraw"), undo, again))) == []


def test_a_replacement_can_be_withdrawn() -> None:
    result = replay(
        log(BORE, correction(FIRST, "replace", typed="99"), correction(SECOND, "withdraw"))
    )
    assert typed(result) == ["10.246"]
    assert result.superseded == ()


def test_a_correction_of_what_is_withdrawn_is_a_warning() -> None:
    result = replay(
        log(BORE, correction(FIRST, "withdraw"), correction(FIRST, "replace", typed="1"))
    )
    assert typed(result) == []
    assert [(fault.place.key, fault.stops) for fault in result.faults] == [
        (f"correction {THIRD}, of", False)
    ]
    assert SECOND in result.faults[0].found


def test_a_questioned_reading_is_confirmed_as_typed() -> None:
    (now,) = replay(log(BORE, correction(FIRST, "confirm"))).effective
    assert now.confirmed
    assert now.body == BORE.body
    assert now.corrected_by == (SECOND,)


def test_a_later_replacement_ends_the_confirmation() -> None:
    (now,) = replay(
        log(BORE, correction(FIRST, "confirm"), correction(FIRST, "replace", typed="100.246"))
    ).effective
    assert not now.confirmed


def test_only_readings_are_confirmed() -> None:
    work = drafted("work", operation="hone", features=["bore 2"])
    result = replay(log(work, correction(FIRST, "confirm")))
    assert [type(one.body) for one in result.effective] == [Work]
    assert "confirm of a work" in result.faults[0].found


def test_lists_are_replaced_whole() -> None:
    size = {"characteristic": "bore diameter", "typed": "100.51"}
    work = drafted("work", operation="hone", features=["bore 2"], results=[size])
    new = [{**size, "typed": "100.50"}]
    (now,) = replay(log(work, correction(FIRST, "replace", results=new))).effective
    assert isinstance(now.body, Work)
    assert [one.typed for one in now.body.results] == ["100.50"]


def test_a_correction_of_nothing_is_a_fault() -> None:
    result = replay(log(BORE, correction("Z" * 26, "withdraw")))
    assert typed(result) == ["10.246"]
    assert str(result.faults[0]) == (
        f"correction {SECOND}, of: found no entry {'Z' * 26}; expected the id of an entry."
    )


def test_a_replacement_of_a_correction_is_a_fault() -> None:
    result = replay(
        log(BORE, correction(FIRST, "withdraw"), correction(SECOND, "replace", reason="other"))
    )
    assert typed(result) == []
    assert "replace of a correction" in result.faults[0].found


def test_corrections_that_withdraw_each_other_are_a_fault_and_count_for_nothing() -> None:
    result = replay(
        log(
            BORE,
            correction(THIRD, "withdraw"),
            correction(SECOND, "withdraw"),
            correction("BENCH" + "4".zfill(21), "withdraw"),
        )
    )
    assert typed(result) == ["10.246"]
    assert {fault.found for fault in result.faults} == {"corrections that withdraw each other"}
    assert len(result.faults) == 3


def test_a_long_row_of_withdrawals_is_no_matter() -> None:
    row = [correction("BENCH" + str(at).zfill(21), "withdraw") for at in range(1, 3001)]
    assert typed(replay(log(BORE, *row[:2999]))) == []
    assert typed(replay(log(BORE, *row))) == ["10.246"]


def test_a_correction_from_a_device_with_a_slow_clock_still_counts() -> None:
    bench = chain("bench", [BORE])
    fix = correction(FIRST, "replace", typed="100.246")
    tablet = chain("tablet", [fix], start=START - timedelta(hours=2))
    assert typed(replay(bench + tablet)) == ["100.246"]

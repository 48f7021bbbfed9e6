"""The chain catches what was changed, lost, doubled or swapped."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from log_makers import START, as_bytes, chain, readings

from sparkout.job.entry import Draft, seal
from sparkout.job.reader import read_log
from sparkout.job.verify import heads, verify

BENCH = chain("bench", readings("100.246", "100.172", "100.110", "100.070"))
TABLET = chain(
    "tablet", readings("80.011", "80.008", "80.009"), start=START + timedelta(seconds=30)
)


def said(entries: object) -> list[str]:
    return [f"{fault.place.key}: {fault.found}" for fault in verify(entries)]  # type: ignore[arg-type]


def test_two_sound_chains_in_any_order() -> None:
    assert verify(BENCH + TABLET) == ()
    assert verify(reversed(BENCH + TABLET)) == ()
    assert verify(()) == ()


def test_the_same_entry_twice_is_harmless() -> None:
    assert verify(BENCH + BENCH[1:2]) == ()


def test_a_changed_value_with_the_old_hash() -> None:
    line = BENCH[1].line.replace("100.172", "100.072")
    entries, faults = read_log(as_bytes(BENCH).replace(BENCH[1].line.encode(), line.encode()))
    assert faults == ()
    assert said(entries) == [
        f"entry {BENCH[1].id}: content that does not give its hash {BENCH[1].hash[:12]}…"
    ]


def test_a_changed_value_with_a_new_hash_breaks_the_next_link() -> None:
    forged = chain("bench", readings("100.246", "100.072"))[1]
    assert said((BENCH[0], forged, *BENCH[2:])) == [
        f"bench, number 3: previous {BENCH[1].hash[:12]}…"
    ]


def test_a_lost_entry() -> None:
    assert said((BENCH[0], *BENCH[2:])) == ["bench, number 3: no entry number 2"]
    assert said((BENCH[0], BENCH[3])) == ["bench, number 4: no entry number 2 to 3"]
    assert said(BENCH[1:]) == ["bench, number 2: no entry number 1"]


def test_two_entries_with_one_number() -> None:
    twin = chain("bench", readings("100.246", "99.9"))[1]
    other = replace(twin, id="X" * 26)
    found = said((*BENCH, other))
    assert "bench, number 2: two entries with this number" in found


def test_an_id_used_twice() -> None:
    other = replace(TABLET[0], id=BENCH[0].id)
    assert (
        f'entry {BENCH[0].id}: another entry with the id of the one by "Ines" at {BENCH[0].at}'
        in (said((BENCH[0], other)))
    )


def test_a_clock_that_was_set_back_is_a_warning() -> None:
    first, second = chain("bench", readings("1", "2"))
    earlier = seal(
        Draft(second.by, second.body),
        id_=second.id,
        device="bench",
        number=2,
        previous=first.hash,
        at="2027-02-28T23:00:00.000Z",
    )
    faults = verify((first, earlier))
    assert [fault.stops for fault in faults] == [False]
    assert faults[0].found.startswith("the time 2027-02-28T23:00:00.000Z, before 2027-03-01")


def test_the_last_hash_of_each_device() -> None:
    assert heads(BENCH + TABLET) == {"bench": BENCH[-1], "tablet": TABLET[-1]}


@settings(max_examples=400)
@given(st.integers(min_value=0), st.integers(0, 7))
def test_every_flipped_bit_is_noticed(at: int, bit: int) -> None:
    data = bytearray(as_bytes(BENCH + TABLET))
    data[at % len(data)] ^= 1 << bit
    entries, faults = read_log(bytes(data))
    assert faults or verify(entries) or entries == BENCH + TABLET
    if entries == BENCH + TABLET and not faults:
        # Then the flip changed no content: white space that JSON ignores, or an escaped letter.
        lines = [json.loads(line) for line in bytes(data).splitlines() if line.strip()]
        assert lines == [json.loads(entry.line) for entry in BENCH + TABLET]

"""Reading a log: good lines beside bad ones, each fault with its line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_makers import as_bytes, chain, readings

from sparkout.faults import Place
from sparkout.job.bodies import Unread
from sparkout.job.canonical import canonical, digest
from sparkout.job.line import at_length, at_sight
from sparkout.job.reader import read_log
from sparkout.job.verify import verify

LOG = chain("bench", readings("100.246", "100.172", "100.110"))


def changed(number: int, /, **fields: object) -> bytes:
    """The log with some fields of one line set otherwise, its hash left as it was."""
    lines = as_bytes(LOG).splitlines(keepends=True)
    found = json.loads(lines[number - 1])
    for name, value in fields.items():
        found[name] = value
        if value is None:
            del found[name]
    lines[number - 1] = json.dumps(found).encode() + b"\n"
    return b"".join(lines)


def test_a_sound_log_comes_back_as_it_was_made() -> None:
    entries, faults = read_log(as_bytes(LOG), "log.jsonl")
    assert entries == LOG
    assert faults == ()
    assert as_bytes(entries) == as_bytes(LOG)
    assert [str(entry.place) for entry in entries] == ["log.jsonl:1", "log.jsonl:2", "log.jsonl:3"]


def test_a_path_is_read_too(tmp_path: Path) -> None:
    path = tmp_path / "log.jsonl"
    path.write_bytes(as_bytes(LOG))
    assert read_log(path) == (LOG, ())
    with pytest.raises(FileNotFoundError):
        read_log(tmp_path / "other.jsonl")


def test_an_editor_that_adds_carriage_returns_and_a_mark_does_no_harm() -> None:
    data = b"\xef\xbb\xbf" + as_bytes(LOG).replace(b"\n", b"\r\n") + b"\r\n"
    entries, faults = read_log(data)
    assert entries == LOG
    assert faults == ()


def test_spaces_and_another_order_of_fields_are_the_same_entry() -> None:
    loose = b"".join(
        json.dumps(dict(reversed(json.loads(line).items())), indent=None).encode() + b"\n"
        for line in as_bytes(LOG).splitlines()
    )
    assert loose != as_bytes(LOG)
    entries, faults = read_log(loose)
    assert entries == LOG
    assert faults == ()
    assert verify(entries) == ()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (b"{", "log.jsonl:2:2: found no JSON"),
        (b"[]", "log.jsonl:2: found a list of 0; expected one JSON object."),
        (b"\xff", "log.jsonl:2: found bytes that are not UTF-8 at byte 1 of the line"),
        (b"[" * 100_000, "log.jsonl:2: found JSON beyond all bounds"),
        (b'{"number":' + b"1" * 5000 + b"}", "log.jsonl:2: found JSON beyond all bounds"),
        (b"17", "log.jsonl:2: found 17 (a number); expected one JSON object."),
        (b'{"form":2,"more":1}', "log.jsonl:2: form: found 2; expected a form up to 1. This log"),
    ],
)
def test_a_line_that_is_no_entry(line: bytes, said: str) -> None:
    first, *rest = as_bytes(LOG).splitlines(keepends=True)
    entries, faults = read_log(first + line + b"\n" + b"".join(rest), "log.jsonl")
    assert entries == LOG
    assert len(faults) == 1
    assert str(faults[0]).startswith(said)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        (
            {"at": "2027-03-01 08:00:00Z"},
            'at: found "2027-03-01 08:00:00Z"; expected a time in UTC',
        ),
        (
            {"at": "2027-02-29T08:00:00Z"},
            'at: found "2027-02-29T08:00:00Z"; expected a time in UTC',
        ),
        ({"at": "2027-03-01T08:00:00+01:00"}, "at: found"),
        ({"number": 0}, "number: found 0 (a number); expected a whole number from 1"),
        ({"number": True}, "number: found true; expected a whole number from 1"),
        ({"number": "1"}, 'number: found "1"; expected a whole number from 1'),
        ({"id": "short"}, 'id: found "short"; expected 26 to 64 letters'),
        ({"device": ""}, 'device: found ""; expected the name of the device'),
        ({"hash": "A" * 64}, "hash: found"),
        ({"previous": "nothing"}, "previous: found"),
        ({"by": " "}, 'by: found " "; expected the person'),
        ({"body": None}, "body: found nothing; expected what the entry says"),
        ({"form": True}, "form: found true; expected 1"),
        ({"form": 1.0}, "form: found 1.0 (a number); expected 1"),
        ({"perviuos": ""}, "perviuos: found an unknown field"),
        ({"kind": 7}, "kind: found 7 (a number); expected one of reading"),
    ],
)
def test_a_bad_envelope_gives_no_entry(fields: dict[str, object], said: str) -> None:
    entries, faults = read_log(changed(2, **fields), "log.jsonl")
    assert entries == (LOG[0], LOG[2])
    assert [str(fault).startswith(f"log.jsonl:2: {said}") for fault in faults] == [True], faults


def test_a_doubled_field_is_refused() -> None:
    first, second, third = as_bytes(LOG).splitlines(keepends=True)
    second = second.replace(b'"typed":', b'"typed":"99.000","typed":')
    entries, faults = read_log(first + second + third, "log.jsonl")
    assert entries == (LOG[0], LOG[2])
    assert str(faults[0]) == "log.jsonl:2: typed: found the field twice; expected once."


def test_a_body_that_cannot_be_read_keeps_its_place_in_the_chain() -> None:
    # A field of some later release, written with a right hash.
    found = json.loads(LOG[1].line)
    del found["hash"]
    found["body"]["humidity"] = "40 %"
    text = canonical(found)
    third = json.loads(LOG[2].line)
    del third["hash"]
    third["previous"] = digest(text)
    lines = [
        LOG[0].line,
        canonical({**found, "hash": digest(text)}),
        canonical({**third, "hash": digest(canonical(third))}),
    ]
    data = "".join(f"{line}\n" for line in lines).encode()
    entries, faults = read_log(data, "log.jsonl")
    assert [entry.body for entry in entries][1] == Unread("reading")
    assert [str(fault.place) for fault in faults] == ["log.jsonl:2: reading.humidity"]
    assert verify(entries) == ()
    assert as_bytes(entries) == data


def test_a_torn_last_line_is_a_warning_and_the_rest_is_read() -> None:
    data = as_bytes(LOG)
    for length in range(1, len(LOG[2].line)):
        entries, faults = read_log(data[: -len(LOG[2].line) - 1 + length], "log.jsonl")
        assert entries == LOG[:2]
        assert [(fault.place.line, fault.stops) for fault in faults] == [(3, False)]
        assert f"a torn last line of {length} bytes" in faults[0].found


def test_a_whole_last_entry_without_its_line_end_counts() -> None:
    entries, faults = read_log(as_bytes(LOG)[:-1], "log.jsonl")
    assert entries == LOG
    assert [fault.found for fault in faults] == ["no line end after the last entry"]
    assert not faults[0].stops


@given(st.binary(max_size=300))
def test_no_bytes_break_the_reader(data: bytes) -> None:
    for log in (data, as_bytes(LOG) + data, data + as_bytes(LOG)):
        entries, faults = read_log(log)
        assert isinstance(entries, tuple)
        assert entries or faults or not log.removeprefix(b"\xef\xbb\xbf").strip()


@given(st.data())
def test_no_damage_breaks_the_reader(data: st.DataObject) -> None:
    log = bytearray(as_bytes(LOG))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(log) - 1))
        log[at : at + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=3))
    entries, faults = read_log(bytes(log))
    verify(entries)
    if bytes(log) != as_bytes(LOG):
        # Nothing that changed what was said goes unseen.
        assert entries == LOG or faults or verify(entries)


LINES = [
    *(entry.line for entry in LOG),
    *(Path(__file__).parents[1] / "old_files" / "log-form-1.jsonl").read_text("utf-8").splitlines(),
]


@settings(max_examples=500)
@given(st.sampled_from(LINES), st.data())
def test_the_quick_way_and_the_long_way_agree(line: str, data: st.DataObject) -> None:
    text = line
    for _ in range(data.draw(st.integers(0, 3))):
        at = data.draw(st.integers(0, len(text)))
        new = data.draw(
            st.sampled_from(['"', ",", " ", "\\u0041", "0", "é", '"by":"', "{}", "}", ""])
        )
        text = text[:at] + new + text[at + data.draw(st.integers(0, 2)) :]
    quick, long = at_sight(text.encode(), Place()), at_length(text.encode(), Place())
    assert quick is None or quick == long
    if text == line:
        assert quick is not None

"""Logs of every form ever written are read for ever. The files here are never changed."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from sparkout.job.bodies import KINDS, Approval, Check, Reading
from sparkout.job.reader import read_log
from sparkout.job.replay import replay
from sparkout.job.verify import heads, verify

FORM_1 = Path(__file__).parents[1] / "old_files" / "log-form-1.jsonl"


def test_form_1_is_read() -> None:
    entries, faults = read_log(FORM_1)
    assert faults == ()
    assert verify(entries) == ()
    assert len(entries) == 16
    assert {entry.kind for entry in entries} == set(KINDS)
    assert "".join(f"{entry.line}\n" for entry in entries).encode() == FORM_1.read_bytes()


def test_form_1_chains_as_the_documents_say() -> None:
    """The chain walked with the standard library alone, by the words of docs/log.md."""
    last: dict[str, tuple[int, str]] = {}
    for line in FORM_1.read_text("utf-8").splitlines():
        entry = json.loads(line)
        hash_ = entry.pop("hash")
        text = json.dumps(entry, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        assert hashlib.sha256(text.encode()).hexdigest() == hash_
        number, before = last.get(entry["device"], (0, ""))
        assert (entry["number"], entry["previous"]) == (number + 1, before)
        last[entry["device"]] = entry["number"], hash_
    entries, _ = read_log(FORM_1)
    assert {name: (one.number, one.hash) for name, one in heads(entries).items()} == last


def test_form_1_replays_to_what_it_said_then() -> None:
    entries, _ = read_log(FORM_1)
    result = replay(entries)
    assert result.faults == ()
    readings = [
        (one.by, one.body.feature, one.body.typed, one.confirmed)
        for one in result.effective
        if isinstance(one.body, Reading)
    ]
    assert readings == [
        ("Ines", "bore 2", "100,246", False),
        ("Ines", "bore 2", "+17.2", False),
        ("Jun", "main journal 3", "74.962", True),
        ("Ines", "head", "0.10 fits, 0.15 does not", False),
        ("Ines", "bore 3", "100.221", False),
    ]
    assert [one.body.typed for one in result.superseded if isinstance(one.body, Reading)] == [
        "10.0221",
        "100.9",
    ]
    (approval,) = (one.body for one in result.effective if isinstance(one.body, Approval))
    assert approval == Approval(
        what="b" * 64,
        by_whom="harbour office",
        how="phone",
        amount="4 310.00",
        currency="EUR",
        declined=("balance the crankshaft",),
    )
    (check,) = (one.body for one in result.effective if isinstance(one.body, Check))
    assert check.note == "“±2 %” wrench — 20 °C"

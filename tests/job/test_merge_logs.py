"""Any order of merging gives the same state; two tablets, resends, restarts, a torn line."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from log_makers import START, as_bytes, chain, clock, drafted, readings

from sparkout.job.append import LogWriter, append
from sparkout.job.aside import set_aside
from sparkout.job.entry import Entry
from sparkout.job.errors import AppendError
from sparkout.job.merge import merge
from sparkout.job.reader import read_log
from sparkout.job.replay import Replay, Standing, replay
from sparkout.job.verify import verify

BENCH = chain("bench", readings("1", "2", "3"))
TABLET = chain("tablet", readings("4", "5"), start=START + timedelta(seconds=30))
PHONE = chain("phone", readings("6"), start=START + timedelta(seconds=90))


def test_any_order_of_merging_gives_the_same() -> None:
    wanted = merge(BENCH, TABLET, PHONE)
    assert len(wanted[0]) == 6
    assert wanted[1] == ()
    for order in itertools.permutations((BENCH, TABLET, PHONE, BENCH + TABLET)):
        assert merge(*order) == wanted
        step: tuple[Entry, ...] = ()
        for log in order:
            step, _ = merge(step, log)
        assert step == wanted[0]


def test_what_claims_one_number_is_kept_and_reported_in_any_order() -> None:
    other = chain("bench", readings("1", "2.5"))[1]
    other = replace(other, id="X" * 26)
    one, faults = merge(BENCH, [other])
    two, _ = merge([other], BENCH)
    assert one == two
    assert len(one) == 4
    assert any("two entries with this number" in fault.found for fault in faults)
    assert replay(one) == replay(reversed(two))


def test_one_id_for_two_contents_is_reported_and_the_first_in_time_counts() -> None:
    clash = replace(TABLET[0], id=BENCH[2].id)
    for entries, faults in (merge(BENCH, [clash]), merge([clash], BENCH)):
        assert [entry.body.typed for entry in entries] == ["1", "4", "2", "3"]  # type: ignore[union-attr]
        assert any("another entry with the id" in fault.found for fault in faults)
        result = replay(entries)
        assert [one.body.typed for one in result.effective] == ["1", "4", "2"]  # type: ignore[union-attr]
        assert len(result.faults) == 1


def test_a_damaged_line_is_healed_by_the_other_log() -> None:
    for what in (b'"typed":"2"', BENCH[1].hash.encode(), BENCH[1].id.encode()):
        data = as_bytes(BENCH)
        at = data.index(what, data.index(b"\n")) + len(what) - 2
        damaged = bytearray(data)
        damaged[at] ^= 1
        entries, faults = read_log(bytes(damaged), "log.jsonl")
        assert faults == ()
        assert verify(entries) != ()
        for merged, said in (merge(entries, BENCH), merge(BENCH, entries)):
            assert merged == BENCH
            assert [(fault.place.line, fault.stops) for fault in said] == [(2, False)]


class TwoTablets(RuleBasedStateMachine):
    """Two devices write one job apart, lose the network, resend, crash and merge.

    The model is a dictionary of what each entry should say now. After every step each device's
    own log is sound, and all logs merged in any order replay to the model.
    """

    @initialize()
    def start(self) -> None:
        self._folder = TemporaryDirectory()
        self.logs = {name: Path(self._folder.name) / f"{name}.jsonl" for name in ("left", "right")}
        self.clocks = {
            "left": clock(START, 60),
            "right": clock(START + timedelta(seconds=17), 45),
        }
        self.count = 0
        self.sent: list[tuple[str, str, object, Entry]] = []
        self.live: dict[str, str] = {}  # id of a reading: what it should say
        self.gone: set[str] = set()

    def teardown(self) -> None:
        if hasattr(self, "_folder"):
            self._folder.cleanup()

    def _enter(self, device: str, kind: str, **body: object) -> Entry:
        self.count += 1
        id_ = f"{self.count:026d}"
        made = drafted(kind, **body)
        entry = append(self.logs[device], made, self.clocks[device], device, lambda: id_)
        self.sent.append((device, id_, made, entry))
        return entry

    @rule(device=st.sampled_from(["left", "right"]), typed=st.integers(0, 999))
    def read(self, device: str, typed: int) -> None:
        entry = self._enter(
            device,
            "reading",
            feature=f"bore {typed % 6 + 1}",
            characteristic="bore diameter",
            typed=str(typed),
        )
        self.live[entry.id] = str(typed)

    @precondition(lambda self: self.live)
    @rule(device=st.sampled_from(["left", "right"]), data=st.data(), typed=st.integers(0, 999))
    def replace_value(self, device: str, data: st.DataObject, typed: int) -> None:
        of = data.draw(st.sampled_from(sorted(self.live)))
        self._enter(
            device, "correction", of=of, action="replace", reason="r", body={"typed": str(typed)}
        )
        # Corrections of one entry count by time, not by when they were made.
        self.live[of] = self._expected(of)

    @precondition(lambda self: self.live)
    @rule(device=st.sampled_from(["left", "right"]), data=st.data())
    def withdraw(self, device: str, data: st.DataObject) -> None:
        of = data.draw(st.sampled_from(sorted(self.live)))
        self._enter(device, "correction", of=of, action="withdraw", reason="r")
        del self.live[of]
        self.gone.add(of)

    def _expected(self, of: str) -> str:
        """The value an entry should have: the replacement with the latest time, all told."""
        value, latest = "", ("", "", 0)
        for _, _, made, entry in self.sent:
            stamp = (entry.at[:-1], entry.device, entry.number)
            body = made.body  # type: ignore[attr-defined]
            if entry.id == of and not latest[0]:
                value = body.typed
            elif getattr(body, "of", "") == of and body.action == "replace" and stamp > latest:
                value, latest = dict(body.body)["typed"], stamp
        return value

    @precondition(lambda self: self.sent)
    @rule(data=st.data())
    def resend(self, data: st.DataObject) -> None:
        device, id_, made, entry = data.draw(st.sampled_from(self.sent))
        before = self.logs[device].read_bytes()
        again = append(self.logs[device], made, self.clocks[device], device, lambda: id_)  # type: ignore[arg-type]
        assert again == entry
        assert self.logs[device].read_bytes() == before

    @precondition(lambda self: self.sent)
    @rule(data=st.data(), more=st.integers(1, 200))
    def crash(self, data: st.DataObject, more: int) -> None:
        device, id_, made, _ = data.draw(st.sampled_from(self.sent))
        log = self.logs[device]
        whole = log.read_bytes()
        torn = whole.splitlines()[-1][:more]
        log.write_bytes(whole + torn)
        assert [fault.stops for fault in read_log(log)[1]] == [False]
        with pytest.raises(AppendError) as caught:
            append(log, made, self.clocks[device], device, lambda: id_)  # type: ignore[arg-type]
        assert caught.value.why == "torn"
        beside, _ = set_aside(log)
        assert beside is not None
        assert beside.read_bytes() == torn
        assert log.read_bytes() == whole

    @rule(device=st.sampled_from(["left", "right"]))
    def synchronise(self, device: str) -> None:
        """One device takes over what the other has; its own chain goes on after it."""
        other = "right" if device == "left" else "left"
        if not self.logs[other].exists():
            return
        theirs, _ = read_log(self.logs[other])
        with LogWriter(self.logs[device]) as log:
            log.absorb(theirs)

    @invariant()
    def every_log_is_sound_and_all_agree(self) -> None:
        if not hasattr(self, "logs"):
            return
        logs = []
        for path in self.logs.values():
            if path.exists():
                entries, faults = read_log(path)
                assert faults == ()
                logs.append(entries)
        states = set()
        for order in itertools.permutations(logs):
            merged, faults = merge(*order)
            assert faults == ()
            result = replay(merged)
            states.add(str(result))
            assert _said(result) == self.live
            assert replay(reversed(merged)) == result
            assert self.gone <= {one.id for one in result.superseded}
            # Replay is live: adding entries one at a time ends at the same state.
            assert replay([*merged[1:], *merged[:1]]).effective == result.effective
        assert len(states) <= 1  # to the last word of every fault
        written = {entry.id for log in logs for entry in log}
        assert {id_ for _, id_, _, _ in self.sent} == written


def _said(result: Replay) -> dict[str, str]:
    def typed(one: Standing) -> str:
        return one.body.typed  # type: ignore[union-attr]

    return {one.id: typed(one) for one in result.effective}


TwoTablets.TestCase.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)
TestTwoTablets = TwoTablets.TestCase

"""The writer: whole lines only, on the disk before they are acknowledged, one writer at a time."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import threading
import warnings
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from log_makers import START, as_bytes, chain, clock, drafted, ids, readings

from sparkout.job import disk
from sparkout.job.append import LogWriter, append
from sparkout.job.aside import set_aside
from sparkout.job.entry import seal, timestamp
from sparkout.job.errors import AppendError
from sparkout.job.lock import BusyError, locked
from sparkout.job.reader import read_log
from sparkout.job.verify import verify

READING = drafted()


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "log.jsonl"


def refused(path: Path, **how: object) -> AppendError:
    """The error of an append that must fail."""
    with pytest.raises(AppendError) as caught:
        append(path, READING, clock(), "bench", ids("NEW"), **how)  # type: ignore[arg-type]
    return caught.value


def test_entries_are_numbered_and_chained_for_each_device(log: Path) -> None:
    tick, next_id = clock(), ids()
    made = [
        append(log, READING, tick, device, next_id)
        for device in ("bench", "tablet", "bench", "bench", "tablet")
    ]
    assert [(one.device, one.number) for one in made] == [
        ("bench", 1),
        ("tablet", 1),
        ("bench", 2),
        ("bench", 3),
        ("tablet", 2),
    ]
    assert made[0].previous == made[1].previous == ""
    assert made[3].previous == made[2].hash
    assert made[4].previous == made[1].hash
    assert read_log(log) == (tuple(made), ())
    assert verify(made) == ()


def test_the_log_is_what_the_pure_functions_make(log: Path) -> None:
    tick, next_id = clock(), ids("BENCH")
    for made in readings("1", "2", "3"):
        append(log, made, tick, "bench", next_id)
    assert log.read_bytes() == as_bytes(chain("bench", readings("1", "2", "3")))


def test_an_open_writer_sees_what_others_write(log: Path) -> None:
    tick, next_id = clock(), ids()
    with LogWriter(log) as one, LogWriter(log) as other:
        made = [writer.append(READING, tick, "bench", next_id) for writer in (one, other) * 3]
    assert [entry.number for entry in made] == [1, 2, 3, 4, 5, 6]
    assert verify(made) == ()
    assert read_log(log) == (tuple(made), ())


def test_a_resend_is_harmless(log: Path) -> None:
    first = append(log, READING, clock(), "bench", lambda: "A" * 26)
    append(log, READING, clock(), "bench", ids())
    before = log.read_bytes()
    again = append(log, READING, clock(START + timedelta(hours=1)), "bench", lambda: "A" * 26)
    assert again == first
    assert log.read_bytes() == before


@pytest.mark.parametrize(
    ("draft", "device"),
    [
        (drafted(feature="bore 2", characteristic="bore diameter", typed="100.247"), "bench"),
        (drafted(by="Otto"), "bench"),
        (READING, "tablet"),
        (drafted("choice", what="bores", option="+0.50"), "bench"),
    ],
)
def test_an_id_with_other_content_is_refused(log: Path, draft: object, device: str) -> None:
    append(log, READING, clock(), "bench", lambda: "A" * 26)
    before = log.read_bytes()
    with pytest.raises(AppendError) as caught:
        append(log, draft, clock(), device, lambda: "A" * 26)  # type: ignore[arg-type]
    assert caught.value.why == "id"
    assert 'an id that "Ines" used at 2027-03-01T08:00:00.000Z' in str(caught.value)
    assert log.read_bytes() == before


def test_ids_devices_and_clocks_of_a_caller_must_be_right(log: Path) -> None:
    for device, id_ in (("bench", "short"), ("", "A" * 26), ('a "b"', "A" * 26), ("a ", "A" * 26)):
        with pytest.raises(ValueError, match="got"):
            append(log, READING, clock(), device, lambda id_=id_: id_)
    with pytest.raises(ValueError, match="without a zone"):
        append(log, READING, lambda: datetime(2027, 3, 1), "bench", ids())
    assert read_log(log) == ((), ())


def test_times_are_written_in_utc() -> None:
    # RFC 3339, 5.8: 1990-12-31T15:59:00-08:00 is 1990-12-31T23:59:00Z (there with second 60,
    # which this clock has not); recalled from memory.
    moment = datetime(1990, 12, 31, 15, 59, tzinfo=timezone(timedelta(hours=-8)))
    assert timestamp(moment) == "1990-12-31T23:59:00.000Z"
    # RFC 3339, 5.8: 1985-04-12T23:20:50.52Z.
    assert timestamp(datetime(1985, 4, 12, 23, 20, 50, 520000, UTC)) == "1985-04-12T23:20:50.520Z"


def test_an_entry_is_on_the_disk_before_it_is_acknowledged(
    log: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order: list[str] = []
    write, fsync = os.write, os.fsync

    def seen_write(fd: int, data: bytes) -> int:
        order.append("write")
        return write(fd, data)

    def seen_fsync(fd: int) -> None:
        folder = os.path.samestat(os.fstat(fd), os.stat(log.parent))
        order.append("flush folder" if folder else "flush log")
        fsync(fd)

    monkeypatch.setattr(os, "write", seen_write)
    monkeypatch.setattr(os, "fsync", seen_fsync)
    append(log, READING, clock(), "bench", ids())
    order.append("acknowledged")
    append(log, READING, clock(), "bench", ids("B"))
    order.append("acknowledged")
    assert order == [
        "flush folder",
        "write",
        "flush log",
        "acknowledged",
        "write",
        "flush log",
        "acknowledged",
    ]


def test_writes_that_come_in_pieces_make_one_line(
    log: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = os.write
    monkeypatch.setattr(os, "write", lambda fd, data: write(fd, data[:7]))
    entry = append(log, READING, clock(), "bench", ids())
    monkeypatch.undo()
    assert read_log(log) == ((entry,), ())


@pytest.mark.parametrize("where", ["write", "half", "fsync"])
def test_a_disk_that_fails_leaves_the_log_as_it_was(
    log: Path, monkeypatch: pytest.MonkeyPatch, where: str
) -> None:
    append(log, READING, clock(), "bench", ids())
    before = log.read_bytes()
    write = os.write
    calls = iter(range(100))

    def fails(*_: object) -> int:
        raise OSError(28, "No space left on device")

    def half(fd: int, data: bytes) -> int:
        return write(fd, data[:20]) if next(calls) == 0 else fails()

    if where == "fsync":
        monkeypatch.setattr(os, "fsync", fails)
    else:
        monkeypatch.setattr(os, "write", half if where == "half" else fails)
    error = refused(log)
    monkeypatch.undo()
    assert error.why == "disk"
    assert str(error) == (
        f"{log}: found No space left on device; expected a log that can be written. "
        "Nothing was entered. Make room or give the right to write, then enter it again."
    )
    assert log.read_bytes() == before
    assert append(log, READING, clock(), "bench", ids("B")).number == 2


def test_the_disk_is_full(log: Path) -> None:
    """The system itself refuses to let the file grow, in the middle of a line."""
    tick, next_id = clock(), ids()
    first = append(log, READING, tick, "bench", next_id)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    made = [first]
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(len(first.line) * 3.5), hard))
    try:
        made += [append(log, READING, tick, "bench", next_id) for _ in range(2)]
        with pytest.raises(AppendError, match="Make room") as caught:
            append(log, READING, tick, "bench", next_id)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert caught.value.why == "disk"
    assert read_log(log) == (tuple(made), ())
    made.append(append(log, READING, tick, "bench", next_id))
    assert read_log(log) == (tuple(made), ())
    assert verify(made) == ()


def test_no_right_to_write() -> None:
    """Asked as an ordinary user, since nothing is refused to the administrator."""
    with TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        log = Path(folder) / "log.jsonl"
        append(log, READING, clock(), "bench", ids())
        os.chmod(log, 0o444)
        before = log.read_bytes()
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # of forking beside threads
            child = os.fork()
        if child == 0:
            status = 9
            try:
                if os.getuid() == 0:
                    os.setgroups([])
                    os.setgid(65534)
                    os.setuid(65534)
                append(log, READING, clock(), "bench", ids("B"))
            except AppendError as error:
                status = 0 if error.why == "disk" and "Permission denied" in str(error) else 1
            finally:
                os._exit(status)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
        assert log.read_bytes() == before


def test_a_folder_in_the_place_of_the_log(tmp_path: Path) -> None:
    assert refused(tmp_path).why == "disk"
    assert refused(tmp_path / "nowhere" / "log.jsonl").why == "disk"


def test_a_torn_tail_is_in_the_way_until_it_is_set_aside(log: Path) -> None:
    whole = as_bytes(chain("bench", readings("1", "2")))
    for number, length in enumerate((1, 100, len(whole) // 2 - 1), start=1):
        torn = whole.splitlines()[1][: length - 1]
        log.write_bytes(whole + torn)
        if not torn:
            assert set_aside(log) == (None, ())
            torn = b"{"
            log.write_bytes(whole + torn)
        error = refused(log)
        assert error.why == "torn"
        assert f"{log}:3: found a torn last line of {len(torn)} bytes" in str(error)
        beside, faults = set_aside(log)
        assert beside == log.with_name(f"log.jsonl.torn-{number}")
        assert beside.read_bytes() == torn
        assert [str(fault.place) for fault in faults] == [f"{log}:3"]
        assert f"moved to log.jsonl.torn-{number}" in faults[0].remedy
        assert log.read_bytes() == whole
    assert append(log, READING, clock(), "bench", ids("N")).number == 3


def test_a_whole_tail_only_gets_its_line_end(log: Path) -> None:
    whole = as_bytes(chain("bench", readings("1", "2")))
    log.write_bytes(whole[:-1])
    assert refused(log).why == "torn"
    beside, faults = set_aside(log)
    assert beside is None
    assert [fault.remedy for fault in faults] == ["It was added."]
    assert log.read_bytes() == whole


def test_a_torn_tail_that_cannot_be_kept_stays_where_it_is(
    log: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log.write_bytes(b'{"at"')

    def fails(fd: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(AppendError, match="Input/output error"):
        set_aside(log)
    monkeypatch.undo()
    assert log.read_bytes() == b'{"at"'
    assert os.listdir(log.parent) == ["log.jsonl"]


def test_a_damaged_line_further_up_does_not_stop_the_work(log: Path) -> None:
    entries = chain("bench", readings("1", "2", "3"))
    lines = as_bytes(entries).splitlines(keepends=True)
    log.write_bytes(lines[0] + b"#" + lines[1] + lines[2])
    made = append(log, READING, clock(), "bench", ids("N"))
    assert (made.number, made.previous) == (4, entries[2].hash)
    read, faults = read_log(log)
    assert len(read) == 3
    assert [fault.place.line for fault in faults] == [2]


def test_entries_of_a_log_written_elsewhere_with_spaces_are_found(log: Path) -> None:
    (entry,) = chain("bench", readings("1"))
    log.write_text(entry.line.replace('":', '": ') + "\n")
    assert append(log, READING, clock(), "bench", ids("N")).previous == entry.hash
    assert append(log, readings("1")[0], clock(), "bench", lambda: entry.id) == entry


def test_a_restored_copy_becomes_the_log(log: Path) -> None:
    tick, next_id = clock(), ids()
    with LogWriter(log) as writer:
        for _ in range(3):
            writer.append(READING, tick, "bench", next_id)
        copy = log.with_name("copy")
        copy.write_bytes(log.read_bytes())
        os.replace(copy, log)
        assert writer.append(READING, tick, "bench", next_id).number == 4
    entries, faults = read_log(log)
    assert faults == verify(entries) == ()
    assert len(entries) == 4


def test_another_log_is_taken_over_once(log: Path) -> None:
    bench = chain("bench", readings("1", "2"))
    log.write_bytes(as_bytes(bench))
    tablet = chain("tablet", readings("3", "4"))
    with LogWriter(log) as writer:
        assert writer.absorb(tablet) == 2
        assert writer.absorb(tablet + bench + tablet) == 0
        made = writer.append(READING, clock(START + timedelta(hours=1)), "tablet", ids("N"))
    assert (made.number, made.previous) == (3, tablet[1].hash)
    entries, faults = read_log(log)
    assert entries == (*bench, *tablet, made)
    assert faults == verify(entries) == ()


def test_nothing_is_taken_over_from_a_log_that_contradicts(log: Path) -> None:
    bench = chain("bench", readings("1", "2"))
    log.write_bytes(as_bytes(bench))
    other = chain("bench", readings("1", "2.5"))
    tablet = chain("tablet", readings("3"))
    damaged = read_log(as_bytes(tablet).replace(b'"3"', b'"8"'))[0]
    for coming, why in (((*tablet, other[1]), "id"), (damaged, "damaged")):
        with LogWriter(log) as writer, pytest.raises(AppendError) as caught:
            writer.absorb(coming)
        assert caught.value.why == why
        assert log.read_bytes() == as_bytes(bench)


WRITER = """
import secrets, sys
from datetime import UTC, datetime
from sparkout.job.append import append
from sparkout.job.entry import draft
from sparkout.job.ids import ulid_source
path, device, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
clock = lambda: datetime.now(UTC)
fields = {"feature": "bore 1", "characteristic": "bore diameter", "typed": "100"}
made, _ = draft("reading", "Ines", fields)
for _ in range(count):
    append(path, made, clock, device, ulid_source(clock, secrets.token_bytes))
"""


def test_two_processes_append_at_once(log: Path) -> None:
    """Both to one chain and each to its own: no line lost, no number given twice."""
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(log), device, "60"])
        for device in ("shared", "shared", "own")
    ]
    assert [writer.wait(60) for writer in writers] == [0, 0, 0]
    entries, faults = read_log(log)
    assert faults == ()
    assert [fault for fault in verify(entries) if fault.stops] == []
    assert sorted((one.device, one.number) for one in entries) == sorted(
        [("shared", n) for n in range(1, 121)] + [("own", n) for n in range(1, 61)]
    )


def test_threads_share_a_writer(log: Path) -> None:
    next_ids = [ids(prefix) for prefix in ("A", "B", "C")]
    tick = clock()
    with LogWriter(log) as writer:

        def work(next_id: object) -> None:
            for _ in range(30):
                writer.append(READING, tick, "bench", next_id)  # type: ignore[arg-type]

        threads = [threading.Thread(target=work, args=[next_id]) for next_id in next_ids]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    entries, faults = read_log(log)
    assert faults == ()
    assert sorted(one.number for one in entries) == list(range(1, 91))
    assert [fault for fault in verify(entries) if fault.stops] == []


@pytest.mark.parametrize("by_file", [False, True])
def test_a_busy_log_is_said_after_some_patience(log: Path, by_file: bool) -> None:
    log.touch()
    with log.open("r+b") as one, log.open("r+b") as other:
        with (
            locked(one.fileno(), log, 1, by_file=by_file),
            pytest.raises(BusyError, match=r"has been writing for 0.05 s"),
            locked(other.fileno(), log, 0.05, by_file=by_file),
        ):
            pass
        with locked(other.fileno(), log, 0.05, by_file=by_file):
            pass
    assert os.listdir(log.parent) == ["log.jsonl"]


def test_the_appender_says_that_another_is_writing(log: Path) -> None:
    append(log, READING, clock(), "bench", ids())
    with log.open("r+b") as other, locked(other.fileno(), log, 1):
        error = refused(log, patience=0.02)
    assert error.why == "busy"
    assert "another writer" in str(error)


def test_a_reader_waits_for_the_end_of_a_line(log: Path) -> None:
    """What looks torn because somebody is in the middle of writing is read again after it."""
    whole = as_bytes(chain("bench", readings("1", "2")))
    log.write_bytes(whole[:-50])
    inside, done = threading.Event(), threading.Event()

    def writes() -> None:
        with log.open("r+b") as out, locked(out.fileno(), log, 1):
            inside.set()
            done.wait(0.2)
            out.write(whole)
            out.flush()

    writer = threading.Thread(target=writes)
    writer.start()
    inside.wait()
    entries, faults = read_log(log)
    writer.join()
    assert len(entries) == 2
    assert faults == ()


def test_a_file_that_shrinks_while_it_is_read_is_an_error(log: Path) -> None:
    log.write_bytes(b"123")
    with log.open("rb") as file, pytest.raises(OSError, match="ended 2 bytes early"):
        disk.read_span(file.fileno(), 0, 5)


def test_a_sealed_entry_has_the_place_it_was_given() -> None:
    entry = seal(READING, id_="A" * 26, device="bench", number=7, previous="f" * 64, at="x")
    assert (entry.number, entry.previous, entry.at, entry.form) == (7, "f" * 64, "x", 1)

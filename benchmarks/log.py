"""The job log against general-purpose peers, as ratios in one run.

1. One entry appended and on the disk, against one row inserted and committed by `sqlite3` with
   `synchronous=FULL` (rollback journal, its default, and write-ahead log), on the same disk.
2. Reading, verifying and replaying 100,000 entries, against `json.loads` of their lines alone.
3. How many entries are lost when the writer is killed, over many rounds.

Run: python -m benchmarks.log [rounds of killing]
"""

from __future__ import annotations

import json
import os
import random
import select
import signal
import sqlite3
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from sparkout.job.append import LogWriter, append
from sparkout.job.aside import set_aside
from sparkout.job.entry import Draft, draft, seal, timestamp
from sparkout.job.reader import read_log
from sparkout.job.replay import replay
from sparkout.job.verify import verify

APPENDS = 400
ENTRIES = 100_000
START = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)


def reading(at: int) -> Draft:
    """A reading as long as real ones are."""
    body = {
        "feature": f"bore {at % 6 + 1}",
        "characteristic": "bore diameter",
        "level": ("top", "middle", "bottom")[at % 3],
        "direction": ("thrust", "axial")[at % 2],
        "typed": f"100.{at % 1000:03d}",
        "unit": "mm",
        "gauge": "G7",
        "phase": "found",
    }
    made, faults = draft("reading", "Ines", body)
    assert made is not None, faults
    return made


def median_seconds(act: Callable[[int], object], times: int) -> float:
    """The median duration of one act."""
    spent = []
    for at in range(times):
        begin = time.perf_counter()
        act(at)
        spent.append(time.perf_counter() - begin)
    return statistics.median(spent)


def appends(folder: Path) -> list[tuple[str, float]]:
    """The median time of one durable write, by way of writing."""
    numbers = count()
    drafts = [reading(at) for at in range(APPENDS)]
    rows: list[tuple[str, float]] = []

    def clock() -> datetime:
        return START + timedelta(seconds=next(numbers))

    def next_id() -> str:
        return f"{next(numbers):026d}"

    for mode in ("DELETE", "WAL"):
        database = sqlite3.connect(folder / f"{mode}.db", isolation_level=None)
        database.execute(f"PRAGMA journal_mode={mode}")
        database.execute("PRAGMA synchronous=FULL")
        database.execute(
            "CREATE TABLE log (id TEXT PRIMARY KEY, device TEXT, number INTEGER, body TEXT)"
        )
        text = json.dumps({"feature": "bore 1", "typed": "100.246", "note": "x" * 300})

        def insert(at: int, database: sqlite3.Connection = database, text: str = text) -> None:
            row = (f"{at:026d}", "bench", at, text)
            database.execute("INSERT INTO log VALUES (?, ?, ?, ?)", row)

        rows.append((f"sqlite3 INSERT, synchronous=FULL, {mode}", median_seconds(insert, APPENDS)))
        database.close()
    with LogWriter(folder / "kept.jsonl") as writer:
        rows.append(
            (
                "log kept open",
                median_seconds(
                    lambda at: writer.append(drafts[at], clock, "bench", next_id), APPENDS
                ),
            )
        )
    once = folder / "once.jsonl"
    rows.append(
        (
            f"log opened for each entry (0 to {APPENDS} entries in it)",
            median_seconds(lambda at: append(once, drafts[at], clock, "bench", next_id), APPENDS),
        )
    )
    return rows


def big_log() -> bytes:
    """A log of two devices."""
    heads: dict[str, tuple[int, str]] = {"bench": (0, ""), "tablet": (0, "")}
    lines = []
    for at in range(ENTRIES):
        device = ("bench", "tablet")[at % 2]
        number, previous = heads[device]
        entry = seal(
            reading(at),
            id_=f"{at:026d}",
            device=device,
            number=number + 1,
            previous=previous,
            at=timestamp(START + timedelta(seconds=at)),
        )
        heads[device] = number + 1, entry.hash
        lines.append(entry.line)
    return ("\n".join(lines) + "\n").encode()


def reads() -> list[tuple[str, float]]:
    """Seconds for the whole log, best of three, alternating."""
    data = big_log()
    best = {"json.loads of every line": 9e9, "read": 9e9, "verify": 9e9, "replay": 9e9}
    for _ in range(3):
        begin = time.perf_counter()
        for line in data.split(b"\n"):
            if line:
                json.loads(line)
        parsed = time.perf_counter()
        entries, faults = read_log(data)
        read = time.perf_counter()
        broken = verify(entries)
        verified = time.perf_counter()
        state = replay(entries)
        replayed = time.perf_counter()
        assert not faults
        assert not broken
        assert len(state.effective) == ENTRIES
        for name, spent in (
            ("json.loads of every line", parsed - begin),
            ("read", read - parsed),
            ("verify", verified - read),
            ("replay", replayed - verified),
        ):
            best[name] = min(best[name], spent)
    return list(best.items())


WRITER = """
import secrets, sys, os
from datetime import UTC, datetime
from sparkout.job.append import LogWriter
from sparkout.job.entry import draft
from sparkout.job.ids import ulid_source
clock = lambda: datetime.now(UTC)
fields = {"feature": "bore 1", "characteristic": "bore diameter", "typed": "100"}
made, _ = draft("reading", "Ines", fields)
source = ulid_source(clock, secrets.token_bytes)
with LogWriter(sys.argv[1]) as log:
    while True:
        entry = log.append(made, clock, "bench", source)
        os.write(1, entry.id.encode() + b"\\n")
"""


def kills(folder: Path, rounds: int) -> str:
    """Two writers at once on one log, killed at random moments."""
    log = folder / "killed.jsonl"
    rng = random.Random(1)
    acknowledged: set[str] = set()
    torn = 0
    for _ in range(rounds):
        writers = [
            subprocess.Popen([sys.executable, "-c", WRITER, str(log)], stdout=subprocess.PIPE)
            for _ in range(2)
        ]
        for writer in writers:
            assert writer.stdout is not None
            select.select([writer.stdout], [], [], 30)
        time.sleep(rng.uniform(0, 0.1))
        for writer in writers:
            os.kill(writer.pid, signal.SIGKILL)
        for writer in writers:
            assert writer.stdout is not None
            acknowledged |= set(writer.stdout.read().decode().split("\n")[:-1])
            writer.wait()
            writer.stdout.close()
        torn += set_aside(log)[0] is not None
    entries, faults = read_log(log)
    broken = [fault for fault in (*faults, *verify(entries)) if fault.stops]
    lost = len(acknowledged - {entry.id for entry in entries})
    return (
        f"{rounds} rounds of kill -9 on two writers: {len(acknowledged)} acknowledged, "
        f"{lost} lost, {torn} torn lines set aside, {len(broken)} faults in the chain"
    )


def main(rounds: int = 20) -> None:
    with TemporaryDirectory(dir=Path.cwd()) as folder:
        rows = appends(Path(folder))
        peer = rows[0][1]
        print(f"{'one entry on the disk (median)':58} {'ms':>8} {'ratio':>7}")
        for name, spent in rows:
            print(f"{name:58} {spent * 1000:8.3f} {spent / peer:7.2f}")
        print()
        print(f"{f'{ENTRIES} entries (best of three)':58} {'s':>8} {'ratio':>7}")
        read_rows = reads()
        peer = read_rows[0][1]
        for name, spent in read_rows:
            print(f"{name:58} {spent:8.3f} {spent / peer:7.2f}")
        whole = sum(spent for _, spent in read_rows[1:])
        print(f"{'read, verify and replay':58} {whole:8.3f} {whole / peer:7.2f}")
        print()
        print(kills(Path(folder), rounds))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))

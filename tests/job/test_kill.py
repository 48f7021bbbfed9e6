"""Killed at any moment while it writes, the log keeps everything that was acknowledged."""

from __future__ import annotations

import os
import random
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

from sparkout.job.aside import set_aside
from sparkout.job.reader import read_log
from sparkout.job.verify import verify

ROUNDS = 20

# Writes for ever, the id of an entry to standard output only after the log has returned it. Every
# other one is written in two pieces with a pause, as a slow disk would, so that kills meet it.
WRITER = """
import os, secrets, sys, time
from datetime import UTC, datetime
from sparkout.job.append import LogWriter
from sparkout.job.entry import draft
from sparkout.job.ids import ulid_source
write, turn = os.write, 0
def in_pieces(fd, data):
    global turn
    turn += 1
    if turn % 4 == 1:
        return write(fd, data[: len(data) // 2])
    if turn % 4 == 2:
        time.sleep(0.002)
    return write(fd, data)
clock = lambda: datetime.now(UTC)
fields = {"feature": "bore 1", "characteristic": "bore diameter", "typed": "100"}
made, _ = draft("reading", "Ines", fields)
source = ulid_source(clock, secrets.token_bytes)
with LogWriter(sys.argv[1]) as log:
    os.write = in_pieces
    while True:
        entry = log.append(made, clock, "bench", source)
        write(1, entry.id.encode() + b"\\n")
"""


def killed(log: Path, after: float) -> list[str]:
    """The ids a writer acknowledged before it was killed."""
    writer = subprocess.Popen([sys.executable, "-c", WRITER, str(log)], stdout=subprocess.PIPE)
    assert writer.stdout is not None
    select.select([writer.stdout], [], [], 30)  # it has begun
    time.sleep(after)
    os.kill(writer.pid, signal.SIGKILL)
    said = writer.stdout.read().decode()
    writer.wait()
    writer.stdout.close()
    return [line for line in said.split("\n")[:-1] if line]


def test_kill_9_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    log = tmp_path / "log.jsonl"
    rng = random.Random(20270301)
    acknowledged: list[str] = []
    torn = 0
    for _ in range(ROUNDS):
        acknowledged += killed(log, rng.uniform(0, 0.05))
        before = log.read_bytes()
        entries, faults = read_log(log)
        assert not [fault for fault in faults if fault.stops]
        beside, _ = set_aside(log)
        if beside is not None:
            torn += 1
            assert before == log.read_bytes() + beside.read_bytes()
        entries, faults = read_log(log)
        assert faults == ()
        assert not [fault for fault in verify(entries) if fault.stops]
        assert set(acknowledged) <= {entry.id for entry in entries}
    assert len(acknowledged) >= ROUNDS
    assert torn >= 1  # the kills did meet a write

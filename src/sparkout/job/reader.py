"""Reading a log: every whole line to an entry, everything else to a fault. Nothing is changed."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from sparkout.faults import Fault, Place
from sparkout.job.border import shown
from sparkout.job.canonical import digest
from sparkout.job.entry import Entry
from sparkout.job.line import entry_of_line
from sparkout.job.lock import BusyError, locked

__all__ = ["is_whole", "read_log", "settled", "torn"]

_TORN = (
    "The rest of the log is sound. The next write will ask you to set the torn line aside first."
)


def read_log(
    source: str | os.PathLike[str] | bytes, file: str = ""
) -> tuple[tuple[Entry, ...], tuple[Fault, ...]]:
    """All entries of a log that can be read, in the order they stand, and every fault.

    source: the path of the log, or its bytes (then `file` is the name for the faults). A last
    line without its line end counts if it is whole and its hash is right; else it is torn, is
    reported and left where it is (`set_aside` moves it).
    Raises OSError where the file cannot be opened at all.
    """
    if isinstance(source, bytes):
        data = source
    else:
        path = Path(source)
        data, file = settled(path), file or path.name
    lines = data.removeprefix(b"\xef\xbb\xbf").split(b"\n")
    tail = lines.pop()
    entries: list[Entry] = []
    faults: list[Fault] = []
    for at, line in enumerate(lines, start=1):
        if line.strip():
            entry, wrong = entry_of_line(line, Place(file, at))
            if entry is not None:
                entries.append(entry)
            if wrong:
                faults.extend(wrong)
    if tail.strip():
        here = Place(file, len(lines) + 1)
        if is_whole(tail):
            entry, wrong = entry_of_line(tail, here)
            faults.extend(wrong)
            if entry is not None:
                entries.append(entry)
            faults.append(
                Fault(here, "no line end after the last entry", "a line end", stops=False)
            )
        else:
            faults.append(torn(here, tail))
    return tuple(entries), tuple(faults)


def settled(path: Path) -> bytes:
    """The bytes of the log; where the end looks torn, once more when nobody is writing."""
    with path.open("rb") as log:
        data = log.read()
        if data and not data.endswith(b"\n"):
            with contextlib.suppress(BusyError, OSError), locked(log.fileno(), path, 2.0):
                log.seek(0)
                data = log.read()
    return data


def torn(here: Place, tail: bytes) -> Fault:
    """The fault of a last line that a crash or a full disk cut short."""
    start = tail[:40].decode("utf-8", "backslashreplace")
    return Fault(
        here,
        f"a torn last line of {len(tail)} bytes ({shown(start)} …)",
        "a whole entry and a line end",
        _TORN,
        stops=False,
    )


def is_whole(line: bytes) -> bool:
    """True for a whole entry whose hash is right."""
    entry, _ = entry_of_line(line, Place())
    return entry is not None and digest(entry.text) == entry.hash

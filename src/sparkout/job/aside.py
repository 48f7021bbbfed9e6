"""A torn last line, moved out of the way of the log and kept."""

from __future__ import annotations

import os
from pathlib import Path

from sparkout.faults import Fault, Place
from sparkout.job.append import PATIENCE
from sparkout.job.disk import FLAGS, read_span, write_new
from sparkout.job.errors import refused_by_the_system
from sparkout.job.lock import locked
from sparkout.job.reader import is_whole, torn

__all__ = ["set_aside"]


def set_aside(
    path: str | os.PathLike[str], *, patience: float = PATIENCE
) -> tuple[Path | None, tuple[Fault, ...]]:
    """Move a torn last line to `<log>.torn-<n>` beside the log; the new file, and what was done.

    A whole last entry that lacks only its line end gets the line end instead. Nothing to do gives
    (None, ()). Raises AppendError where the disk refuses, FileNotFoundError where no log is.
    """
    log = Path(path)
    fd = os.open(log, FLAGS)
    try:
        with refused_by_the_system(log), locked(fd, log, patience):
            size = os.fstat(fd).st_size
            data = read_span(fd, 0, size)
            whole = data.rfind(b"\n") + 1
            tail = data[whole:]
            here = Place(str(log), data.count(b"\n") + 1)
            if not tail:
                return None, ()
            if is_whole(tail):
                os.write(fd, b"\n")
                os.fsync(fd)
                found = "no line end after the last entry"
                return None, (Fault(here, found, "a line end", "It was added.", stops=False),)
            beside = _write_beside(log, tail)
            os.ftruncate(fd, whole)
            os.fsync(fd)
            fault = torn(here, tail)
            remedy = f"It was moved to {beside.name}. Enter again what is missing."
            return beside, (fault._replace(remedy=remedy),)
    finally:
        os.close(fd)


def _write_beside(log: Path, tail: bytes) -> Path:
    """The torn bytes in a new file, on the disk."""
    number = 1
    while True:
        beside = log.with_name(f"{log.name}.torn-{number}")
        try:
            write_new(beside, tail)
        except FileExistsError:
            number += 1
            continue
        return beside

"""One writer at a time, also between processes.

Where the system has `fcntl` the log itself is locked, and the lock goes with the process that
held it, however that ended. Elsewhere a file `<log>.lock` is made that must not exist yet; after a
crash it has to be removed by hand, and the message says so.
"""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

try:
    import fcntl
except ImportError:  # not on this system
    fcntl = None  # type: ignore[assignment]

__all__ = ["BusyError", "locked"]

_T = TypeVar("_T")

_PAUSE = 0.005  # seconds between two tries


class BusyError(Exception):
    """Another program kept the lock for too long."""

    def __init__(self, path: Path, patience: float, remedy: str) -> None:
        super().__init__(f"{path}: another program has been writing for {patience:g} s. {remedy}")
        self.path = path
        self.remedy = remedy


@contextlib.contextmanager
def locked(fd: int, path: Path, patience: float, *, by_file: bool = False) -> Iterator[None]:
    """Hold the lock on the open file `fd` at `path`; wait up to `patience` seconds for it.

    by_file: use the lock file also where `fcntl` is at hand.
    Raises BusyError.
    """
    if fcntl is None or by_file:
        with _lock_file(path, patience):
            yield
        return
    _wait(lambda: fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB), path, patience, "Try again.")
    try:
        yield
    finally:
        fcntl.flock(fd, fcntl.LOCK_UN)


@contextlib.contextmanager
def _lock_file(path: Path, patience: float) -> Iterator[None]:
    beside = path.with_name(path.name + ".lock")
    remedy = f"If none is, remove {beside}."
    made = _wait(
        lambda: os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY), path, patience, remedy
    )
    try:
        os.write(made, f"{os.getpid()}\n".encode())
        yield
    finally:
        os.close(made)
        os.unlink(beside)


def _wait(take: Callable[[], _T], path: Path, patience: float, remedy: str) -> _T:
    """What `take` gives as soon as it gives it."""
    until = time.monotonic() + patience
    while True:
        try:
            return take()
        except (BlockingIOError, FileExistsError):
            if time.monotonic() >= until:
                raise BusyError(path, patience, remedy) from None
            time.sleep(_PAUSE)

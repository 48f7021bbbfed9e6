"""Writing to a job's log: who, from which device, and what to do when it cannot be done."""

from __future__ import annotations

import os
import secrets
import socket
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

from sparkout.cli.output import CannotError, say

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.job.entry import Draft, Entry

__all__ = ["add_writer", "written"]


def add_writer(p: argparse.ArgumentParser) -> None:
    """Who writes, and from which device; each device keeps its own chain."""
    p.add_argument("--by", default=os.environ.get("USER", ""), help="person (default: log-in name)")
    p.add_argument(
        "--device", default="", help="device the entry comes from (default: name of this machine)"
    )


def now() -> datetime:
    return datetime.now(UTC)


def written(log: Path, drafts: Iterable[Draft], device: str) -> list[Entry]:
    """The entries, once every one of them is on the disk.

    A torn last line from a crash is set aside first and said. Raises CannotError.
    """
    from sparkout.job.append import LogWriter
    from sparkout.job.aside import set_aside
    from sparkout.job.errors import AppendError
    from sparkout.job.ids import ulid_source

    name = device or socket.gethostname() or "this machine"
    try:
        if log.exists():
            _, notes = set_aside(log)
            for note in notes:
                say(str(note))
        with LogWriter(log) as writer:
            source = ulid_source(now, secrets.token_bytes)
            return [writer.append(draft, now, name, source) for draft in drafts]
    except AppendError as refused:
        raise CannotError(str(refused.fault)) from refused

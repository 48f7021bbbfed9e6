"""Why an entry was not written: nothing half done, and a sentence that says what to do."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sparkout.faults import Fault, Place
from sparkout.job.entry import Entry
from sparkout.job.lock import BusyError

__all__ = ["AppendError", "damaged", "id_is_taken", "refused_by_the_system"]


class AppendError(Exception):
    """Nothing was written. `fault` says why in the words of the shop.

    why: "torn" (set the torn line aside first), "id" (the id is taken by another entry), "busy"
    (another writer), "damaged" (its hash is wrong), "disk" (full, read-only, not allowed, gone).
    """

    def __init__(self, why: str, fault: Fault) -> None:
        super().__init__(str(fault))
        self.why = why
        self.fault = fault


@contextmanager
def refused_by_the_system(path: Path) -> Iterator[None]:
    """Turn what the system refuses into an AppendError."""
    try:
        yield
    except BusyError as error:
        fault = Fault(Place(str(path)), "another writer", "a free log", error.remedy)
        raise AppendError("busy", fault) from error
    except OSError as error:
        fault = Fault(
            Place(str(path)),
            error.strerror or str(error),
            "a log that can be written",
            "Nothing was entered. Make room or give the right to write, then enter it again.",
        )
        raise AppendError("disk", fault) from error


def id_is_taken(id_: str, there: Entry, place: Place) -> Fault:
    """The id of an entry to write is in the log with another content."""
    return Fault(
        place._replace(key=f"entry {id_}"),
        f'an id that "{there.by}" used at {there.at} for another content',
        "a new id for every entry, and the same content when it is sent again",
    )


def damaged(entry: Entry) -> Fault:
    """An entry to take over is not what its hash says."""
    return Fault(
        entry.place._replace(key=f"entry {entry.id}"),
        f"content that does not give its hash {entry.hash[:12]}…",
        "the content that was hashed when it was written",
        "Nothing was taken over. Read the other log again from its device.",
    )

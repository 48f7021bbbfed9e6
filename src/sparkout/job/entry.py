"""One entry of the log: who, when, which device, what, and its place in that device's chain."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TypeAlias

from sparkout.faults import Fault, Place
from sparkout.job.bodies import Body, kind_of
from sparkout.job.border import body_as_dict, read_body, shown
from sparkout.job.canonical import FORM, canonical, digest, with_hash

__all__ = [
    "DEVICE",
    "ID",
    "Clock",
    "Draft",
    "Entry",
    "IdSource",
    "draft",
    "order",
    "seal",
    "timestamp",
]

ID = re.compile(r"[0-9A-Za-z_-]{26,64}")
DEVICE = re.compile(r"[0-9A-Za-z](?:[0-9A-Za-z ._-]{0,62}[0-9A-Za-z])?")

Clock: TypeAlias = Callable[[], datetime]
"""What the writer asks for the time; it must know its zone."""

IdSource: TypeAlias = Callable[[], str]
"""What the writer asks for the id of the next entry; asking again after a failure to deliver must
give the same id again, so that a resend is harmless."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What somebody wants to enter, before the log gives it time, number and place."""

    by: str
    body: Body

    @property
    def kind(self) -> str:
        return kind_of(self.body)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log. `text` is its canonical form, over which `hash` was made."""

    id: str
    kind: str
    device: str
    number: int
    previous: str
    at: str
    by: str
    body: Body
    hash: str
    text: str = field(repr=False)
    place: Place = field(default=Place(), compare=False, repr=False)

    @property
    def line(self) -> str:
        """The line as it stands in a log, without its line end."""
        return with_hash(self.text, self.hash)

    @property
    def form(self) -> int:
        return FORM


def draft(
    kind: str, by: str, body: object, place: Place | None = None
) -> tuple[Draft | None, tuple[Fault, ...]]:
    """A draft from plain text fields, or every fault in them.

    place: where the fields came from (a file and row), for the faults.
    """
    here = Place() if place is None else place
    read, faults = read_body(kind, body, here)
    if not by.strip():
        who = Fault(here._replace(key="by"), "nothing", "the person who enters it")
        faults = (*faults, who)
    if read is None or faults:
        return None, faults
    made = Draft(by, read)
    try:
        digest(canonical({"body": body_as_dict(read), "by": by}))
    except UnicodeEncodeError:
        fault = Fault(
            here._replace(key=kind),
            "half of a surrogate pair, which is no character",
            "text that has a UTF-8 form",
        )
        return None, (fault,)
    return made, ()


def timestamp(moment: datetime) -> str:
    """The moment as the log writes it: RFC 3339, UTC, with Z, to the millisecond.

    Raises ValueError for a time that does not say its zone.
    """
    if moment.tzinfo is None:
        raise ValueError(f"a time without a zone cannot be logged: {moment.isoformat()}")
    utc = moment.astimezone(UTC)
    return f"{utc:%Y-%m-%dT%H:%M:%S}.{utc.microsecond // 1000:03d}Z"


def seal(made: Draft, *, id_: str, device: str, number: int, previous: str, at: str) -> Entry:
    """The entry of a draft at its place in the chain, with its hash.

    Raises ValueError for an id or device that the log does not take: a caller's bug.
    """
    if not ID.fullmatch(id_):
        raise ValueError(f"an id has 26 to 64 letters, digits, - or _; got {shown(id_)}")
    if not DEVICE.fullmatch(device):
        raise ValueError(
            "a device is named with up to 64 letters, digits, spaces, dots, - or _; "
            f"got {shown(device)}"
        )
    text = canonical(
        {
            "at": at,
            "body": body_as_dict(made.body),
            "by": made.by,
            "device": device,
            "form": FORM,
            "id": id_,
            "kind": made.kind,
            "number": number,
            "previous": previous,
        }
    )
    return Entry(
        id_,
        made.kind,
        device,
        number,
        previous,
        at,
        made.by,
        made.body,
        digest(text),
        text,
    )


def order(entry: Entry) -> tuple[str, str, int, str, str]:
    """The order in which entries count: time, device, number; never that of arrival.

    Without its Z a time with a fraction sorts after the same second without one. Hash and
    text only keep two entries apart that claim the same place.
    """
    return entry.at[:-1], entry.device, entry.number, entry.hash, entry.text

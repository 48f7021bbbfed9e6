"""Logs for the tests: a clock that is wound by hand and ids that count."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta

from sparkout.job.entry import Draft, Entry, draft, seal, timestamp

START = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)


def clock(start: datetime = START, step: float = 60.0) -> Callable[[], datetime]:
    """A clock that goes on by `step` seconds each time it is read."""
    ticks = iter(range(10**9))
    return lambda: start + timedelta(seconds=step * next(ticks))


def ids(prefix: str = "ID") -> Callable[[], str]:
    """Ids of 26 characters that count up."""
    numbers = iter(range(1, 10**9))
    return lambda: f"{prefix}{next(numbers):0{26 - len(prefix)}d}"


def drafted(kind: str = "reading", by: str = "Ines", **body: object) -> Draft:
    """A draft that must be right."""
    fields = body or {
        "feature": "bore 2",
        "characteristic": "bore diameter",
        "typed": "100.246",
    }
    made, faults = draft(kind, by, fields)
    assert made is not None, faults
    return made


def chain(device: str, drafts: Iterable[Draft], *, start: datetime = START) -> tuple[Entry, ...]:
    """The entries one device makes of these drafts."""
    tick, next_id = clock(start), ids(device.upper().replace(" ", ""))
    entries: list[Entry] = []
    for made in drafts:
        before = entries[-1].hash if entries else ""
        entries.append(
            seal(
                made,
                id_=next_id(),
                device=device,
                number=len(entries) + 1,
                previous=before,
                at=timestamp(tick()),
            )
        )
    return tuple(entries)


def as_bytes(entries: Iterable[Entry]) -> bytes:
    """The log these entries make."""
    return "".join(f"{entry.line}\n" for entry in entries).encode()


def readings(*typed: str, feature: str = "bore 2") -> tuple[Draft, ...]:
    """Readings of one bore."""
    return tuple(
        drafted(feature=feature, characteristic="bore diameter", typed=text) for text in typed
    )

"""Logs of several devices to one: the set of all entries, in the order in which they count."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.faults import Fault
from sparkout.job.canonical import digest
from sparkout.job.entry import Entry, order
from sparkout.job.verify import verify

__all__ = ["merge"]


def merge(*logs: Iterable[Entry]) -> tuple[tuple[Entry, ...], tuple[Fault, ...]]:
    """All entries once, ordered by time, device and number, with the faults of the whole.

    In whatever order the logs are given, the entries come out the same. The same entry in several
    logs is harmless, and where one copy is damaged the sound one takes its place, with a warning.
    Two entries that claim one id or one number are both kept and reported.
    """
    sound: dict[str, Entry] = {}
    damaged: dict[tuple[str, str], Entry] = {}
    for log in logs:
        for entry in log:
            if digest(entry.text) == entry.hash:
                sound[entry.hash] = _one_of(sound.get(entry.hash), entry)
            else:
                key = entry.hash, entry.text
                damaged[key] = _one_of(damaged.get(key), entry)
    texts = {entry.text for entry in sound.values()}
    healed = [entry for (hash_, text), entry in damaged.items() if hash_ in sound or text in texts]
    for entry in healed:
        del damaged[entry.hash, entry.text]
    entries = tuple(sorted([*sound.values(), *damaged.values()], key=order))
    warnings = tuple(
        Fault(
            entry.place._replace(key=f"entry {entry.id}"),
            "a damaged copy of an entry",
            "the entry as another log has it",
            "The sound copy counts.",
            stops=False,
        )
        for entry in sorted(healed, key=order)
    )
    return entries, (*warnings, *verify(entries))


def _one_of(known: Entry | None, entry: Entry) -> Entry:
    """One of two copies, the same whichever log comes first: faults then name the same place."""
    if known is None:
        return entry
    return min(known, entry, key=lambda copy: (copy.place.file, copy.place.line or 0))

"""Is the log what was written? Hashes, chains, numbers, ids and times, every entry, no sampling.

The chain finds a changed, lost or swapped entry. It cannot find that the end of a device's chain
is missing, or that somebody with the file made all of it anew: for that the last hash has to be
kept elsewhere, as on the printed record.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from hashlib import sha256

from sparkout.faults import Fault
from sparkout.job.entry import Entry, order

__all__ = ["heads", "id_taken", "verify"]

_RESTORE = "Restore the log from a copy, or merge it with the log of another device."


def verify(entries: Iterable[Entry]) -> tuple[Fault, ...]:
    """Every fault of hash, id, number, chain and time; a time going backwards is a warning.

    The order of the entries does not matter: each device's chain is followed by its numbers.
    """
    faults: list[Fault] = []
    chains: dict[str, list[Entry]] = {}
    seen: dict[str, Entry] = {}
    for entry in entries:
        if sha256(entry.text.encode()).hexdigest() != entry.hash:
            faults.append(_changed(entry))
        known = seen.get(entry.id)
        if known is None:
            seen[entry.id] = entry
        elif known.hash == entry.hash:
            continue  # the same entry once more: harmless
        else:
            faults.append(id_taken(known, entry))
        chains.setdefault(entry.device, []).append(entry)
    for device in sorted(chains):
        faults.extend(_chain(device, chains[device]))
    return tuple(faults)


def _changed(entry: Entry) -> Fault:
    return Fault(
        entry.place._replace(key=f"entry {entry.id}"),
        f"content that does not give its hash {entry.hash[:12]}…",
        "the content that was hashed when it was written",
        f"The line was changed afterwards or damaged. {_RESTORE}",
    )


def id_taken(first: Entry, second: Entry) -> Fault:
    """The fault of two entries with one id and different content."""
    return Fault(
        second.place._replace(key=f"entry {second.id}"),
        f'another entry with the id of the one by "{first.by}" at {first.at}',
        "an id that is used once",
        "Both are kept and only the first in time counts; enter the other one again.",
    )


def _chain(device: str, links: list[Entry]) -> Iterator[Fault]:
    links.sort(key=lambda link: (link.number, *order(link)))
    before: Entry | None = None
    for link in links:
        if before is None:
            if link.number != 1:
                yield _gap(link, device, 1)
            elif link.previous:
                yield _not_chained(link, device, "nothing before it")
        elif link.number == before.number:
            yield Fault(
                link.place._replace(key=f"{device}, number {link.number}"),
                "two entries with this number",
                "one entry for each number of a device",
                "Two devices wrote under one name, or one was restored from an old copy: "
                "give each its own name.",
            )
            continue
        elif link.number > before.number + 1:
            yield _gap(link, device, before.number + 1)
        elif link.previous != before.hash:
            yield _not_chained(link, device, f"hash {before.hash[:12]}… of number {before.number}")
        if before is not None and link.at[:-1] < before.at[:-1]:
            yield Fault(
                link.place._replace(key=f"{device}, number {link.number}"),
                f"the time {link.at}, before {before.at} of the entry before it",
                "a clock that goes forward",
                "Set the clock of the device; entries count in the order of their times.",
                stops=False,
            )
        before = link


def _gap(link: Entry, device: str, wanted: int) -> Fault:
    return Fault(
        link.place._replace(key=f"{device}, number {link.number}"),
        f"no entry number {wanted}"
        + (f" to {link.number - 1}" if link.number > wanted + 1 else ""),
        "numbers without a gap",
        _RESTORE,
    )


def _not_chained(link: Entry, device: str, expected: str) -> Fault:
    found = f"previous {link.previous[:12]}…" if link.previous else "no previous hash"
    return Fault(
        link.place._replace(key=f"{device}, number {link.number}"), found, expected, _RESTORE
    )


def heads(entries: Sequence[Entry]) -> dict[str, Entry]:
    """The last entry of each device: its hash, printed elsewhere, vouches for all before it."""
    last: dict[str, Entry] = {}
    for entry in entries:
        known = last.get(entry.device)
        if known is None or (entry.number, entry.hash) > (known.number, known.hash):
            last[entry.device] = entry
    return last

"""From the entries to what counts: corrections applied, everything superseded kept and pointed at.

The result depends on the set of entries alone, never on the order in which they arrived.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from sparkout.faults import Fault, Place
from sparkout.job.bodies import Body, Correction, Reading, Unread
from sparkout.job.border import body_as_dict, read_body, thaw
from sparkout.job.entry import Entry, order
from sparkout.job.verify import id_taken

__all__ = ["Replay", "Standing", "replay"]


@dataclass(frozen=True, slots=True)
class Standing:
    """An entry as it stands after all corrections, or as it stood until one superseded it.

    body: what counts (in `superseded`: what counted until then).
    corrected_by: ids of the corrections that made it so, first to last.
    superseded_by: id of the correction that replaced or withdrew it; "" while it counts.
    confirmed: somebody confirmed it as typed, after it was questioned.
    """

    entry: Entry
    body: Body
    corrected_by: tuple[str, ...] = ()
    superseded_by: str = ""
    confirmed: bool = False

    @property
    def id(self) -> str:
        return self.entry.id

    @property
    def kind(self) -> str:
        return self.entry.kind

    @property
    def at(self) -> str:
        return self.entry.at

    @property
    def by(self) -> str:
        return self.entry.by

    @property
    def device(self) -> str:
        return self.entry.device

    @property
    def number(self) -> int:
        return self.entry.number

    @property
    def place(self) -> Place:
        return self.entry.place


class Replay(NamedTuple):
    """What counts (in order, without corrections, withdrawn entries and those that this release
    cannot read), what no longer does, and every correction that could not be applied."""

    effective: tuple[Standing, ...]
    superseded: tuple[Standing, ...]
    faults: tuple[Fault, ...]


def replay(entries: Iterable[Entry]) -> Replay:
    """Apply all corrections.

    Corrections of one entry apply in their order. A withdrawn entry stays withdrawn unless the
    withdrawal is itself withdrawn; a later replacement of it is a fault. A confirmation stands
    until a later replacement.
    """
    faults: list[Fault] = []
    by_id: dict[str, Entry] = {}
    ordered: list[Entry] = []
    for entry in sorted(entries, key=order):
        known = by_id.get(entry.id)
        if known is None:
            by_id[entry.id] = entry
            ordered.append(entry)
        elif known.hash != entry.hash:
            faults.append(id_taken(known, entry))
    corrections = _by_target(ordered, by_id, faults)
    effective: list[Standing] = []
    superseded: list[Standing] = []
    for entry in ordered:
        if isinstance(entry.body, Correction | Unread):
            continue  # an unread one was reported when the log was read
        now = Standing(entry, entry.body)
        for correction in corrections.get(entry.id, ()):
            now = _corrected(now, correction, superseded, faults)
        if not now.superseded_by:
            effective.append(now)
    return Replay(tuple(effective), tuple(superseded), tuple(faults))


def _by_target(
    ordered: list[Entry], by_id: dict[str, Entry], faults: list[Fault]
) -> dict[str, list[Entry]]:
    """The corrections that count, by the id of the entry they are about, in order."""
    live: dict[str, list[Entry]] = {}
    about: dict[str, Entry] = {}  # withdrawals of corrections, by their own id
    waiting: dict[str, int] = {}  # how many undecided withdrawals are aimed at this correction
    everyone: list[tuple[Entry, Correction]] = []
    for entry in ordered:
        body = entry.body
        if not isinstance(body, Correction):
            continue
        target = by_id.get(body.of)
        if target is None:
            faults.append(_fault(entry, "of", f"no entry {body.of}", "the id of an entry"))
            continue
        if isinstance(target.body, Unread):
            expected = "an entry that this release can read"
            faults.append(_fault(entry, "of", f"{body.of}, which it cannot", expected))
            continue
        if isinstance(target.body, Correction):
            if body.action != "withdraw":
                expected = 'the action "withdraw"; correct the original entry again'
                faults.append(_fault(entry, "action", f"{body.action} of a correction", expected))
                continue
            about[entry.id] = target
            waiting[target.id] = waiting.get(target.id, 0) + 1
        everyone.append((entry, body))
    # Decide from the ends: a correction at which no undecided withdrawal is aimed is decided.
    undone: set[str] = set()
    ready = [entry.id for entry, _ in everyone if entry.id not in waiting]
    decided: set[str] = set()
    while ready:
        one = ready.pop()
        decided.add(one)
        aim = about.get(one)
        if aim is not None:
            if one not in undone:
                undone.add(aim.id)
            waiting[aim.id] -= 1
            if waiting[aim.id] == 0:
                ready.append(aim.id)
    for entry, body in everyone:
        if entry.id not in decided:
            faults.append(
                _fault(entry, "of", "corrections that withdraw each other", "an earlier entry")
            )
        elif entry.id not in undone and entry.id not in about:
            live.setdefault(body.of, []).append(entry)
    return live


def _corrected(
    now: Standing, correction: Entry, superseded: list[Standing], faults: list[Fault]
) -> Standing:
    """The standing after one more correction; what it replaces goes to `superseded`."""
    body = correction.body
    assert isinstance(body, Correction)
    if now.superseded_by:
        if body.action != "withdraw":
            found = f"{body.action} of an entry that {now.superseded_by} has withdrawn"
            expected = "a correction of an entry that counts"
            remedy = "Withdraw the withdrawal first, or enter it anew."
            faults.append(_fault(correction, "of", found, expected, remedy, stops=False))
        return now
    by = (*now.corrected_by, correction.id)
    if body.action == "withdraw":
        superseded.append(replace(now, superseded_by=correction.id))
        return replace(now, corrected_by=by, superseded_by=correction.id)
    if body.action == "confirm":
        if not isinstance(now.body, Reading):
            expected = "a confirmation of a reading"
            faults.append(_fault(correction, "of", f"confirm of a {now.kind}", expected))
            return now
        return replace(now, corrected_by=by, confirmed=True)
    fields = {**body_as_dict(now.body), **thaw(body.body)}
    said = {name: value for name, value in fields.items() if value not in ("", [])}
    place = correction.place._replace(key=correction.id)
    new, wrong = read_body(now.kind, said, place)
    if new is None:
        faults.extend(wrong)
        return now
    superseded.append(replace(now, superseded_by=correction.id))
    return replace(now, body=new, corrected_by=by, confirmed=False)


def _fault(
    entry: Entry, field: str, found: str, expected: str, remedy: str = "", *, stops: bool = True
) -> Fault:
    place = entry.place._replace(key=f"correction {entry.id}, {field}")
    return Fault(place, found, expected, remedy, stops)

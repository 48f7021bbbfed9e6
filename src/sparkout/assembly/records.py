"""What the log records of the build: each check entry taken apart, and what its words mean.

A check entry names what it is about in its `step`: the id of the step, then the check, then the
position, parted by `/`:

    fit-crankshaft/end play                     a characteristic, read
    fit-liners/liner protrusion/12 o'clock      one of several places
    tighten-head/stage 2                        one fastener, named as the feature
    tighten-head/loosen                         the joint loosened fully, to begin again
    tighten-head/interrupted                    the sequence was interrupted
    fit-pistons/used/piston kit, height B       pieces used
    fit-head/substitute/head gasket 1.30        the part fitted instead
    wash                                        the step's one thing to be seen, done

Its `result` is what was read, or `done`; or `waived`, by a person with a reason in the note.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from sparkout.faults import Place
from sparkout.job.bodies import Check
from sparkout.job.replay import Standing

__all__ = ["CONFIRMED", "REFUSED", "WAIVED", "Record", "records"]

CONFIRMED = frozenset(
    {"done", "yes", "ok", "pass", "passed", "good", "clean", "seen", "loose", "loosened fully"}
)
REFUSED = frozenset({"no", "not ok", "fail", "failed", "dirty", "refused"})
WAIVED = "waived"


@dataclass(frozen=True, slots=True)
class Record:
    """One check entry. number: its place in the order of the log."""

    step: str
    check: str
    position: str
    feature: str
    result: str
    unit: str = ""
    tool: str = ""
    lubricant: str = ""
    second_person: str = ""
    note: str = ""
    by: str = ""
    at: str = ""
    entry: str = ""
    place: Place = field(default=Place(), compare=False, repr=False)
    number: int = 0

    @property
    def word(self) -> str:
        return " ".join(self.result.casefold().split())

    @property
    def waived(self) -> bool:
        return self.word == WAIVED


def records(standing: Iterable[Standing]) -> tuple[Record, ...]:
    """The check entries of a log, taken apart.

    step = id / check / position, see the head of this module.

    standing: entries that count, in the order of the log [-].
    Returns one record for each check entry, in that order.
    Holds for any log; what has no such step or check is told by `progress`.
    Source: the log's own form.

    >>> records(())
    ()
    """
    found = []
    for number, entry in enumerate(standing):
        body = entry.body
        if not isinstance(body, Check):
            continue
        parts = [part.strip() for part in body.step.split("/", 2)]
        step, check, position = (*parts, "", "")[:3]
        found.append(
            Record(
                step,
                check,
                position,
                body.feature,
                body.result,
                body.unit,
                body.tool,
                body.lubricant,
                body.second_person,
                body.note,
                entry.by,
                entry.at,
                entry.id,
                entry.place,
                number,
            )
        )
    return tuple(found)

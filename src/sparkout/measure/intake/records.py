"""What comes out of reading a file of readings: drafts, faults, and questions to a person."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from sparkout.faults import Fault, Place

if TYPE_CHECKING:
    from sparkout.measure.intake.layout import Layout
    from sparkout.measure.intake.mapping import ColumnMapping

__all__ = ["FIELDS", "Ask", "Choice", "ReadingDraft", "Readings"]

FIELDS = (
    "feature",
    "characteristic",
    "typed",
    "level",
    "direction",
    "unit",
    "gauge",
    "master",
    "polarity",
    "clamp_state",
    "support",
    "part_temperature",
    "gauge_temperature",
    "phase",
    "note",
)
"""The fields of a reading, as the log has them."""


@dataclass(frozen=True, slots=True)
class ReadingDraft:
    """One reading as it stood in a file, not entered anywhere yet."""

    place: Place
    fields: tuple[tuple[str, str], ...]

    @property
    def body(self) -> dict[str, str]:
        """The body of the reading, as the log takes it."""
        return dict(self.fields)


class Choice(NamedTuple):
    """One answer to a question: what to pass back, and what the file would then say."""

    answer: str
    shows: str


@dataclass(frozen=True, slots=True)
class Ask:
    """A question that the file leaves open. Nothing is read until it is answered.

    what: the argument that answers it: "delimiter", "decimal", "sheet", "unit", "columns" (give
    a mapping) or "characteristic" (give it in fixed).
    """

    what: str
    sentence: str
    choices: tuple[Choice, ...]
    evidence: tuple[str, ...] = ()

    def __str__(self) -> str:
        lines = [self.sentence]
        lines += [f"  {choice.answer!r}: {choice.shows}" for choice in self.choices]
        lines += [f"  ({seen})" for seen in self.evidence]
        return "\n".join(lines)


class Readings(NamedTuple):
    """Everything one file gave.

    drafts: the good rows. faults: the bad ones, and warnings. asks: questions; while there are
    any, drafts is empty. mapping: the columns as they were read, to be remembered. evidence: how
    the layout was found. blank: rows of a form that were not filled in.
    """

    drafts: tuple[ReadingDraft, ...] = ()
    faults: tuple[Fault, ...] = ()
    asks: tuple[Ask, ...] = ()
    mapping: ColumnMapping | None = None
    layout: Layout | None = None
    evidence: tuple[str, ...] = ()
    blank: tuple[Place, ...] = ()

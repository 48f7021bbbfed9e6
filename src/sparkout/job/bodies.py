"""What an entry can say: one frozen record for each kind.

Everything a person typed is text, kept as typed. What the text means (which feature, how long,
which option) is the business of the rooms above; here only its place is checked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

from sparkout.job.fields import list_field, object_field, records_field, text_field

__all__ = [
    "KINDS",
    "Approval",
    "Body",
    "Check",
    "Choice",
    "Correction",
    "Intake",
    "Measured",
    "Observation",
    "Part",
    "Photo",
    "Reading",
    "Unread",
    "Work",
    "kind_of",
]

_SHA256 = r"[0-9a-f]{64}"
_ID = r"[0-9A-Za-z_-]{26,64}"
_POLARITY = ("plus is bigger", "plus is smaller")
_OBSERVED = (
    "crack",
    "score",
    "worn",
    "broken",
    "bent",
    "loose",
    "missing",
    "corroded",
    "heat mark",
    "leak test",
    "crack test",
    "mark or stamp",
    "spare part left over",
    "other",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A picture in the job folder: the file photos/<sha256> and the name it came with."""

    sha256: str = text_field(
        "SHA-256 of the file", required=True, pattern=_SHA256, looks_like="64 digits 0-9, a-f"
    )
    name: str = text_field("name the file came with", required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One measured size inside an entry about work or a part."""

    characteristic: str = text_field('what was measured, such as "bore diameter"', required=True)
    typed: str = text_field("what was typed, as it was typed", required=True)
    feature: str = text_field('feature, such as "bore 2"; needed where the entry names several')
    level: str = text_field('level, such as "top"')
    direction: str = text_field('direction, such as "thrust"')
    unit: str = text_field("unit where none was typed")
    gauge: str = text_field("gauge, by its id")
    master: str = text_field("setting master: its id, or its size as typed")
    polarity: str = text_field("which way the dial counts", one_of=_POLARITY)
    part_temperature: str = text_field("temperature of the part, as typed")
    gauge_temperature: str = text_field("temperature of the gauge, as typed")
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing read off one gauge, once."""

    feature: str = text_field('feature, such as "bore 2"', required=True)
    characteristic: str = text_field('what was measured, such as "bore diameter"', required=True)
    typed: str = text_field(
        'what was typed, as it was typed: "100.246", "+5 tenths", "12 fits, 13 does not"',
        required=True,
    )
    level: str = text_field('level, such as "top"')
    direction: str = text_field('direction, such as "thrust"')
    unit: str = text_field("unit where none was typed")
    gauge: str = text_field("gauge, by its id")
    master: str = text_field("setting master of a deviation: its id, or its size as typed")
    polarity: str = text_field("which way the dial counts", one_of=_POLARITY)
    clamp_state: str = text_field('what was bolted on, such as "caps torqued" or "torque plate"')
    support: str = text_field('how the part lay, such as "V-blocks at mains 1 and 5"')
    part_temperature: str = text_field("temperature of the part, as typed")
    gauge_temperature: str = text_field("temperature of the gauge, as typed")
    phase: str = text_field(
        "when in the job it was read", one_of=("found", "left", "mock-up", "new part")
    )
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """Something seen rather than measured."""

    feature: str = text_field("feature or part it was seen on", required=True)
    what: str = text_field("what kind of thing was seen", required=True, one_of=_OBSERVED)
    text: str = text_field("what was seen, in words")
    severity: str = text_field("how much it matters", one_of=("note", "repair", "scrap"))
    photos: tuple[Photo, ...] = records_field("pictures", Photo)
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Work done, with the sizes it left."""

    operation: str = text_field("what was done", required=True)
    features: tuple[str, ...] = list_field("features worked on", required=True)
    target: str = text_field("size worked to, as typed")
    results: tuple[Measured, ...] = records_field("sizes after the work", Measured)
    machine: str = text_field("machine")
    tool: str = text_field("tool, wheel or stone")
    deviation_from_plan: str = text_field("what was done otherwise than planned, and why")
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part that came to the job, with what is marked on it and what it measures."""

    part: str = text_field("part, by its key in the data sheet or in words", required=True)
    number: str = text_field("part number or size mark on the part")
    batch: str = text_field("batch or lot")
    quantity: str = text_field("how many, as typed")
    for_feature: str = text_field('where it goes, such as "piston 2"')
    sizes: tuple[Measured, ...] = records_field("sizes measured on the part", Measured)
    supplier: str = text_field("who it came from")
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A decision a person took."""

    what: str = text_field("what was decided", required=True)
    option: str = text_field("what was chosen", required=True)
    reason: str = text_field("why")
    plan: str = text_field("digest of the plan it was chosen from")
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Approval:
    """What the customer agreed to, and what he declined."""

    what: str = text_field("what was approved: the digest of the quote, or words", required=True)
    by_whom: str = text_field("who agreed", required=True)
    how: str = text_field("how", required=True, one_of=("phone", "signed", "mail", "in person"))
    amount: str = text_field("amount, as typed")
    currency: str = text_field(
        "currency", pattern=r"[A-Z]{3}", looks_like='three capital letters, such as "EUR"'
    )
    declined: tuple[str, ...] = list_field("work offered and declined")
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """The result of one step of the assembly sheet."""

    step: str = text_field("id of the assembly step", required=True)
    result: str = text_field("what was read or found, as typed", required=True)
    unit: str = text_field("unit where none was typed")
    feature: str = text_field("feature it was read on")
    limits: str = text_field("limits as the sheet showed them")
    tool: str = text_field("tool or gauge, such as the torque wrench by its id")
    lubricant: str = text_field("lubricant on the thread")
    second_person: str = text_field("who checked it independently")
    note: str = text_field("note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """A word about an earlier entry: replace fields of it, withdraw it, or confirm it as typed.

    The earlier entry stays in the log; the correction supersedes it.
    """

    of: str = text_field(
        "id of the entry it is about", required=True, pattern=_ID, looks_like="an entry id"
    )
    action: str = text_field("what to do", required=True, one_of=("replace", "withdraw", "confirm"))
    reason: str = text_field("why", required=True)
    body: tuple[tuple[str, object], ...] = object_field(
        'fields to replace; an empty text ("") takes a field away'
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """What came through the door."""

    engine: str = text_field("what engine it is, in words", required=True)
    serial: str = text_field("serial number")
    plates: tuple[str, ...] = list_field("numbers on the plates")
    castings: tuple[str, ...] = list_field("casting numbers")
    arrived: tuple[str, ...] = list_field("what arrived")
    missing: tuple[str, ...] = list_field("what is missing")
    complaint: str = text_field("what the customer complains of, in his words")
    hours_run: str = text_field("hours run, as typed")
    customer: str = text_field("customer, by name or number")
    photos: tuple[Photo, ...] = records_field("pictures", Photo)
    note: str = text_field("note")


@dataclass(frozen=True, slots=True)
class Unread:
    """The body of an entry that this release cannot read; its text keeps the chain whole."""

    kind: str


Body: TypeAlias = (
    Reading | Observation | Work | Part | Choice | Approval | Check | Correction | Intake | Unread
)

KINDS: Mapping[str, type[Body]] = MappingProxyType(
    {
        "reading": Reading,
        "observation": Observation,
        "work": Work,
        "part": Part,
        "choice": Choice,
        "approval": Approval,
        "check": Check,
        "correction": Correction,
        "intake": Intake,
    }
)


def kind_of(body: Body) -> str:
    """The name of the kind of a body, as it stands in the log."""
    return body.kind if isinstance(body, Unread) else type(body).__name__.lower()

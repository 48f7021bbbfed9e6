"""One line of a log to an entry, or to every reason why it is none."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sparkout.faults import Fault, Place
from sparkout.job.bodies import KINDS, Unread
from sparkout.job.border import nearest, read_body, shown
from sparkout.job.canonical import FORM, canonical
from sparkout.job.entry import DEVICE, ID, Entry

__all__ = ["ENVELOPE", "HASH_FIELD_LENGTH", "at_length", "at_sight", "entry_of_line"]

ENVELOPE = (
    "at",
    "body",
    "by",
    "device",
    "form",
    "hash",
    "id",
    "kind",
    "number",
    "previous",
)

HASH_FIELD_LENGTH = len('"hash":"",') + 64
_HASH = re.compile(r"[0-9a-f]{64}")
_TIME = re.compile(
    r"\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d"
    r"(?:\.\d{1,6})?Z",
    re.ASCII,
)
# A canonical line whose person needs no escaping; only the body is left to be read as JSON.
_CANONICAL = re.compile(
    r'\{"at":"([^"\\]*)","body":(\{.*\}),"by":"([^"\\\x00-\x1f]*[^"\\\x00-\x1f\s])",'
    rf'"device":"({DEVICE.pattern})","form":{FORM},"hash":"([0-9a-f]{{64}})",'
    rf'"id":"({ID.pattern})","kind":"([a-z]+)","number":([1-9][0-9]{{0,14}}),'
    r'"previous":"([0-9a-f]{64}|)"\}',
    re.DOTALL,
)


def entry_of_line(line: bytes, place: Place) -> tuple[Entry | None, tuple[Fault, ...]]:
    """The entry on one line, with its faults.

    An envelope that cannot be trusted gives no entry. A body that cannot be read gives an entry
    with an `Unread` body and the faults why: its text is still a link of the chain.
    """
    return at_sight(line, place) or at_length(line, place)


def at_sight(line: bytes, place: Place) -> tuple[Entry, tuple[Fault, ...]] | None:
    """The entry of a line that is canonical already, as nearly all are; None for any other.

    One pattern takes the envelope apart. The body is canonical if writing it again gives the same
    text; then so is the whole line, and what was hashed is the line without its hash.
    """
    try:
        text = line.decode("utf-8")
        found = _CANONICAL.fullmatch(text)
        if found is None:
            return None
        at, said, by, device, hash_, id_, kind, number, previous = found.groups()
        body = json.loads(said)
        if canonical(body) != said or not _is_time(at):
            return None
    except (ValueError, RecursionError):
        return None
    read, faults = read_body(kind, body, place)
    cut = found.start(5) - len('"hash":"')
    entry = Entry(
        id_,
        kind,
        device,
        int(number),
        previous,
        at,
        by,
        Unread(kind) if read is None else read,
        hash_,
        text[:cut] + text[found.end(5) + 2 :],
        place,
    )
    return entry, faults


def at_length(line: bytes, place: Place) -> tuple[Entry | None, tuple[Fault, ...]]:
    """The entry of any line, or every reason why it is none."""
    try:
        text = line.decode("utf-8").strip("\r")
        found: Any = json.loads(text)
    except UnicodeDecodeError as error:
        fault = f"bytes that are not UTF-8 at byte {error.start + 1} of the line"
        return None, (Fault(place, fault, "UTF-8 text"),)
    except json.JSONDecodeError as error:
        here = place._replace(column=error.colno)
        return None, (Fault(here, f"no JSON ({error.msg})", "one JSON object on one line"),)
    except (ValueError, RecursionError):
        # Python refuses whole numbers of thousands of digits and nesting thousands deep.
        return None, (Fault(place, "JSON beyond all bounds", "one JSON object on one line"),)
    if not isinstance(found, dict):
        return None, (Fault(place, shown(found), "one JSON object"),)
    faults = _envelope_faults(found, place)
    if faults:
        return None, faults
    hash_ = found.pop("hash")
    try:
        content = canonical(found)
        content.encode("utf-8")
    except (UnicodeEncodeError, ValueError, RecursionError):
        wrong = Fault(place, "content that has no canonical form", "text and whole numbers only")
        return None, (wrong,)
    if len(text) > len(content) + HASH_FIELD_LENGTH:
        # The canonical text is the shortest; only a longer line can hold a field twice.
        doubled = _doubled(text)
        if doubled:
            return None, (Fault(place._replace(key=doubled), "the field twice", "once"),)
    kind = found["kind"]
    body, wrong_body = read_body(kind, found["body"], place)
    entry = Entry(
        found["id"],
        kind,
        found["device"],
        found["number"],
        found["previous"],
        found["at"],
        found["by"],
        Unread(kind) if body is None else body,
        hash_,
        content,
        place,
    )
    return entry, wrong_body


def _envelope_faults(found: dict[str, Any], place: Place) -> tuple[Fault, ...]:
    """Everything wrong with the envelope; empty for a sound one."""
    form = found.get("form")
    if type(form) is int and form > FORM:
        newer = Fault(
            place._replace(key="form"),
            str(form),
            f"a form up to {FORM}",
            "This log was written by a newer release; read it with that one.",
        )
        return (newer,)
    if len(found) == len(ENVELOPE) and _sound(found):
        return ()
    return tuple(_what_is_wrong(found, place))


def _sound(found: dict[str, Any]) -> bool:
    """One quick look at a whole envelope, for the many lines that are right."""
    try:
        return (
            found["form"] == FORM
            and type(found["form"]) is int
            and _is_hash(found["hash"])
            and ID.fullmatch(found["id"]) is not None
            and type(found["kind"]) is str
            and DEVICE.fullmatch(found["device"]) is not None
            and type(found["number"]) is int
            and 1 <= found["number"] < 1 << 53
            and (found["previous"] == "" or _is_hash(found["previous"]))
            and _is_time(found["at"])
            and type(found["by"]) is str
            and found["by"].strip() != ""
            and "body" in found
        )
    except (KeyError, TypeError):
        return False


def _what_is_wrong(found: dict[str, Any], place: Place) -> Iterable[Fault]:
    """The same look again, slowly, with a sentence for each field."""
    for name in found:
        if name not in ENVELOPE:
            expected = f"one of {', '.join(ENVELOPE)}"
            yield Fault(
                place._replace(key=name), "an unknown field", expected, nearest(name, ENVELOPE)
            )
    number = found.get("number")
    wanted: dict[str, tuple[bool, str]] = {
        "at": (_is_time(found.get("at")), 'a time in UTC, such as "2027-03-01T08:30:00.000Z"'),
        "body": ("body" in found, "what the entry says"),
        "by": (_said(found.get("by")), "the person who entered it"),
        "device": (_matches(DEVICE, found.get("device")), "the name of the device that wrote it"),
        "form": (type(found.get("form")) is int and found["form"] == FORM, f"{FORM}"),
        "hash": (_is_hash(found.get("hash")), "64 digits 0-9, a-f"),
        "id": (_matches(ID, found.get("id")), "26 to 64 letters, digits, - or _"),
        "kind": (_said(found.get("kind")), f"one of {', '.join(KINDS)}"),
        "number": (
            type(number) is int and 1 <= number < 1 << 53,
            "a whole number from 1, one more than the entry before",
        ),
        "previous": (
            found.get("previous") == "" or _is_hash(found.get("previous")),
            'the hash of the entry before, or "" for the first of a device',
        ),
    }
    for name, (right, expected) in wanted.items():
        if not right:
            what = shown(found[name]) if name in found else "nothing"
            yield Fault(place._replace(key=name), what, expected)


def _said(value: object) -> bool:
    return isinstance(value, str) and value.strip() != ""


def _matches(pattern: Any, value: object) -> bool:
    return isinstance(value, str) and pattern.fullmatch(value) is not None


def _is_hash(value: object) -> bool:
    return isinstance(value, str) and _HASH.fullmatch(value) is not None


def _is_time(value: object) -> bool:
    """RFC 3339 in UTC with a capital T and Z; a fraction of 1 to 6 digits is allowed."""
    if not isinstance(value, str) or not _TIME.fullmatch(value):
        return False
    if value[8:10] < "29":
        return True  # a day that every month has
    try:
        datetime.fromisoformat(value[:19])
    except ValueError:
        return False
    return True


def _doubled(text: str) -> str:
    """The first field that stands twice in one object, or nothing."""
    doubles: list[str] = []

    def note(pairs: list[tuple[str, object]]) -> dict[str, object]:
        seen = dict(pairs)
        if len(seen) < len(pairs):
            names = [name for name, _ in pairs]
            doubles.append(next(name for name in names if names.count(name) > 1))
        return seen

    json.loads(text, object_pairs_hook=note)
    return doubles[0] if doubles else ""

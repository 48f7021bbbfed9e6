"""Reading a log: every whole line to an entry, everything else to a fault. Nothing is changed."""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

from sparkout.faults import Fault, Place
from sparkout.job.bodies import KINDS, Unread
from sparkout.job.border import nearest, read_body, shown
from sparkout.job.canonical import FORM, canonical, digest
from sparkout.job.entry import DEVICE, ID, Entry
from sparkout.job.lock import BusyError, locked

__all__ = [
    "ENVELOPE",
    "HASH_FIELD_LENGTH",
    "entry_of_line",
    "is_whole",
    "read_log",
    "settled",
    "torn",
]

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
_TORN = (
    "The rest of the log is sound. The next write will ask you to set the torn line aside first."
)


def read_log(
    source: str | os.PathLike[str] | bytes, file: str = ""
) -> tuple[tuple[Entry, ...], tuple[Fault, ...]]:
    """All entries of a log that can be read, in the order they stand, and every fault.

    source: the path of the log, or its bytes (then `file` is the name for the faults). A last
    line without its line end counts if it is whole and its hash is right; else it is torn, is
    reported and left where it is (`set_aside` moves it).
    Raises OSError where the file cannot be opened at all.
    """
    if isinstance(source, bytes):
        data = source
    else:
        path = Path(source)
        data, file = settled(path), file or path.name
    lines = data.removeprefix(b"\xef\xbb\xbf").split(b"\n")
    tail = lines.pop()
    entries: list[Entry] = []
    faults: list[Fault] = []
    for at, line in enumerate(lines, start=1):
        if line.strip():
            entry, wrong = entry_of_line(line, Place(file, at))
            if entry is not None:
                entries.append(entry)
            if wrong:
                faults.extend(wrong)
    if tail.strip():
        here = Place(file, len(lines) + 1)
        if is_whole(tail):
            entry, wrong = entry_of_line(tail, here)
            faults.extend(wrong)
            if entry is not None:
                entries.append(entry)
            faults.append(
                Fault(here, "no line end after the last entry", "a line end", stops=False)
            )
        else:
            faults.append(torn(here, tail))
    return tuple(entries), tuple(faults)


def settled(path: Path) -> bytes:
    """The bytes of the log; where the end looks torn, once more when nobody is writing."""
    with path.open("rb") as log:
        data = log.read()
        if data and not data.endswith(b"\n"):
            with contextlib.suppress(BusyError, OSError), locked(log.fileno(), path, 2.0):
                log.seek(0)
                data = log.read()
    return data


def torn(here: Place, tail: bytes) -> Fault:
    """The fault of a last line that a crash or a full disk cut short."""
    start = tail[:40].decode("utf-8", "backslashreplace")
    return Fault(
        here,
        f"a torn last line of {len(tail)} bytes ({shown(start)} …)",
        "a whole entry and a line end",
        _TORN,
        stops=False,
    )


def is_whole(line: bytes) -> bool:
    """True for a whole entry whose hash is right."""
    entry, _ = entry_of_line(line, Place())
    return entry is not None and digest(entry.text) == entry.hash


def entry_of_line(line: bytes, place: Place) -> tuple[Entry | None, tuple[Fault, ...]]:
    """The entry on one line, with its faults.

    An envelope that cannot be trusted gives no entry. A body that cannot be read gives an entry
    with an `Unread` body and the faults why: its text is still a link of the chain.
    """
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

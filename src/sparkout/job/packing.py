"""The members of a job as one file: deterministic to write, suspicious to read.

The file is a plain ZIP, stored without compression, its members sorted, every time and mode fixed:
the same members give the same bytes on every machine. What comes in is not trusted: names outside
a short list, links, encryption, doubled names, sizes beyond the bounds and content that is not
what the list of contents says are all refused, and nothing is unpacked to the disk here.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping

from sparkout.faults import Fault, Place
from sparkout.job.border import shown
from sparkout.job.folder import PHOTO

__all__ = ["LARGEST", "MOST_MEMBERS", "NEEDED", "pack", "unpack"]

LARGEST = 1 << 30
"""Bytes in one job, unpacked: 1 GiB, room for some hundred pictures."""
MOST_MEMBERS = 20_000
_RATIO = 200  # a stored member has ratio 1; a log packed by hand reaches about 20
_CONTENTS = "contents.json"
_NAME = re.compile(
    rf"engine\.yaml|shop\.yaml|log\.jsonl(?:\.torn-[1-9][0-9]{{0,5}})?|photos/{PHOTO.pattern}"
)
NEEDED = ("engine.yaml", "shop.yaml", "log.jsonl")
"""What no job is without."""
# What `zipfile` and the modules under it raise on damaged bytes.
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    ValueError,
    NotImplementedError,
    RuntimeError,
    OSError,
)


def pack(members: Mapping[str, bytes]) -> bytes:
    """The one file for these members: the same members always give the same bytes.

    Raises ValueError for a name that does not belong in a job.
    """
    for name in members:
        if not _NAME.fullmatch(name):
            raise ValueError(f"{name} does not belong in a job file")
    listed = {name: hashlib.sha256(members[name]).hexdigest() for name in sorted(members)}
    contents = json.dumps({"files": listed, "form": 1}, indent=1, sort_keys=True) + "\n"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name, data in [(_CONTENTS, contents.encode()), *sorted(members.items())]:
            info = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            info.create_system = 3
            info.external_attr = 0o100644 << 16
            archive.writestr(info, data)
    return out.getvalue()


def unpack(
    data: bytes, file: str = "", *, largest: int = LARGEST
) -> tuple[Mapping[str, bytes] | None, tuple[Fault, ...]]:
    """The members of a job file, or every reason why it is not taken."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            faults = tuple(_refused(archive, file, largest))
            if faults:
                return None, faults
            members = {info.filename: archive.read(info) for info in archive.infolist()}
    except _DAMAGED as error:
        fault = Fault(Place(file), f"a file that cannot be unpacked ({error})", "a job file")
        return None, (fault,)
    contents = members.pop(_CONTENTS)
    faults = tuple(_unlisted(contents, members, file))
    return (None, faults) if faults else (members, ())


def _refused(archive: zipfile.ZipFile, file: str, largest: int) -> Iterator[Fault]:
    """Every reason not to unpack this, from its directory alone."""
    members = archive.infolist()
    if len(members) > MOST_MEMBERS:
        yield Fault(Place(file), f"{len(members)} members", f"at most {MOST_MEMBERS}")
        return
    total = sum(info.file_size for info in members)
    if total > largest:
        yield Fault(Place(file), f"{total} bytes when unpacked", f"at most {largest}")
    seen: set[str] = set()
    for info in members:
        here = Place(file, key=shown(info.filename))
        if info.filename != _CONTENTS and not _NAME.fullmatch(info.filename):
            yield Fault(
                here,
                "a name that does not belong in a job file",
                "engine.yaml, shop.yaml, log.jsonl, log.jsonl.torn-<n> or photos/<sha256>",
            )
        if info.filename in seen:
            yield Fault(here, "the name twice", "each name once")
        seen.add(info.filename)
        if info.flag_bits & 0x1:
            yield Fault(here, "an encrypted member", "plain members")
        if info.external_attr >> 16 & 0o170000 not in (0, 0o100000):
            yield Fault(here, "a link or device", "a plain file")
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            yield Fault(here, f"compression {info.compress_type}", "none, or deflate")
        if info.file_size > _RATIO * max(info.compress_size, 64):
            packed = f"{info.compress_size} bytes that unpack to {info.file_size}"
            yield Fault(here, packed, f"at most {_RATIO} times as many")
    for name in (_CONTENTS, *NEEDED):
        if name not in seen:
            yield Fault(Place(file), f"no {name}", "a job file with all its members")


def _unlisted(contents: bytes, members: Mapping[str, bytes], file: str) -> Iterator[Fault]:
    """Every member that is not what the list of contents says."""
    here = Place(file, key=_CONTENTS)
    try:
        said = json.loads(contents)
        form, listed = said["form"], dict(said["files"])
    except (ValueError, KeyError, TypeError, RecursionError):
        yield Fault(here, "a list of contents that cannot be read", "the one the export wrote")
        return
    if form != 1:
        yield Fault(here, f"form {shown(form)}", "form 1", "Read it with a newer release.")
        return
    for name in sorted({*listed, *members}):
        if name not in members:
            yield Fault(Place(file, key=shown(name)), "no such member", "every member of the list")
        elif hashlib.sha256(members[name]).hexdigest() != listed.get(name):
            yield Fault(Place(file, key=name), "other content than listed", "what was exported")
    for name, data in members.items():
        folder, _, base = name.rpartition("/")
        if folder and hashlib.sha256(data).hexdigest() != base:
            yield Fault(Place(file, key=name), "a picture under a wrong name", "its SHA-256")

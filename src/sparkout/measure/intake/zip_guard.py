"""Before a spreadsheet is unpacked: is it a zip that may be?

Spreadsheets are zip files, and the reader sets no bound of its own. Everything here is decided
from the directory of the archive; nothing is unpacked.
"""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Iterator

from sparkout.faults import Fault, Place

__all__ = ["LARGEST", "MOST_MEMBERS", "UNPACKED", "check_zip"]

LARGEST = 20_000_000
"""Bytes in one spreadsheet as it comes."""
UNPACKED = 50_000_000
"""Bytes in it when unpacked, all members together."""
MOST_MEMBERS = 200
_RATIO = 100
_SMALL = 1_000_000  # a member below this may be packed as tightly as it likes


def check_zip(data: bytes, file: str) -> tuple[Fault, ...]:
    """Every reason not to unpack a spreadsheet.

    data: the bytes of the file [-].
    file: its name, for the faults [-].
    Returns the faults [-], none for a file that may be read.
    Holds for zip files; the bounds are our own (200 members, 50 MB, ratio 100).
    Source: APPNOTE.TXT 6.3.10, 4.3 and 4.4, for the layout.

    >>> check_zip(b"no zip", "a.xlsx")[0].expected
    'a spreadsheet (.xlsx or .ods)'
    """
    if len(data) > LARGEST:
        return (Fault(Place(file), f"{len(data)} bytes", f"at most {LARGEST}"),)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return tuple(_refused(archive.infolist(), file))
    except (zipfile.BadZipFile, struct.error, ValueError, OSError, NotImplementedError) as error:
        found = f"a damaged or foreign file ({error})"
        return (Fault(Place(file), found, "a spreadsheet (.xlsx or .ods)"),)


def _refused(members: list[zipfile.ZipInfo], file: str) -> Iterator[Fault]:
    place = Place(file)
    if len(members) > MOST_MEMBERS:
        yield Fault(place, f"{len(members)} members", f"at most {MOST_MEMBERS}")
        return
    total = sum(info.file_size for info in members)
    if total > UNPACKED:
        yield Fault(place, f"{total} bytes when unpacked", f"at most {UNPACKED}")
    for info in members:
        here = place._replace(key=ascii(info.filename)[:80])
        if info.flag_bits & 0x1:
            yield Fault(here, "an encrypted member", "a spreadsheet without a password")
        if ".." in info.filename.replace("\\", "/").split("/") or info.filename.startswith("/"):
            yield Fault(here, "a name that leaves the archive", "plain member names")
        if info.file_size > max(_SMALL, _RATIO * info.compress_size):
            packed = f"{info.compress_size} bytes that unpack to {info.file_size}"
            yield Fault(here, packed, f"at most {_RATIO} times as many")

"""Which characters the bundled fonts can print, and what is printed for those they cannot."""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterable
from functools import cache
from pathlib import Path

__all__ = ["FONTS", "covered", "printable"]

FONTS = Path(__file__).parents[1] / "fonts"

# Invisible characters that shape words rightly; every other one of their kind could reorder or hide
# what is printed, so it is shown.
_INVISIBLE = frozenset("\u00ad\u200b\u200c\u200d\u2060")
_SPACES = frozenset("\n\t")


def _format_4(table: bytes) -> set[int]:
    """Characters of a segment map (OpenType 1.9, cmap format 4)."""
    (twice,) = struct.unpack_from(">H", table, 6)
    count = twice // 2
    ends = struct.unpack_from(f">{count}H", table, 14)
    starts = struct.unpack_from(f">{count}H", table, 16 + twice)
    deltas = struct.unpack_from(f">{count}h", table, 16 + 2 * twice)
    offsets_at = 16 + 3 * twice
    offsets = struct.unpack_from(f">{count}H", table, offsets_at)
    found = set()
    for k, (start, end) in enumerate(zip(starts, ends, strict=True)):
        for code in range(start, end + 1):
            if offsets[k] == 0:
                glyph = (code + deltas[k]) & 0xFFFF
            else:
                place = offsets_at + 2 * k + offsets[k] + 2 * (code - start)
                (glyph,) = struct.unpack_from(">H", table, place)
            if glyph and code != 0xFFFF:
                found.add(code)
    return found


def _format_12(table: bytes) -> set[int]:
    """Characters of a segmented coverage map (OpenType 1.9, cmap format 12)."""
    (groups,) = struct.unpack_from(">I", table, 12)
    found: set[int] = set()
    for k in range(groups):
        start, end, glyph = struct.unpack_from(">III", table, 16 + 12 * k)
        found.update(range(start + (glyph == 0), end + 1))
    return found


def _cmap(font: bytes) -> set[int]:
    """Every character that a font file has a glyph for."""
    (tables,) = struct.unpack_from(">H", font, 4)
    for k in range(tables):
        tag, _, offset, _ = struct.unpack_from(">4sIII", font, 12 + 16 * k)
        if tag == b"cmap":
            break
    else:
        return set()
    (subtables,) = struct.unpack_from(">H", font, offset + 2)
    found: set[int] = set()
    for k in range(subtables):
        _, _, at = struct.unpack_from(">HHI", font, offset + 4 + 8 * k)
        table = font[offset + at :]
        (form,) = struct.unpack_from(">H", table, 0)
        if form == 4:
            found |= _format_4(table)
        elif form == 12:
            found |= _format_12(table)
    return found


@cache
def covered(folder: Path) -> frozenset[int]:
    """Characters that at least one font file (.ttf, .otf) of a folder can print."""
    found: set[int] = set()
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() in {".ttf", ".otf"}:
            found |= _cmap(path.read_bytes())
    return frozenset(found)


def _can(char: str, known: Iterable[frozenset[int]]) -> bool:
    if char in _SPACES or char in _INVISIBLE:
        return True
    # Controls, direction marks, lone surrogates, private and unassigned characters.
    if unicodedata.category(char).startswith("C"):
        return False
    return any(ord(char) in codes for codes in known)


def printable(text: str, folders: tuple[Path, ...] = (FONTS,)) -> tuple[str, bool]:
    """The text with every character that cannot be printed as its code, ‹U+6E2C›, and whether
    there was one. Nothing is ever left out or printed as an empty box."""
    if text.isascii() and text.isprintable():
        return text, False
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    known = [covered(folder) for folder in folders]
    # Each different character is looked up once: drawings are long and use few.
    lacking = {ord(char): f"‹U+{ord(char):04X}›" for char in set(text) if not _can(char, known)}
    return text.translate(lacking), bool(lacking)

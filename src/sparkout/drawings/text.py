"""How wide a text will be, and how to break it: nothing drawn here may run over its edge."""

from __future__ import annotations

import unicodedata

__all__ = ["clip", "shrink", "width", "wrap"]

# Advance widths of the printable ASCII characters in the bundled face (Noto Sans 2.015), in
# thousandths of the size; a test holds them against the font file.
_REGULAR = (
    260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372,
    572, 572, 572, 572, 572, 572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434,
    899, 639, 650, 632, 730, 556, 519, 728, 741, 339, 273, 619, 524, 907, 760, 781,
    605, 781, 622, 549, 556, 731, 600, 930, 586, 566, 572, 329, 372, 329, 572, 444,
    281, 561, 615, 480, 615, 564, 344, 615, 618, 258, 258, 534, 258, 935, 618, 605,
    615, 615, 413, 479, 361, 618, 508, 786, 529, 510, 470, 380, 551, 380, 572,
)  # fmt: skip
_BOLD = (
    260, 282, 479, 646, 572, 902, 750, 266, 339, 339, 542, 572, 285, 320, 281, 415,
    572, 572, 572, 572, 572, 572, 572, 572, 572, 572, 281, 285, 572, 572, 572, 477,
    898, 692, 665, 642, 732, 560, 549, 724, 765, 389, 331, 664, 559, 943, 813, 791,
    621, 791, 656, 551, 577, 756, 650, 967, 670, 626, 579, 331, 415, 331, 572, 411,
    365, 599, 632, 516, 632, 597, 387, 632, 650, 299, 298, 620, 298, 975, 650, 625,
    632, 632, 447, 502, 434, 650, 571, 856, 578, 571, 493, 394, 551, 394, 572,
)  # fmt: skip
# A screen may show a wider face than ours. The widest common one is about this much wider.
_SLACK = 1.12


def _advance(char: str, bold: bool) -> int:
    code = ord(char)
    if 32 <= code <= 126:
        return (_BOLD if bold else _REGULAR)[code - 32]
    if unicodedata.combining(char):
        return 0
    if unicodedata.east_asian_width(char) in "WF" or char in "—―":
        return 1000
    # The widest everyday letters beyond ASCII are about this wide: Щ, Æ, Œ; æ, œ, ы.
    return 960 if char.isupper() else 840


def width(text: str, size: float = 11, bold: bool = False) -> float:
    """Width of one line, estimated on the safe (wide) side."""
    return sum(_advance(char, bold) for char in text) / 1000 * size * _SLACK


def clip(text: str, room: float, size: float = 11, bold: bool = False) -> str:
    """The text, or its beginning and an ellipsis where there is no room for all of it."""
    if width(text, size, bold) <= room:
        return text
    kept = text
    while kept and width(kept + "…", size, bold) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def shrink(text: str, room: float, size: float = 11, least: float = 5, bold: bool = False) -> float:
    """The largest size up to `size` at which the text fits: numbers are never cut, only smaller."""
    needed = width(text, 1, bold)
    return size if needed <= 0 else max(least, min(size, room / needed))


def _split_long(word: str, room: float, size: float, bold: bool) -> list[str]:
    parts, part = [], ""
    for char in word:
        if part and width(part + char, size, bold) > room:
            parts.append(part)
            part = ""
        part += char
    return [*parts, part]


def wrap(
    text: str, room: float, size: float = 11, bold: bool = False, lines: int = 2
) -> tuple[str, ...]:
    """The text broken into at most `lines` lines of the given width; the last may be cut."""
    words = [part for word in text.split() for part in _split_long(word, room, size, bold) if part]
    made: list[str] = []
    for word in words:
        if made and width(f"{made[-1]} {word}", size, bold) <= room:
            made[-1] = f"{made[-1]} {word}"
        else:
            made.append(word)
    if len(made) > lines:
        made = [*made[: lines - 1], clip(" ".join(made[lines - 1 :]), room, size, bold)]
    return tuple(made)

"""Colours that survive colour blindness, a grey printer and a dark screen.

The verdict colours are told apart by brightness as well as hue, and never stand alone: a shape
and a word always go with them.
"""

from __future__ import annotations

from enum import StrEnum

__all__ = [
    "BLUE",
    "GREY",
    "METAL",
    "ORANGE",
    "VERMILION",
    "Verdict",
    "colour_of",
    "contrast",
    "diverging",
    "on",
]


class Verdict(StrEnum):
    """What a picture can say about one thing; the value is the word that is printed."""

    OK = "OK"
    OUT = "OUT"
    CHECK = "CHECK"
    NOT_MEASURED = "NOT MEASURED"
    STALE = "STALE"


BLUE = "#0072B2"
VERMILION = "#B34700"
ORANGE = "#E69F00"
GREY = "#5A5A5A"
METAL = "currentColor"  # solid parts: the ink, very thin

_VERDICT = {
    Verdict.OK: BLUE,
    Verdict.OUT: VERMILION,
    Verdict.CHECK: ORANGE,
    Verdict.NOT_MEASURED: GREY,
    Verdict.STALE: GREY,
}
_ABOVE = ((255, 255, 255), (250, 199, 150), (179, 71, 0))
_BELOW = ((255, 255, 255), (163, 206, 235), (0, 92, 150))


def colour_of(verdict: Verdict) -> str:
    return _VERDICT[verdict]


def _channels(colour: str) -> tuple[int, int, int]:
    return (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))


def _luminance(colour: str) -> float:
    # Relative luminance as defined in WCAG 2.1.
    parts = []
    for channel in _channels(colour):
        share = channel / 255
        parts.append(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4)
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.1, success criterion 1.4.3)."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def on(background: str) -> str:
    """Black or white, whichever is easier to read on the background."""
    return max(("#000000", "#FFFFFF"), key=lambda ink: contrast(ink, background))


def diverging(share: float) -> str:
    """White at 0, dark vermilion at +1, dark blue at −1: further from 0 is always darker."""
    stops = _ABOVE if share >= 0 else _BELOW
    place = min(1.0, abs(share)) * 2
    first = min(1, int(place))
    part = place - first
    mixed = (round(a + (b - a) * part) for a, b in zip(stops[first], stops[first + 1], strict=True))
    return "#" + "".join(f"{channel:02X}" for channel in mixed)

"""Sizes of metric and unified threads from their standard formulas."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["Thread", "metric_thread", "thread_of", "unified_thread"]

_INCH = 25.4
# Depths per pitch of the 60-degree basic profile, H = (sqrt(3)/2) P (ISO 68-1).
_HEIGHT = math.sqrt(3.0) / 2.0
_PITCH_DIAMETER = 2.0 * 3.0 / 8.0 * _HEIGHT  # d2 = d - 0.6495 P
_ROOT = 2.0 * (5.0 / 8.0 + 1.0 / 12.0) * _HEIGHT  # d3 = d - 1.2269 P, root rounded at H/6

_COARSE = {
    3: 0.5, 4: 0.7, 5: 0.8, 6: 1.0, 7: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0, 16: 2.0, 18: 2.5,
    20: 2.5, 22: 2.5, 24: 3.0, 27: 3.0, 30: 3.5, 33: 3.5, 36: 4.0,
}  # fmt: skip
"""Coarse pitches [mm] (ISO 261:1998)."""

_UNC = {
    "#10": 24, "#12": 24, "1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14, "1/2": 13, "9/16": 12,
    "5/8": 11, "3/4": 10, "7/8": 9, "1": 8,
}  # fmt: skip
_UNF = {
    "#10": 32, "#12": 28, "1/4": 28, "5/16": 24, "3/8": 24, "7/16": 20, "1/2": 20, "9/16": 18,
    "5/8": 18, "3/4": 16, "7/8": 14, "1": 12,
}  # fmt: skip
"""Threads per inch (ASME B1.1)."""

_METRIC_NAME = re.compile(r"M(\d+(?:\.\d+)?)(?:x(\d+(?:\.\d+)?))?")
_UNIFIED_NAME = re.compile(r"(#\d+|\d+/\d+|\d+)(?:-(\d+))?(?:\s*(UNC|UNF))?")


class Thread(NamedTuple):
    """A single-start 60-degree thread; all sizes in mm, the area in mm²."""

    name: str
    major: float
    pitch: float
    pitch_diameter: float
    root_diameter: float
    stress_area: float

    @property
    def stress_diameter(self) -> float:
        """Diameter of a round bar of the stress area [mm]."""
        return math.sqrt(4.0 * self.stress_area / math.pi)


def thread_of(major: float, pitch: float, name: str = "", inch: bool = False) -> Thread:
    """Thread of any diameter and pitch with the 60-degree basic profile.

    d2 = d − 0.64952 P; d3 = d − 1.22687 P; metric As = π ÷ 4 × ((d2 + d3) ÷ 2)²; inch threads
    As = π ÷ 4 × (d − 0.9743 P)².

    major: nominal diameter [mm], above zero.
    pitch: distance of neighbouring threads [mm], above zero, below a third of the diameter.
    name: what to call it [-].
    inch: whether the stress area follows the inch standard [-].
    Returns the thread's sizes [mm] and stress area [mm²].
    Holds for single-start external threads of standard profile.
    Source: ISO 68-1, ISO 724 and ISO 898-1 (metric); ASME B1.1 (inch).
    Raises ValueError naming the number when one is out of range.

    >>> round(thread_of(10.0, 1.5).stress_area, 1)
    58.0
    """
    _bounds.above("major diameter", major, 0.0, "mm")
    _bounds.above("pitch", pitch, 0.0, "mm")
    _bounds.below("pitch", pitch, major / 3.0, "mm")
    pitch_diameter = major - _PITCH_DIAMETER * pitch
    root = major - _ROOT * pitch
    across = major - 0.9743 * pitch if inch else (pitch_diameter + root) / 2.0
    return Thread(name, major, pitch, pitch_diameter, root, math.pi / 4.0 * across**2)


def metric_thread(name: str) -> Thread:
    """Metric ISO thread by its name; without a pitch the coarse one is meant.

    Sizes as `thread_of`.

    name: such as M10, M10x1.25 or M12×1.5 [-].
    Returns the thread's sizes [mm] and stress area [mm²].
    Holds for M3 to M36 without a pitch, and for any diameter with one.
    Source: ISO 261 (pitches), ISO 724 (diameters), ISO 898-1 (stress area).
    Raises ValueError for a name that cannot be read or a diameter with no coarse pitch known.

    >>> t = metric_thread("M10x1.25"); round(t.pitch_diameter, 3), round(t.stress_area, 1)
    (9.188, 61.2)
    """
    match = _METRIC_NAME.fullmatch(name.strip().replace("×", "x").replace(" ", ""))
    if match is None:
        raise ValueError(f"thread is {name!r}; it has to look like M10 or M10x1.25")
    major = float(match[1])
    if match[2] is not None:
        return thread_of(major, float(match[2]), name)
    if major not in _COARSE:
        raise ValueError(f"thread is {name!r}, which has no coarse pitch here; write it: {name}x…")
    return thread_of(major, _COARSE[int(major)], name)


def unified_thread(name: str) -> Thread:
    """Unified inch thread by its name, such as 3/8-24 UNF, 7/16 UNC or #10-24.

    Sizes as `thread_of`; a numbered size n is 0.060 + 0.013 n inch.

    name: size, threads per inch and series, one of the last two may be left out [-].
    Returns the thread's sizes [mm] and stress area [mm²].
    Holds for #10 to 1 inch with a series, and for any size with threads per inch.
    Source: ASME B1.1 (recalled from memory).
    Raises ValueError for a name that cannot be read, or threads per inch not of the series named.

    >>> round(unified_thread("3/4-16 UNF").stress_area / 25.4**2, 3)
    0.373
    """
    match = _UNIFIED_NAME.fullmatch(name.strip().upper())
    if match is None or (match[2] is None and match[3] is None):
        raise ValueError(
            f"thread is {name!r}; it has to give size and threads per inch or series: 3/8-24 UNF"
        )
    size, written, series = match[1], match[2], match[3]
    table = {"UNC": _UNC, "UNF": _UNF}.get(series or "")
    if table is not None and size not in table:
        raise ValueError(f"thread is {name!r}; {series} sizes here are: {', '.join(table)}")
    if table is not None and written is not None and int(written) != table[size]:
        raise ValueError(
            f"thread is {name!r}; {size} {series} has {table[size]} threads per inch, not {written}"
        )
    per_inch = int(written) if written is not None else (table or {})[size]
    _bounds.above("threads per inch", per_inch, 0.0)
    if size.startswith("#"):
        major = 0.060 + 0.013 * int(size[1:])
    else:
        top, _, bottom = size.partition("/")
        major = int(top) / (int(bottom) if bottom else 1)
    return thread_of(major * _INCH, _INCH / per_inch, name, inch=True)

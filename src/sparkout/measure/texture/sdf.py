"""Surface data files of ISO 25178-71 in their text form: maps and, with one row, traces.

A header of named values, the heights and a closing part, each ended by a line with an asterisk.
Lengths are in metres; a height is its number times Zscale; BAD marks a point not seen.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.faults import Fault, Place
from sparkout.measure.texture.surface_map import SurfaceMap

__all__ = ["map_from_sdf"]

_MAGIC = ("aISO-1.0", "aISO-2.0", "aBCR-1.0")
_WHOLE = ("NumPoints", "NumProfiles")
_SCALES = ("Xscale", "Yscale", "Zscale")
_ZERO = ("Compression", "CheckType")
# A 200-million-point file is no trace of a bore; it would only fill the memory.
_MOST_POINTS = 20_000_000


class _Header(NamedTuple):
    points: int
    rows: int
    x: float
    y: float
    z: float


def _fields(lines: list[str], file: str) -> tuple[dict[str, tuple[int, str]], list[Fault]]:
    found: dict[str, tuple[int, str]] = {}
    faults = []
    for number, line in enumerate(lines, 2):
        text = line.split(";", 1)[0].strip()  # a semicolon begins a remark
        if not text:
            continue
        name, equals, value = text.partition("=")
        if equals:
            found[name.strip().lower()] = (number, value.strip())
        else:
            faults.append(
                Fault(Place(file, number), repr(text[:60]), "a line such as: Xscale = 1E-6")
            )
    return found, faults


def _positive(
    found: dict[str, tuple[int, str]], name: str, whole: bool, file: str
) -> tuple[float, list[Fault]]:
    wanted = "a whole number above zero" if whole else "a length in metres above zero"
    if name.lower() not in found:
        return 0.0, [Fault(Place(file, key=name), "no such line in the header", wanted)]
    line, text = found[name.lower()]
    try:
        value = float(int(text)) if whole else float(text)
    except ValueError:
        value = math.nan
    if math.isfinite(value) and value > 0.0:
        return value, []
    return 0.0, [Fault(Place(file, line, key=name), repr(text[:40]), wanted)]


def _header(lines: list[str], file: str) -> tuple[_Header | None, list[Fault]]:
    found, faults = _fields(lines, file)
    values: dict[str, float] = {}
    for name in (*_WHOLE, *_SCALES):
        # With one row there is nothing between rows, and writers put zero there.
        if name == "Yscale" and values.get("NumProfiles") == 1.0:
            values[name] = 0.0
            continue
        values[name], wrong = _positive(found, name, name in _WHOLE, file)
        faults.extend(wrong)
    for name in _ZERO:
        line, text = found.get(name.lower(), (None, "0"))
        if text != "0":
            faults.append(
                Fault(
                    Place(file, line, key=name),
                    text[:40],
                    "0",
                    "Export the surface without compression and checksum.",
                )
            )
    if not faults and values["NumPoints"] * values["NumProfiles"] > _MOST_POINTS:
        faults.append(
            Fault(
                Place(file, key="NumPoints"),
                f"{values['NumPoints']:.0f} × {values['NumProfiles']:.0f} points",
                f"{_MOST_POINTS} points at most",
                "Export a smaller part of the surface.",
            )
        )
    if faults:
        return None, faults
    return (
        _Header(
            int(values["NumPoints"]),
            int(values["NumProfiles"]),
            values["Xscale"],
            values["Yscale"],
            values["Zscale"],
        ),
        [],
    )


def _heights(
    lines: list[str], first: int, scale_um: float, file: str
) -> tuple[list[float | None], list[Fault]]:
    values: list[float | None] = []
    faults: list[Fault] = []
    for number, line in enumerate(lines, first):
        for word in line.split(";", 1)[0].split():
            if word.upper() == "BAD":
                values.append(None)
                continue
            try:
                value = float(word)
            except ValueError:
                value = math.nan
            if not math.isfinite(value):
                faults.append(Fault(Place(file, number), repr(word[:40]), "a number or BAD"))
            values.append(value * scale_um)
    return values, faults[:20]


def map_from_sdf(text: str, file: str = "") -> tuple[SurfaceMap | None, tuple[Fault, ...]]:
    """A surface map from the text of a surface data file.

    height = number * Zscale, steps = Xscale and Yscale, all turned from metres to µm and mm.

    text: content of the file [-], the text form with the marks aISO-1.0, aISO-2.0 or aBCR-1.0.
    file: its name, for faults [-].
    Returns the map, or nothing with the faults, each with its line [-].
    Holds for files without compression and checksum; a file of one row is a trace (row_profile).
    Source: ISO 25178-71:2012 and 2017, SDF format.

    >>> head = "aISO-1.0\\nNumPoints = 2\\nNumProfiles = 1\\nXscale = 1E-6\\nYscale = 0\\n"
    >>> map_from_sdf(head + "Zscale = 1E-6\\n*\\n0.5 BAD\\n*\\n*\\n")[0].heights_um
    ((0.5, None),)
    """
    lines = text.splitlines()
    mark = lines[0].strip() if lines else ""
    if mark not in _MAGIC:
        remedy = "Export the text form." if mark[1:4] in ("ISO", "BCR") else "Choose another file."
        return None, (
            Fault(Place(file, 1), repr(mark[:20]), "one of " + ", ".join(_MAGIC), remedy),
        )
    ends = [i for i, line in enumerate(lines) if line.strip() == "*"]
    if len(ends) < 2:
        return None, (
            Fault(
                Place(file, len(lines)),
                f"{len(ends)} line(s) with an asterisk",
                "one after the header and one after the heights",
                "The file is cut short: export or copy it again.",
            ),
        )
    header, faults = _header(lines[1 : ends[0]], file)
    if header is None:
        return None, tuple(faults)
    values, faults = _heights(lines[ends[0] + 1 : ends[1]], ends[0] + 2, header.z * 1e6, file)
    if not faults and len(values) != header.points * header.rows:
        faults.append(
            Fault(
                Place(file, ends[1] + 1),
                f"{len(values)} heights",
                f"{header.points * header.rows}: {header.points} points in {header.rows} row(s)",
                "The file is cut short or damaged: export or copy it again.",
            )
        )
    if faults:
        return None, tuple(faults)
    n = header.points
    rows = tuple(tuple(values[n * k : n * (k + 1)]) for k in range(header.rows))
    return SurfaceMap(header.x * 1e3, header.y * 1e3, rows), ()

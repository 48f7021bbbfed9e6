"""A surface trace from plain text: two columns, the units in the header.

    x [mm]; z [µm]
    0,0000; 0,412
    0,0005; 0,398

Comma, semicolon or tab between the columns; a decimal comma only where no comma parts them. Lines
that start with # are notes.
"""

from __future__ import annotations

import math
import re

from sparkout.faults import Fault, Place
from sparkout.measure.texture.profile import Profile

__all__ = ["trace_from_csv"]

# Lengths in mm and in µm; 25.4 mm is an inch by definition.
_TO_MM = {
    "m": 1e3,
    "mm": 1.0,
    "µm": 1e-3,
    "um": 1e-3,
    "nm": 1e-6,
    "in": 25.4,
    "µin": 25.4e-6,
    "uin": 25.4e-6,
}
_HEADER = re.compile(
    r"^\s*\"?([xz])\"?[\s_]*[\[(/]?\s*(m|mm|[µμu]m|nm|in|[µμu]in)\s*[\])]?\"?\s*$", re.I
)
_EXPECTED = "two columns named x and z with their units, as in: x [mm],z [µm]"
# After this many faults of one kind the rest of the file tells nothing new.
_MOST = 20
# Steps may differ by this share of their mean: beyond it filtering would be wrong, not just rough.
_UNEVEN = 0.01


def _split(line: str) -> tuple[list[str], str]:
    for separator in (";", "\t", ","):
        if separator in line:
            return line.split(separator), separator
    return [line], ""


def _units(header: str) -> tuple[str, float, float] | None:
    """Separator and factors of the x and z columns, or nothing when the header is not one."""
    cells, separator = _split(header)
    found = [_HEADER.match(cell) for cell in cells]
    if len(found) != 2 or found[0] is None or found[1] is None:
        return None
    if (found[0][1].lower(), found[1][1].lower()) != ("x", "z"):
        return None
    x, z = (_TO_MM[m[2].lower().replace("μ", "µ")] for m in found if m is not None)
    return separator, x, z


def _number(text: str, separator: str, factor: float) -> float | None:
    text = text.strip()
    if separator != ",":
        text = text.replace(",", ".")
    try:
        value = float(text) * factor
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _spacing(
    xs: list[float], lines: list[int], file: str
) -> tuple[float | None, tuple[Fault, ...]]:
    step = (xs[-1] - xs[0]) / (len(xs) - 1)
    if not step > 0.0:
        return None, (
            Fault(Place(file, lines[-1]), "x that does not grow", "x growing from line to line"),
        )
    faults = [
        Fault(
            Place(file, lines[i], key="x"),
            f"a step of {xs[i] - xs[i - 1]:g} mm",
            f"even steps, here {step:g} mm",
            "A line may be missing or doubled; export the trace again.",
        )
        for i in range(1, len(xs))
        if abs(xs[i] - xs[i - 1] - step) > _UNEVEN * step
    ]
    return step, tuple(faults[:_MOST])


def trace_from_csv(text: str, file: str = "") -> tuple[Profile | None, tuple[Fault, ...]]:
    """A surface trace from the text of a two-column file.

    x in even steps, z the height; units from the header, turned into mm and µm.

    text: content of the file [-].
    file: its name, for faults [-].
    Returns the trace, or nothing with a fault for each line that is wrong [-].
    Holds for steps that differ by no more than one per cent.
    Source: format of this project; 1 in = 25.4 mm exactly (international inch).

    >>> trace_from_csv("x [mm],z [µm]\\n0,1.5\\n0.001,2\\n0.002,1")[0]
    Profile(spacing=0.001, heights_um=(1.5, 2.0, 1.0))
    """
    body = [
        (number, line)
        for number, line in enumerate(text.lstrip("\ufeff").splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not body:
        return None, (Fault(Place(file), "an empty file", _EXPECTED, "Export the trace again."),)
    units = _units(body[0][1])
    if units is None:
        return None, (
            Fault(
                Place(file, body[0][0]),
                f"the header {body[0][1].strip()[:60]!r}",
                _EXPECTED,
                "Write the names and units into the first line.",
            ),
        )
    separator, to_mm, z_to_mm = units
    xs: list[float] = []
    zs: list[float] = []
    lines: list[int] = []
    faults: list[Fault] = []
    for number, line in body[1:]:
        cells = line.split(separator)
        x = z = None
        if len(cells) == 2:
            x = _number(cells[0], separator, to_mm)
            z = _number(cells[1], separator, z_to_mm * 1e3)
        if x is None or z is None:
            faults.append(
                Fault(
                    Place(file, number),
                    repr(line.strip()[:60]),
                    f"two numbers parted by {separator!r}",
                    "Correct the line, or export the trace again.",
                )
            )
            continue
        xs.append(x)
        zs.append(z)
        lines.append(number)
    if len(faults) > _MOST:
        rest = len(faults) - _MOST
        faults = faults[:_MOST]
        faults.append(Fault(Place(file), f"{rest} more lines like these", "two numbers a line"))
    if not faults and len(xs) < 2:
        faults.append(Fault(Place(file), f"{len(xs)} points", "two points or more", "Trace again."))
    if faults:
        return None, tuple(faults)
    step, uneven = _spacing(xs, lines, file)
    if step is None or uneven:
        return None, uneven
    return Profile(round(step, 12), tuple(round(z, 12) for z in zs)), ()

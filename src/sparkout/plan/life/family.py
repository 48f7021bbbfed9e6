"""What other engines of a family wore: a CSV file of the shop's own readings over hours run.

Columns: characteristic, unit, hours, wear. Wear is since new, on diameter where the characteristic
is a diameter; hours of that unit since new.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sparkout.engine.characteristics import BY_NAME
from sparkout.faults import Fault, Place
from sparkout.measure.wear.gamma_process import GammaProcess, fit_gamma_process
from sparkout.measure.wear.inspections import Inspection
from sparkout.units import QuantityError, parse

__all__ = ["COLUMNS", "Family", "read_family"]

COLUMNS = ("characteristic", "unit", "hours", "wear")


@dataclass(frozen=True, slots=True)
class Family:
    """A fitted process of wear by characteristic."""

    processes: Mapping[str, GammaProcess]


def read_family(text: str, file: str, unit: str = "mm") -> tuple[Family | None, tuple[Fault, ...]]:
    """The family in a CSV text, or every fault in it. unit: of wear that names none."""
    rows = csv.reader(io.StringIO(text))
    head = [cell.strip().casefold() for cell in next(rows, [])]
    if sorted(head) != sorted(COLUMNS):
        found = ", ".join(head) or "nothing"
        return None, (Fault(Place(file, 1), found, "columns " + ", ".join(COLUMNS)),)
    faults: list[Fault] = []
    read: dict[str, list[Inspection]] = {}
    for row in rows:
        line = rows.line_num
        if not any(cell.strip() for cell in row):
            continue
        if len(row) != len(head):
            expected = f"{len(head)} cells"
            faults.append(Fault(Place(file, line), f"{len(row)} cells", expected))
            continue
        cells = dict(zip(head, (cell.strip() for cell in row), strict=True))
        name = cells["characteristic"]
        if name not in BY_NAME or not BY_NAME[name].wears:
            expected = "a characteristic that wears, such as 'bore diameter'"
            faults.append(Fault(Place(file, line, key="characteristic"), f"'{name}'", expected))
            continue
        place = Place(file, line, key="hours")
        hours = _number(cells["hours"], "time", "h", place, faults)
        wear = _number(cells["wear"], "length", unit, place._replace(key="wear"), faults)
        if hours is not None and wear is not None:
            read.setdefault(name, []).append(Inspection(cells["unit"], hours, wear))
    fitted: dict[str, GammaProcess] = {}
    for name, inspections in read.items():
        process, more = fit_gamma_process(inspections, Place(file, key=name))
        faults += more
        if process is not None:
            fitted[name] = process
    if not read and not faults:
        faults.append(Fault(Place(file), "no readings", "a line for each reading of wear"))
    if any(fault.stops for fault in faults):
        return None, tuple(faults)
    return Family(MappingProxyType(fitted)), tuple(faults)


def _number(
    typed: str, dimension: str, unit: str, place: Place, faults: list[Fault]
) -> float | None:
    """Hours, or millimetres."""
    try:
        value = parse(typed, dimension, unit).value
    except QuantityError as wrong:
        faults.append(Fault(place, wrong.found, wrong.expected, wrong.remedy))
        return None
    return float(value / 3600) if dimension == "time" else float(value)

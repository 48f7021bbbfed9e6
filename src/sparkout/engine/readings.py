"""From what was typed to an estimate at its place: unit, interval, master, gauge, all taken in.

A reading that cannot be read is a fault; it stays in the log and out of the state.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Characteristic
from sparkout.engine.dimension import Key
from sparkout.engine.frame import Frame
from sparkout.engine.spots import Spot, TestResult
from sparkout.faults import Fault, Place
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.sheet.nearest import nearest
from sparkout.sheet.shop import GaugeRow, Shop
from sparkout.units import Gap, QuantityError, parse, parse_deviation, parse_gap

__all__ = ["Typed", "read_typed"]

_PASSED = ("pass", "passed", "ok", "none", "sound", "dry")
_FAILED = ("fail", "failed", "cracked", "leaks", "concave", "not ok")


@dataclass(frozen=True, slots=True)
class Typed:
    """One reading as it stands in the log, with where it stands."""

    feature: str
    characteristic: str
    typed: str
    place: Place
    level: str = ""
    direction: str = ""
    unit: str = ""
    gauge: str = ""
    master: str = ""
    polarity: str = ""
    phase: str = "found"
    part: str = ""
    entry: str = ""
    at: str = ""
    note: str = ""


def read_typed(
    row: Typed, frame: Frame, shop: Shop
) -> tuple[Spot | TestResult | None, tuple[Fault, ...]]:
    """The located estimate of one reading, or why there is none."""
    characteristic = BY_NAME.get(row.characteristic)
    faults: list[Fault] = []
    if characteristic is None:
        faults.append(_unknown(row, "characteristic", row.characteristic, tuple(BY_NAME)))
    feature = frame.feature(row.feature)
    if feature is None and not row.feature.startswith("head gasket"):
        names = tuple(item.name for item in frame.features)
        faults.append(_unknown(row, "feature", row.feature, names))
    if characteristic is None or faults:
        return None, tuple(faults)
    key = Key(row.feature, row.characteristic)
    if characteristic.dimension == "test":
        return _test(row, key)
    try:
        estimate = _estimate(row, characteristic, shop)
    except QuantityError as wrong:
        place = row.place._replace(key=f"{row.feature}, {row.characteristic}")
        return None, (Fault(place, wrong.found, wrong.expected, wrong.remedy),)
    spot = Spot(
        key,
        row.level,
        row.direction,
        estimate,
        row.entry,
        row.at,
        row.phase,
        row.gauge,
        row.typed,
        row.part,
        row.note,
    )
    return spot, ()


def _unknown(row: Typed, what: str, found: str, known: tuple[str, ...]) -> Fault:
    hint = nearest(found, known)
    remedy = f"Did you mean '{hint}'?" if hint else ""
    expected = f"a {what} of this engine"
    return Fault(row.place._replace(key=what), f"'{found}'", expected, remedy)


def _test(row: Typed, key: Key) -> tuple[TestResult | None, tuple[Fault, ...]]:
    word = row.typed.strip().lower()
    if word in _PASSED or word in _FAILED:
        return TestResult(key, word in _PASSED, row.entry, row.at, row.note), ()
    place = row.place._replace(key=f"{row.feature}, {row.characteristic}")
    return None, (Fault(place, f"'{row.typed}'", "pass or fail"),)


def _estimate(row: Typed, characteristic: Characteristic, shop: Shop) -> Estimate:
    unit = row.unit or _default_unit(characteristic, shop)
    typed = row.typed.strip()
    gauge = next((item for item in shop.gauges if item.name == row.gauge), None)
    source = row.entry or f"{row.feature} {row.characteristic} {row.level} {row.direction}"
    if characteristic.dimension == "length" and _is_interval(typed):
        system = "inch" if unit in ("in", "thou", "tenth") else "mm"
        return _interval(parse_gap(typed, system), gauge, source)
    if row.master:
        master = parse(row.master, "length", unit)
        smaller = row.polarity == "plus is smaller"
        away = parse_deviation(typed, unit or "mm", larger_is_plus=not smaller)
        value = master.value + away.value
        parts = (*_of_gauge(gauge, source), *_of_master(row.master))
        return Estimate(value, parts)
    # a ratio has no unit of its own; it is read as a plain number
    plain = characteristic.dimension in ("ratio", "unbalance")
    dimension = "length" if plain else characteristic.dimension
    value = parse(typed, dimension, "mm" if plain else unit).value
    return Estimate(value, _of_gauge(gauge, source))


def _is_interval(typed: str) -> bool:
    words = typed.lower()
    return any(word in words for word in ("fits", "pass", "not", "goes"))


def _default_unit(characteristic: Characteristic, shop: Shop) -> str | None:
    inch = shop.units == "inch"
    return {
        "length": "in" if inch else "mm",
        "mass": "g",
        "force": "lbf" if inch else "N",
        "pressure": "inHg" if inch else "kPa",
        "roughness": "µin" if inch else "µm",
        "hardness": "HRC",
        "angle": "deg",
        "volume": "cc",
        "percent": "%",
    }.get(characteristic.dimension)


def _interval(gap: Gap, gauge: GaugeRow | None, source: str) -> Estimate:
    """A feeler pair: anything between the blade that goes and the one that does not.

    Where no blade was tried that goes, the gap lies between nothing and the one that does not.
    Where none was tried that does not go, the gap is known only to be no smaller: it is taken at
    the blade that goes, and the missing blade is what to try next.
    """
    low = gap.low if gap.low is not None else Fraction(0)
    high = gap.high if gap.high is not None else low
    half = float(high - low) / 2
    parts = [*_of_gauge(gauge, source, resolution=False)]
    if half:
        parts.append(Component(f"blades, {source}", half / math.sqrt(3), Shape.RECTANGULAR))
    return Estimate((low + high) / 2, tuple(parts))


def _of_gauge(
    gauge: GaugeRow | None, source: str, *, resolution: bool = True
) -> tuple[Component, ...]:
    """Calibration (shared by all readings of the gauge), resolution and repeatability (its own)."""
    if gauge is None:
        return ()
    parts = []
    if gauge.expanded:
        parts.append(Component(f"{gauge.name} calibration", float(gauge.expanded) / 2))
    if resolution and gauge.resolution:
        step = float(gauge.resolution) / math.sqrt(12)
        parts.append(Component(f"resolution, {source}", step, Shape.RECTANGULAR))
    if gauge.s:
        dof = float(gauge.n - 1) if gauge.n > 1 else math.inf
        shape = Shape.STUDENT if math.isfinite(dof) else Shape.NORMAL
        parts.append(Component(f"repeatability, {source}", float(gauge.s), shape, dof))
    return tuple(parts)


def _of_master(master: str) -> tuple[Component, ...]:
    return ()

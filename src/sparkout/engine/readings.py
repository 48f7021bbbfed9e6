"""From what was typed to an estimate at its place: unit, interval, master, gauge, all taken in.

A reading that cannot be read is a fault; it stays in the log and out of the state.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Characteristic
from sparkout.engine.dimension import Key
from sparkout.engine.frame import Frame
from sparkout.engine.spots import Spot, TestResult
from sparkout.engine.uncertain import Reader, master_of
from sparkout.faults import Fault, Place
from sparkout.measure.estimate import Component, Estimate
from sparkout.measure.gauges.records import Master
from sparkout.measure.temperature import Expansion
from sparkout.sheet.expansion import expansion_of
from sparkout.sheet.nearest import nearest
from sparkout.sheet.shop import Shop
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
    part_temperature: str = ""
    gauge_temperature: str = ""
    material: str = ""


@dataclass(frozen=True, slots=True)
class _Read:
    """An estimate; above: what is open where a gap has a least value only; blamed: a gauge that may
    not be used."""

    estimate: Estimate
    above: Component | None = None
    blamed: str = ""


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
    material = expansion_of(row.material) if row.material else None
    try:
        read = _estimate(row, characteristic, shop, material)
    except QuantityError as wrong:
        place = row.place._replace(key=f"{row.feature}, {row.characteristic}")
        return None, (Fault(place, wrong.found, wrong.expected, wrong.remedy),)
    except LookupError:
        place = row.place._replace(key=f"{row.feature}, {row.characteristic}")
        expected = f"a unit of {characteristic.dimension}"
        return None, (Fault(place, f"'{row.typed}' in {row.unit}", expected),)
    spot = Spot(
        key,
        row.level,
        row.direction,
        read.estimate,
        row.entry,
        row.at,
        row.phase,
        row.gauge,
        row.typed,
        row.part,
        row.note,
        read.above,
        blamed=read.blamed,
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


def _estimate(
    row: Typed, characteristic: Characteristic, shop: Shop, material: Expansion | None
) -> _Read:
    """The estimate of a reading and, where it only has a least value, what is open above it."""
    unit = row.unit or _default_unit(characteristic, shop)
    typed = row.typed.strip()
    # a ratio has no unit of its own; it is read as a plain number
    plain = characteristic.dimension in ("ratio", "unbalance")
    dimension = "length" if plain else characteristic.dimension
    if dimension == "length" and not plain and _is_interval(typed):
        system = "inch" if unit in ("in", "thou", "tenth") else "mm"
        return _interval(parse_gap(typed, system), _reader(row, characteristic, shop))
    if row.master:
        return _from_master(row, characteristic, shop, unit, material)
    value = parse(typed, dimension, "mm" if plain else unit).value
    master, _ = master_of(shop, "", None, row.gauge, value if dimension == "length" else None)
    reader = _reader(row, characteristic, shop, master, material=material)
    return _Read(reader.size(value), blamed=reader.blamed())


def _from_master(
    row: Typed,
    characteristic: Characteristic,
    shop: Shop,
    unit: str | None,
    material: Expansion | None,
) -> _Read:
    """A deviation from a setting master, added to the master's size."""
    known = shop.gauges.master(row.master)
    size = None if known is not None else parse(row.master, "length", unit).value
    master, unknown = master_of(shop, row.master, size, row.gauge, None)
    base = master.size if master is not None else size
    assert base is not None
    smaller = row.polarity == "plus is smaller"
    away = parse_deviation(row.typed.strip(), unit or "mm", larger_is_plus=not smaller)
    reader = _reader(row, characteristic, shop, master, unknown, material)
    return _Read(reader.size(base + away.value), blamed=reader.blamed())


def _reader(
    row: Typed,
    characteristic: Characteristic,
    shop: Shop,
    master: Master | None = None,
    unknown: str = "",
    material: Expansion | None = None,
) -> Reader:
    name = str(Key(row.feature, row.characteristic))
    at = " ".join(word for word in (row.level, row.direction) if word)
    name = f"{name}, {at}" if at else name
    entry = row.entry[-6:]
    own = f"{name} [{entry}]" if entry else name
    if row.phase not in ("", "found"):
        name = f"{name}, {row.phase}"
    return Reader(
        shop,
        characteristic.name,
        characteristic.dimension,
        name if at else own,
        own,
        ", ".join(word for word in (row.part or row.feature, row.at[:10]) if word),
        row.at,
        row.gauge,
        master,
        unknown,
        material,
        _degrees(row.part_temperature),
        _degrees(row.gauge_temperature),
        row.phase in ("left", "mock-up", "new part"),
    )


def _degrees(typed: str) -> Fraction | None:
    if not typed:
        return None
    value = parse(typed, "temperature", "°C").value
    if not -50 <= value <= 300:
        raise QuantityError(f"'{typed}'", "a temperature of a part or a gauge, -50 to 300 °C")
    return value


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


def _interval(gap: Gap, reader: Reader) -> _Read:
    """A feeler pair: anything between the blade that goes and the one that does not.

    Where no blade was tried that goes, the gap lies between nothing and the one that does not.
    Where none was tried that does not go, the gap is known only to be no smaller: how much larger
    is open, and the missing blade is what to try next.
    """
    low = gap.low if gap.low is not None else Fraction(0)
    high = gap.high if gap.high is not None else low
    estimate = reader.gap(low, high)
    above = None if gap.high is not None else reader.no_blade_above(low)
    return _Read(estimate, above, reader.blamed())

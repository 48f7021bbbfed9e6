"""The shop's gauges and masters from its file, and what it says of readings without either."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

from sparkout.measure.gauges.kinds import GaugeKind
from sparkout.measure.gauges.records import Certificate, Gauge, Master, Repeatability
from sparkout.measure.gauges.register import Register, Unnamed
from sparkout.measure.temperature import Expansion
from sparkout.sheet.convert import Path, Reader
from sparkout.sheet.expansion import expansion_of, known_materials
from sparkout.sheet.names import Names
from sparkout.sheet.nearest import nearest
from sparkout.sheet.shop import Bench
from sparkout.sheet.shop_form import BenchForm, GaugeForm, MasterForm, ShopForm
from sparkout.units import QuantityError, parse_range

__all__ = ["to_bench", "to_register"]

_QUANTITIES = ("length", "mass", "force", "torque", "angle", "pressure", "roughness", "hardness",
               "volume", "percent", "ratio", "unbalance", "temperature")  # fmt: skip
_KINDS = {kind.value: kind for kind in GaugeKind}
MASTER = "setting master"


def to_register(form: ShopForm, names: Names, read: Reader) -> Register:
    """All gauges and masters; what is wrong with one is in `read.faults`, and it is left out."""
    gauges = [_gauge(i, row, form, read) for i, row in enumerate(form.gauges)]
    masters = [_master(i, row, read) for i, row in enumerate(form.masters)]
    kept = tuple(item for item in gauges if item is not None)
    seen: set[str] = set()
    for section, key, rows in (
        ("gauges", "gauge", [row.gauge for row in form.gauges]),
        ("masters", "master", [row.master for row in form.masters]),
    ):
        for i, name in enumerate(rows):
            if name in seen:
                read.fault((section, i, key), f"'{name}' twice", "a name of its own")
                return Register()
            seen.add(name)
    return Register(
        kept,
        tuple(item for item in masters if item is not None),
        unnamed=_unnamed(form, names, read),
    )


def to_bench(form: BenchForm | None, read: Reader) -> Bench:
    """Temperatures at the bench; without the section those of `Bench` itself."""
    if form is None:
        return Bench()
    middle, within = None, Fraction(0)
    if form.temperature is not None:
        middle, within = _about(("bench", "temperature"), form.temperature, read)
    return Bench(
        middle,
        within,
        _difference(("bench", "apart"), form.apart, read),
        _difference(("bench", "thermometer"), form.thermometer, read),
        stated=True,
    )


def _about(path: Path, text: str, read: Reader) -> tuple[Fraction | None, Fraction]:
    """`20 ± 2 °C` as its middle and half its width."""
    try:
        found = parse_range(text, "temperature")
    except QuantityError as wrong:
        read.fault(path, wrong.found, "a temperature with how far it may be off, such as 20 ± 2 °C",
                   wrong.remedy)  # fmt: skip
        return None, Fraction(0)
    if found.low is None or found.high is None:
        read.fault(path, f"'{text}'", "a temperature with how far it may be off, such as 20 ± 2 °C")
        return None, Fraction(0)
    middle = (found.low + found.high) / 2
    if not 0 <= middle <= 50:
        read.fault(path, f"'{text}'", "a temperature of a bench, 0 to 50 °C")
        return None, Fraction(0)
    return middle, (found.high - found.low) / 2


def _difference(path: Path, text: str, read: Reader) -> Fraction:
    """A difference of temperatures, `1 °C`, not below zero."""
    value = read.quantity(path, text.replace("±", "").strip(), "temperature")
    if value is not None and value < 0:
        read.fault(path, f"'{text}'", "a difference not below zero, such as 1 °C")
        value = None
    return Fraction(1) if value is None else value


def _unnamed(form: ShopForm, names: Names, read: Reader) -> tuple[Unnamed, ...]:
    found = []
    for about, text in form.without_gauge.items():
        path: Path = ("without gauge", about)
        if about == MASTER:
            quantity = "length"
        elif about in _QUANTITIES:
            quantity = about
        elif names.knows(about):
            quantity = names.dimension(about)
        else:
            hint = nearest(about, (*_QUANTITIES, MASTER, *names.all_sizes()))
            remedy = f"Did you mean '{hint}'?" if hint else ""
            expected = "a characteristic, or a quantity such as length"
            read.fault(path, f"unknown '{about}'", expected, remedy)
            continue
        value = _half_width(path, text, quantity, read)
        if value is not None:
            found.append(Unnamed(about, value))
    return tuple(found)


def _half_width(path: Path, text: str | None, quantity: str, read: Reader) -> Fraction | None:
    """`± 0.02 mm`: how far something may be off either way, above zero."""
    if text is None:
        return None
    plain = quantity in ("ratio", "unbalance")
    bare = text.replace("±", "").replace("+/-", "").strip()
    value = read.quantity(path, bare, "length" if plain else quantity, "mm" if plain else None)
    if value is not None and value <= 0:
        read.fault(path, f"'{text}'", "how far it may be off, above zero, such as ± 0.02 mm")
        return None
    return value


def _gauge(i: int, row: GaugeForm, form: ShopForm, read: Reader) -> Gauge | None:
    path: Path = ("gauges", i)
    read.one_of((*path, "measures"), row.measures, dict.fromkeys(_QUANTITIES))
    resolution = read.quantity((*path, "resolution"), row.resolution, row.measures)
    certificate = _certificate(path, row, row.measures, read)
    error = _half_width((*path, "largest error"), row.largest_error, row.measures, read)
    repeats = _repeatability((*path, "repeatability"), row, read)
    set_by = _listed(
        (*path, "set by"), row.set_by, [m.master for m in form.masters], "masters", read
    )
    others = [g.gauge for g in form.gauges if g.gauge != row.gauge]
    beside = _listed((*path, "beside"), row.beside, others, "gauges", read)
    if resolution is None or (certificate is None and error is None):
        if row.certificate is None and row.largest_error is None:
            found = f"neither certificate nor largest error of {row.gauge}"
            expected = "`certificate: U 0.002 mm` or `largest error: ± 0.004 mm`"
            remedy = "Without either nothing is known of what it reads."
            read.fault((*path, "certificate"), found, expected, remedy)
        return None
    if resolution < 0:
        read.fault((*path, "resolution"), f"'{row.resolution}'", "its smallest step, not below 0")
        return None
    return Gauge(
        row.gauge,
        _KINDS.get(row.kind, GaugeKind.OTHER),
        resolution,
        certificate,
        error,
        repeats,
        _expansion((*path, "material"), row.material, read),
        row.held,
        row.kind,
        row.measures,
        set_by,
        beside,
    )


def _master(i: int, row: MasterForm, read: Reader) -> Master | None:
    path: Path = ("masters", i)
    size = read.quantity((*path, "size"), row.size, "length")
    certificate = _certificate(path, row, "length", read)
    error = _half_width((*path, "largest error"), row.largest_error, "length", read)
    if size is None or (certificate is None and error is None):
        if row.certificate is None and row.largest_error is None:
            found = f"neither certificate nor largest error of {row.master}"
            expected = "`certificate: U 0.001 mm` or `largest error: ± 0.002 mm`"
            read.fault((*path, "certificate"), found, expected)
        return None
    if size <= 0:
        read.fault((*path, "size"), f"'{row.size}'", "a size above zero")
        return None
    return Master(
        row.master, size, certificate, error,
        _expansion((*path, "material"), row.material, read), row.held,
    )  # fmt: skip


def _certificate(
    path: Path, row: GaugeForm | MasterForm, quantity: str, read: Reader
) -> Certificate | None:
    on = _day((*path, "date"), row.date, read)
    until = _day((*path, "until"), row.until, read)
    if row.certificate is None:
        return None
    at = (*path, "certificate")
    text, _, factor = row.certificate.removeprefix("U").strip().partition(", k = ")
    expanded = read.quantity(at, text, quantity)
    k = read.number(at, factor) if factor else Fraction(2)
    if expanded is None or k is None:
        return None
    if expanded < 0 or not 1 <= k <= 5:
        read.fault(at, f"'{row.certificate}'", "an uncertainty not below zero with k from 1 to 5, "
                   "such as U 0.002 mm, k = 2")  # fmt: skip
        return None
    if on is not None and until is not None and until < on:
        read.fault((*path, "until"), f"{until}, before it was made on {on}", "a later day")
        return None
    return Certificate(row.number, on, expanded, k, until)


def _day(path: Path, text: str, read: Reader) -> date | None:
    if not text:
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        read.fault(path, f"'{text}'", "a day as year-month-day, such as 2026-03-02")
        return None


def _repeatability(path: Path, row: GaugeForm, read: Reader) -> Repeatability | None:
    """`0.0008 mm from 30`: standard deviation of single readings, and how many there were."""
    if not row.repeatability:
        return None
    parted = re.fullmatch(r"(.+?)\s+from\s+(.+)", row.repeatability.strip())
    if parted is None:
        read.fault(path, f"'{row.repeatability}'",
                   "a standard deviation and how many readings it is from, such as "
                   "0.0008 mm from 30")  # fmt: skip
        return None
    s = read.quantity(path, parted[1], row.measures)
    n = read.whole(path, parted[2], 0)
    if s is None:
        return None
    if s < 0 or n < 2:
        read.fault(path, f"'{row.repeatability}'",
                   "a deviation not below zero, from 2 readings or more")  # fmt: skip
        return None
    return Repeatability(s, n - 1)


def _listed(path: Path, text: str, known: list[str], what: str, read: Reader) -> tuple[str, ...]:
    found = tuple(name.strip() for name in text.split(",") if name.strip())
    for name in found:
        if name not in known:
            hint = nearest(name, known)
            remedy = f"Did you mean '{hint}'?" if hint else f"List it under `{what}`."
            read.fault(path, f"'{name}'", f"one of the shop's {what}", remedy)
    return tuple(name for name in found if name in known)


def _expansion(path: Path, material: str, read: Reader) -> Expansion | None:
    found = expansion_of(material)
    if found is None:
        hint = nearest(material, known_materials())
        remedy = f"Did you mean '{hint}'?" if hint else "One of: " + ", ".join(known_materials())
        read.fault(path, f"'{material}'", "a material the program knows", remedy)
    return found

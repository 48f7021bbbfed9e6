"""The shop's register: which gauges and masters there are, which may be used, what else is assumed.

A gauge that is not in the register has no figures. Either the shop has chosen a default for its
kind, which then marks every result it enters, or the reading is refused.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import NamedTuple

from sparkout.faults import Fault, Place
from sparkout.measure.estimate import Component, Estimate, Shape, combine
from sparkout.measure.gauges.components import BenchReading, reading_estimate
from sparkout.measure.gauges.kinds import GaugeKind, facts_of
from sparkout.measure.gauges.records import Gauge, Master

__all__ = ["Register", "ShopDefault", "Taken", "Unnamed", "standing", "take_reading"]


@dataclass(frozen=True, slots=True)
class ShopDefault:
    """What this shop assumes of a gauge of a kind that is not in its register.

    largest_error: how far a reading may be off either way, everything included; the shop's own
    choice, never the program's. chosen_by, on: who chose it and when.
    """

    kind: GaugeKind
    largest_error: Fraction
    chosen_by: str
    on: date

    def __post_init__(self) -> None:
        if self.largest_error <= 0:
            raise ValueError(
                f"default for {self.kind}: largest error {float(self.largest_error)} is not above 0"
            )
        if not self.chosen_by.strip():
            raise ValueError(f"default for {self.kind}: nobody is named who chose it")


@dataclass(frozen=True, slots=True)
class Unnamed:
    """What this shop takes a reading to be good to where no gauge of the register was named.

    about: a characteristic, or a quantity for all others of it; half_width: how far such a reading
    may be off either way, everything included. A rule of thumb of the shop, marked wherever it
    counts.
    """

    about: str
    half_width: Fraction

    def __post_init__(self) -> None:
        if self.half_width <= 0:
            raise ValueError(
                f"without a gauge, {self.about}: ± {float(self.half_width):g} is not above zero"
            )


@dataclass(frozen=True, slots=True)
class Register:
    """All gauges, masters and defaults of a shop."""

    gauges: tuple[Gauge, ...] = ()
    masters: tuple[Master, ...] = ()
    defaults: tuple[ShopDefault, ...] = ()
    unnamed: tuple[Unnamed, ...] = ()

    def __post_init__(self) -> None:
        seen: set[str] = set()
        for name in (*(item.id for item in self.gauges), *(item.id for item in self.masters)):
            if name in seen:
                raise ValueError(f"{name!r} stands twice in the register")
            seen.add(name)

    def gauge(self, name: str) -> Gauge | None:
        return next((item for item in self.gauges if item.id == name), None)

    def master(self, name: str) -> Master | None:
        return next((item for item in self.masters if item.id == name), None)

    def without_gauge(self, characteristic: str, quantity: str) -> Unnamed | None:
        """What a reading without a gauge is good to: by its characteristic, else its quantity."""
        for about in (characteristic, quantity):
            for row in self.unnamed:
                if row.about == about:
                    return row
        return None

    def default(self, kind: GaugeKind) -> ShopDefault | None:
        return next((item for item in self.defaults if item.kind is kind), None)


class Taken(NamedTuple):
    """A reading taken in: its estimate, or why there is none.

    marks: sentences that must stand wherever the result shows (a default, an expired certificate).
    """

    estimate: Estimate | None
    marks: tuple[str, ...]
    faults: tuple[Fault, ...]


def standing(item: Gauge | Master, on: date, release: bool, place: Place) -> tuple[Fault, ...]:
    """Whether a gauge or master may be used on a day.

    Held back: never. Certificate expired: not for a reading that releases a part, else a warning.

    item: the gauge or master [-].
    on: day of the reading [-].
    release: whether the reading releases a part [-].
    place: where the reading stands, for the message [-].
    Returns the faults, none when it may be used.
    Holds for gauges of the register.
    Source: common practice (expired or dropped gauges do not release parts).

    >>> gauge = Gauge("OM-2", GaugeKind.OUTSIDE_MICROMETER, Fraction("0.001"),
    ...               largest_error=Fraction("0.003"), held="dropped")
    >>> standing(gauge, date(2026, 3, 2), False, Place("log"))[0].found
    'OM-2, held back: dropped'
    """
    if item.held:
        remedy = "Read it with another one, or clear the hold after a check."
        return (Fault(place, f"{item.id}, held back: {item.held}", "one in use", remedy),)
    certificate = item.certificate
    if certificate is None or certificate.until is None or on <= certificate.until:
        return ()
    found = f"{item.id}, certificate {certificate.number} expired on {certificate.until}"
    remedy = "Send it for calibration; read it with another one meanwhile."
    return (Fault(place, found, f"a certificate valid on {on}", remedy, stops=release),)


def take_reading(
    register: Register,
    gauge: str,
    kind: GaugeKind,
    reading: BenchReading,
    on: date,
    master: str = "",
    companions: Sequence[str] = (),
    release: bool = False,
    place: Place | None = None,
) -> Taken:
    """Turn a reading into an estimate by the register, or say why not.

    Gauges, master and companions are looked up and checked; an unknown gauge counts by the shop's
    default for its kind, marked, or is refused.

    register: the shop's register [-].
    gauge: name of the gauge as written [-].
    kind: its kind, where the register does not know it [-].
    reading: the reading [unit of the gauge].
    on: day of the reading [-].
    master: name of the master it was set by, empty for none [-].
    companions: names of other gauges the reading went through [-].
    release: whether the reading releases a part [-].
    place: where the reading stands, for messages [-].
    Returns the estimate, what must be marked, and the faults.
    Holds for readings whose value has its master added.
    Source: common practice.

    >>> none = Register()
    >>> found = take_reading(none, "OM-9", GaugeKind.OUTSIDE_MICROMETER,
    ...                      BenchReading("rod 1", Fraction(56)), date(2026, 3, 2))
    >>> found.estimate, found.faults[0].found
    (None, "'OM-9', not in the register of gauges")
    """
    where = place or Place(key=reading.name)
    known = register.gauge(gauge)
    if known is None:
        return _by_default(register, gauge, kind, reading, where)
    faults = list(standing(known, on, release, where))
    used: Master | None = None
    if master:
        used = register.master(master)
        if used is None:
            faults.append(_unknown(master, "masters", where))
        else:
            faults += standing(used, on, release, where)
    elif facts_of(known.kind).needs_master:
        remedy = "Add the master it was set by."
        faults.append(
            Fault(where, f"{gauge}, a {known.kind}, without a master", "a master", remedy)
        )
    beside: list[Gauge] = []
    for name in companions:
        other = register.gauge(name)
        if other is None:
            faults.append(_unknown(name, "gauges", where))
        else:
            faults += standing(other, on, release, where)
            beside.append(other)
    if any(fault.stops for fault in faults):
        return Taken(None, (), tuple(faults))
    marks = tuple(f"{fault.found}." for fault in faults)
    reference = used or known
    if reading.part is not None and reference.expansion is None:
        remedy = "Add its material to the register, or leave the temperatures out."
        found = f"{reference.id}, of unknown expansion"
        return Taken(
            None, marks, (*faults, Fault(where, found, "its coefficient of expansion", remedy))
        )
    return Taken(reading_estimate(known, reading, used, tuple(beside)), marks, tuple(faults))


def _by_default(
    register: Register, gauge: str, kind: GaugeKind, reading: BenchReading, place: Place
) -> Taken:
    chosen = register.default(kind)
    if chosen is None:
        return Taken(None, (), (_unknown(gauge, "gauges", place),))
    u = float(chosen.largest_error) / 3**0.5
    part = Component(f"{gauge} shop default", u, Shape.RECTANGULAR)
    warm = " No correction to 20 °C was made." if reading.part is not None else ""
    mark = (
        f"{gauge} is not in the register: taken at this shop's default for a kind of gauge,"
        f" {kind}, ± {float(chosen.largest_error):g}, chosen by {chosen.chosen_by} on {chosen.on}."
        f"{warm}"
    )
    return Taken(Estimate(reading.value, combine((part,))), (mark,), ())


def _unknown(name: str, what: str, place: Place) -> Fault:
    remedy = "Register it with its certificate or maximum permissible error"
    if what == "gauges":
        remedy += ", or choose a default for its kind"
    found = f"'{name}', not in the register of {what}"
    return Fault(place, found, f"one of the shop's {what}", f"{remedy}.")

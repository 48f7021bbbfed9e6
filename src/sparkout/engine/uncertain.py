"""What the register leaves uncertain in a reading: gauge, master, heat, or that none was named.

Sources are named so that what two readings share is one error: the certificate of a gauge, that of
the master it was set by, the zero set for one feature on one day. In a difference they cancel, in a
fit of parts read with different gauges they do not.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sparkout.measure.estimate import Component, Estimate, Shape, combine
from sparkout.measure.gauges.components import BenchReading, reading_components
from sparkout.measure.gauges.kinds import facts_of
from sparkout.measure.gauges.records import Gauge, Master
from sparkout.measure.gauges.sources import expired, thumb_component, unknown_component
from sparkout.measure.temperature import Expansion, Temperature, corrected, expansion_components
from sparkout.sheet.expansion import LARGEST
from sparkout.sheet.shop import Shop
from sparkout.units import show_quantity

__all__ = ["MASTER", "Reader", "master_of"]

MASTER = "setting master"
# A typed size of a master is that of the registered one within this [mm]: rings are made to
# nominal size within hundredths (common practice).
_NEAR = Fraction(5, 100)
_STEEL = Expansion("steel", Fraction(115, 10_000_000), Fraction(1, 1_000_000))


@dataclass(frozen=True, slots=True)
class Reader:
    """How one reading is taken in: its name, when and with what it was read.

    name: of the place, shared by repeats there; own: unlike that of any other reading. setting: for
    which the gauge was set anew. quantity: what the characteristic is measured in.
    """

    shop: Shop
    characteristic: str
    quantity: str
    name: str
    own: str
    setting: str
    at: str = ""
    gauge: str = ""
    master: Master | None = None
    unknown_master: str = ""
    material: Expansion | None = None
    part_temperature: Fraction | None = None
    gauge_temperature: Fraction | None = None
    releases: bool = False

    @property
    def known(self) -> Gauge | None:
        found = self.shop.gauges.gauge(self.gauge) if self.gauge else None
        return found if found is not None and found.measures == self.quantity else None

    def blamed(self) -> str:
        """Why a gauge or master may not be used, empty where it may.

        Held back: never. Expired: not for a reading that releases a part, new or as left.
        """
        for item in (self.known, self.master):
            if item is not None and item.held:
                return f"{item.id}, which is held back: {item.held}"
        if self.releases:
            for name, on in self.late():
                return f"{name}, whose certificate expired on {on}, for a part that goes in"
        return ""

    def late(self) -> tuple[tuple[str, str], ...]:
        """Gauges and masters whose certificate had expired when it was read, with the last day."""
        if not self.at:
            return ()
        try:
            on = date.fromisoformat(self.at[:10])
        except ValueError:
            return ()
        beside = [
            self.shop.gauges.gauge(name) for name in (self.known.beside if self.known else ())
        ]
        found = []
        for item in (self.known, self.master, *beside):
            paper = None if item is None else item.certificate
            if item is not None and paper is not None and paper.until and paper.until < on:
                found.append((item.id, paper.until.isoformat()))
        return tuple(found)

    def size(self, value: Fraction) -> Estimate:
        """A reading on a scale, at 20 °C where the bench's temperatures are known."""
        parts = self._parts(value, interval=False)
        return self._at_20(Estimate(value, parts)) if self.quantity == "length" else Estimate(
            value, parts
        )  # fmt: skip

    def gap(self, low: Fraction, high: Fraction) -> Estimate:
        """A gap between two blades: the middle, anything between them equally likely."""
        half = float(high - low) / 2
        parts = list(self._parts((low + high) / 2, interval=True))
        if half:
            parts.append(Component(f"blades, {self.own}", half / 3**0.5, Shape.RECTANGULAR))
        return Estimate((low + high) / 2, tuple(parts))

    def no_blade_above(self, low: Fraction) -> Component:
        """What is not known of a gap of which only a blade that passes is known."""
        return unknown_component("no blade was tried that does not go", self.own)

    def _parts(self, value: Fraction, *, interval: bool) -> tuple[Component, ...]:
        gauge = self.known
        if gauge is None:
            return (self._unnamed(),)
        beside = tuple(
            item
            for name in gauge.beside
            if (item := self.shop.gauges.gauge(name)) is not None and not interval
        )
        reading = BenchReading(self.own, value, setting=self.setting)
        parts = reading_components(gauge, reading, self.master, beside)
        parts = tuple(self._by_place(part) for part in parts if not (interval and _step(part)))
        for name, on in self.late():
            parts = expired(parts, name, on)
        return (*parts, self._unnamed_master()) if self.unknown_master else parts

    def _by_place(self, part: Component) -> Component:
        """One step of the scale is shared by repeats at a place: they may all sit in it."""
        if part.source == f"resolution, {self.own}":
            return Component(f"resolution, {self.name}", part.u, part.shape, part.dof)
        return part

    def _unnamed(self) -> Component:
        why = "no gauge named"
        if self.gauge:
            other = self.shop.gauges.gauge(self.gauge)
            why = f"{self.gauge} is not in the shop's file"
            if other is not None:
                why = f"{self.gauge} measures {other.measures}, not {self.quantity}"
        row = self.shop.gauges.without_gauge(self.characteristic, self.quantity)
        if row is None:
            return unknown_component(f"{why}, and the shop's file says nothing for it", self.own,
                                     self.quantity)  # fmt: skip
        shown = f"± {self._words(row.half_width)} for {row.about}"
        return thumb_component(row.half_width, shown, why, self.own)

    def _unnamed_master(self) -> Component:
        why = f"setting master {self.unknown_master} is not in the shop's file"
        shared = f"set by {self.unknown_master}"  # its error is one for all set by it
        row = self.shop.gauges.without_gauge(MASTER, MASTER)
        if row is None:
            return unknown_component(f"{why}, which says nothing for such a master", shared)
        return thumb_component(row.half_width, f"± {self._words(row.half_width)}", why, shared)

    def _words(self, value: Fraction) -> str:
        if self.quantity == "length":
            return show_quantity(value, "length", self.shop.units)
        if self.quantity in ("ratio", "unbalance"):
            return f"{float(value):g}"
        return show_quantity(value, self.quantity, self.shop.units)

    def _at_20(self, read: Estimate) -> Estimate:
        gauge = self.master or self.known
        if gauge is None:  # its rule of thumb holds everything
            return read
        scale = gauge.expansion or _STEEL
        bench = self.shop.bench
        if self.part_temperature is None and self.gauge_temperature is None:
            return self._at_bench(read, scale)
        thumb = "" if bench.stated else ", a rule of thumb"
        source = f"thermometer ± {float(bench.thermometer):g} °C{thumb}"
        other = bench.temperature if bench.temperature is not None else Fraction(20)
        part = self.part_temperature if self.part_temperature is not None else other
        tool = self.gauge_temperature if self.gauge_temperature is not None else other
        if self.material is None:
            # grown by anything between nothing and what the metal that grows most would
            away = abs(part - 20) + bench.thermometer
            half = float(read.value * LARGEST * away)
            why = "the shop's file does not say what the part is made of (`metals`)"
            what = f"± {self._words(Fraction(half).limit_denominator(10**5))} for heat"
            return read.with_components(thumb_component(half, what, why, self.own))
        return corrected(
            read,
            self.material,
            Temperature(part, bench.thermometer, source),
            scale,
            Temperature(tool, bench.thermometer, source),
        )

    def _at_bench(self, read: Estimate, scale: Expansion) -> Estimate:
        """No temperature read: the bench's, with how far off it and how far apart they may be."""
        bench = self.shop.bench
        if bench.temperature is None:
            return read
        part = self.material or _STEEL
        both = Temperature(bench.temperature, bench.within, "temperature of the bench")
        parts = (
            *expansion_components(read.value, part, both, -1),
            *expansion_components(read.value, scale, both, 1),
        )
        away = float(read.value * part.coefficient * bench.apart) / 3**0.5
        apart = Component(f"part and gauge apart, {self.setting}", away, Shape.RECTANGULAR)
        read = corrected(read, part, _exactly(both), scale, _exactly(both))
        return Estimate(read.value, combine((*read.components, *parts, apart)))


def _exactly(temperature: Temperature) -> Temperature:
    return Temperature(temperature.value, Fraction(0), temperature.source)


def _step(part: Component) -> bool:
    return part.source.startswith("resolution, ")


def master_of(shop: Shop, typed: str, size: Fraction | None, gauge: str, value: Fraction | None
              ) -> tuple[Master | None, str]:  # fmt: skip
    """The master a reading was set by, and the one typed that the register does not know.

    By its id; else the one of the size typed; else, where none was typed, the one nearest in size
    among those its gauge is usually set by.
    """
    register = shop.gauges
    if typed:
        known = register.master(typed)
        if known is None and size is not None:
            near = [item for item in register.masters if abs(item.size - size) <= _NEAR]
            known = min(near, key=lambda item: abs(item.size - size), default=None)
        return known, "" if known is not None else typed
    tool = register.gauge(gauge)
    if tool is None or value is None or not facts_of(tool.kind).needs_master:
        return None, ""
    usual = [item for name in tool.set_by if (item := register.master(name)) is not None]
    return min(usual, key=lambda item: abs(item.size - value), default=None), ""

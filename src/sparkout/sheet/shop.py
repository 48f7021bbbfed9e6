"""What a shop is: its rates, machines, what each operation costs and holds, its supply of parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType

from sparkout.measure.gauges.register import Register
from sparkout.sheet.model import Bounds
from sparkout.sheet.practice import PassDepths, Practice

__all__ = ["Bench", "OperationRate", "Shop", "Supply", "ValueOfLife"]


@dataclass(frozen=True, slots=True)
class OperationRate:
    """One operation: what it costs here and how well it holds its size.

    set_up: hours once per job however many features; each: hours per feature. holds: for each
    characteristic it finishes, the expanded uncertainty (k = 2) about the target for a size, or
    the largest value it leaves for a form. outside: price of one when it is sent out, and
    outside_days the time that takes; None when the shop does it itself. passes: its depths of cut,
    None where the file does not say.
    """

    name: str
    rate: str
    set_up: Fraction
    each: Fraction
    machine: str = ""
    step: Fraction | None = None
    smallest_cut: Fraction | None = None
    holds: Mapping[str, Bounds] = field(default_factory=lambda: MappingProxyType({}))
    outside: Fraction | None = None
    outside_each: Fraction | None = None
    outside_days: int = 0
    passes: PassDepths | None = None


@dataclass(frozen=True, slots=True)
class Bench:
    """Temperatures at the bench [°C].

    temperature, within: of part and gauge where a reading says nothing, and how far it may be off;
    apart: how far the two may differ then. thermometer: how far a temperature that was read may be
    off. stated: whether the shop's file says so, else it is a rule of thumb.
    """

    temperature: Fraction | None = None
    within: Fraction = Fraction(0)
    apart: Fraction = Fraction(1)
    thermometer: Fraction = Fraction(1)
    stated: bool = False


@dataclass(frozen=True, slots=True)
class Supply:
    """What a part costs this shop. sold_in: pieces in one package (4 = a set of four)."""

    part: str
    price: Fraction
    sold_in: int = 1
    on_hand: int | None = None
    lead_days: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True)
class ValueOfLife:
    """What running longer before the first limit of wear is worth to a customer: the shop's rule.

    per_hour: money for an hour of it, counted up to most_hours. per_share: money for the whole of
    the wear that a limit allows, used where the hours run are not known. steady: relative scatter
    (one standard deviation) of the wear rate to come about the past one. None where the shop's file
    does not say.
    """

    per_hour: Fraction | None = None
    most_hours: Fraction | None = None
    per_share: Fraction | None = None
    steady: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Shop:
    """One shop. Money is in units of the currency; percentages are fractions of one.

    tax is on everything; taxes, by category (labour, part, outside), stand over it.
    """

    name: str
    currency: str
    units: str
    rates: Mapping[str, Fraction]
    operations: Mapping[str, OperationRate]
    supply: Mapping[str, Supply]
    gauges: Register = field(default_factory=Register)
    bench: Bench = field(default_factory=Bench)
    confidence: Fraction = Fraction(95, 100)
    rule: str = "guarded by risk"
    tax: Fraction = Fraction(0)
    consumables: Fraction = Fraction(0)
    contingency: Fraction = Fraction(0)
    day_hours: Fraction = Fraction(8)
    digest: str = ""
    value_of_life: ValueOfLife | None = None
    taxes: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}))
    practice: Practice = field(default_factory=Practice)

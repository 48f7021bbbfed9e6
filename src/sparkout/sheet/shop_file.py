"""A shop from its file, and the supply of parts for one family of engines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.sheet.convert import Path, Reader
from sparkout.sheet.gauges_file import to_bench, to_register
from sparkout.sheet.model import Bounds
from sparkout.sheet.names import Names
from sparkout.sheet.nearest import nearest
from sparkout.sheet.practice import to_passes, to_practice
from sparkout.sheet.shop import OperationRate, Shop, Supply, ValueOfLife
from sparkout.sheet.shop_form import (
    OperationForm,
    ShopForm,
    SupplyForm,
    SupplyListForm,
    ValueOfLifeForm,
)

__all__ = ["to_shop", "with_supply"]

_HOUR = Fraction(3600)

# The decision rules of judge.proof, named here because the file is read below that room.
_RULES = ("guarded by risk", "prove conformity", "simple acceptance")


def to_shop(form: ShopForm, names: Names, read: Reader, digest: str = "") -> Shop:
    """The shop; what is wrong is in `read.faults`."""
    about = form.shop
    rates = {
        name: value
        for name, text in form.rates.items()
        if (value := read.number(("rates", name), text)) is not None
    }
    operations = {
        row.operation: _operation(i, row, form, names, read)
        for i, row in enumerate(form.operations)
    }
    at: Path = ("shop",)
    hours = read.quantity((*at, "hours a day"), about.hours_a_day, "time")
    shop = Shop(
        about.name,
        about.currency,
        read.one_of((*at, "units"), about.units, dict.fromkeys(("mm", "inch"))),
        MappingProxyType(rates),
        MappingProxyType(operations),
        MappingProxyType({}),
        to_register(form, names, read),
        to_bench(form.bench, read),
        _confidence((*at, "confidence"), about.confidence, read),
        read.one_of((*at, "rule"), about.rule, dict.fromkeys(_RULES)),
        read.percent((*at, "tax"), about.tax, Fraction(0)),
        read.percent((*at, "consumables"), about.consumables, Fraction(0)),
        read.percent((*at, "contingency"), about.contingency, Fraction(0)),
        (hours / _HOUR) if hours else Fraction(8),
        digest=digest,
        value_of_life=_value_of_life(form.value_of_life, read),
        taxes=_taxes((*at, "taxes"), about.taxes, read),
        practice=to_practice(form.allowances, form.metals, form.cutters, read),
    )
    return _supplied(shop, form.supply, read)


# Categories of tax as the file names them, and the kinds of line of a quote they are for.
_TAXED = MappingProxyType({"labour": "labour", "parts": "part", "sent out": "outside"})


def _taxes(path: Path, rows: Mapping[str, str], read: Reader) -> Mapping[str, Fraction]:
    found: dict[str, Fraction] = {}
    for name, text in rows.items():
        if name not in _TAXED:
            hint = nearest(name, tuple(_TAXED))
            remedy = f"Did you mean '{hint}'?" if hint else ""
            read.fault((*path, name), f"'{name}'", "one of " + ", ".join(_TAXED), remedy)
            continue
        found[_TAXED[name]] = read.percent((*path, name), text, Fraction(0))
    return MappingProxyType(found)


def _value_of_life(form: ValueOfLifeForm | None, read: Reader) -> ValueOfLife | None:
    """The rule, with every figure above zero."""
    if form is None:
        return None
    at: Path = ("value of life",)
    per_1000 = read.number((*at, "per 1000 h"), form.per_1000_h)
    tenth = read.number((*at, "per tenth of wear"), form.per_tenth_of_wear)
    most = read.quantity((*at, "at most"), form.at_most, "time")
    steady = (
        None
        if form.rate_steady_within is None
        else read.percent((*at, "rate steady within"), form.rate_steady_within, Fraction(0))
    )
    for name, value, text in (
        ("per 1000 h", per_1000, form.per_1000_h),
        ("per tenth of wear", tenth, form.per_tenth_of_wear),
        ("at most", most, form.at_most),
        ("rate steady within", steady, form.rate_steady_within),
    ):
        if value is not None and value <= 0:
            read.fault((*at, name), f"'{text}'", "a figure above zero")
    if per_1000 is not None and most is None:
        read.fault(
            (*at, "per 1000 h"),
            "no `at most`",
            "the hours beyond which more life is worth nothing, such as `at most: 12000 h`",
        )
    return ValueOfLife(
        None if per_1000 is None else per_1000 / 1000,
        None if most is None else most / _HOUR,
        None if tenth is None else tenth * 10,
        steady,
    )


def _confidence(path: Path, text: str, read: Reader) -> Fraction:
    value = read.percent(path, text, Fraction(95, 100))
    if not Fraction(1, 2) < value < 1:
        read.fault(path, f"'{text}'", "a confidence between 50 % and 100 %, such as 95 %")
        return Fraction(95, 100)
    return value


def with_supply(shop: Shop, form: SupplyListForm, read: Reader) -> Shop:
    """The shop with the parts of one supply list added; later lists win."""
    return _supplied(shop, form.supply, read)


def _supplied(shop: Shop, rows: Sequence[SupplyForm], read: Reader) -> Shop:
    found = dict(shop.supply)
    for i, row in enumerate(rows):
        path: Path = ("supply", i)
        price = read.number((*path, "price"), row.price)
        pieces = row.sold_in.removeprefix("set of").strip()
        sold_in = 1 if pieces == "each" else read.whole((*path, "sold in"), pieces, 1)
        on_hand = None if row.on_hand is None else read.whole((*path, "on hand"), row.on_hand)
        found[row.part] = Supply(
            row.part,
            price if price is not None else Fraction(0),
            sold_in,
            on_hand,
            read.whole((*path, "days"), row.days),
            row.note,
        )
    return replace(shop, supply=MappingProxyType(found))


def _hours(path: Path, text: str | None, read: Reader) -> Fraction:
    value = read.quantity(path, text, "time")
    return Fraction(0) if value is None else value / _HOUR


def _operation(
    i: int, row: OperationForm, form: ShopForm, names: Names, read: Reader
) -> OperationRate:
    path: Path = ("operations", i)
    if row.rate not in form.rates:
        hint = nearest(row.rate, tuple(form.rates))
        remedy = f"Did you mean '{hint}'?" if hint else ""
        read.fault((*path, "rate"), f"'{row.rate}'", "a rate listed under `rates`", remedy)
    holds: dict[str, Bounds] = {}
    for name, text in row.holds.items():
        if not names.knows(name):
            hint = nearest(name, names.all_sizes())
            remedy = f"Did you mean '{hint}'?" if hint else ""
            read.fault((*path, "holds", name), f"unknown '{name}'",
                       "a characteristic the program knows", remedy)  # fmt: skip
            continue
        bounds = read.bounds((*path, "holds", name), text, names.dimension(name))
        if bounds is not None:
            holds[name] = bounds
    days = read.whole((*path, "outside days"), row.outside_days)
    return OperationRate(
        row.operation,
        row.rate,
        _hours((*path, "set up"), row.set_up, read),
        _hours((*path, "each"), row.each, read),
        row.machine,
        read.quantity((*path, "step"), row.step, "length"),
        read.quantity((*path, "smallest cut"), row.smallest_cut, "length"),
        MappingProxyType(holds),
        read.number((*path, "outside"), row.outside),
        read.number((*path, "outside each"), row.outside_each),
        days,
        to_passes((*path, "passes"), row.operation, row.passes, read),
    )

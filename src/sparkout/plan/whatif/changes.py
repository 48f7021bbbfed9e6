"""What a question changes: depths, choices, parts, limits. Each kind knows how it is applied."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from types import MappingProxyType

import numpy as np

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.state import State
from sparkout.judge.checks import Check
from sparkout.measure.estimate import Estimate
from sparkout.plan.compile import Compiled
from sparkout.plan.problem import Problem
from sparkout.sheet.model import Bounds, DataSheet
from sparkout.sheet.shop import Shop, Supply
from sparkout.solve import Model, Window, table, window

__all__ = [
    "Bring",
    "BringFeatures",
    "Change",
    "Cost",
    "Depth",
    "Ignore",
    "Inputs",
    "Refuse",
    "Supplied",
    "Take",
    "applied",
    "asked_windows",
    "with_windows",
]


@dataclass(frozen=True, slots=True)
class Inputs:
    """All a plan is made from.

    begun: makes of the problem what is left of it where work is done, with the shop as a question
    has it; nearest: the model in which what was approved is kept to first. Both None where nothing
    is approved and no work done.
    """

    sheet: DataSheet
    shop: Shop
    state: State
    checks: tuple[Check, ...]
    begun: Callable[[Problem, Shop], Problem] | None = None
    nearest: Callable[[Compiled], Model] | None = None


@dataclass(frozen=True, slots=True)
class Depth:
    """An amount is fixed. value in mm."""

    amount: str
    value: Fraction


@dataclass(frozen=True, slots=True)
class Take:
    """A group takes one of these options."""

    group: str
    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Refuse:
    """A group takes none of these options."""

    group: str
    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Supplied:
    """A part comes after so many days; None: it is not to be had. until: the day, where one was
    said."""

    part: str
    days: int | None
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Cost:
    """A part has another price."""

    part: str
    price: Fraction


@dataclass(frozen=True, slots=True)
class Bring:
    """The customer brings a part: no price, no wait."""

    part: str


@dataclass(frozen=True, slots=True)
class BringFeatures:
    """The customer brings a component of his own; nothing is known of it but what it should be."""

    component: str
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ignore:
    """Limits that are not asked for."""

    checks: tuple[str, ...]


Change = Depth | Take | Refuse | Supplied | Cost | Bring | BringFeatures | Ignore


def applied(inputs: Inputs, changes: Iterable[Change]) -> Inputs:
    """What a plan is made from, with everything that is no matter of the model changed."""
    now = inputs
    for change in changes:
        match change:
            case Supplied(part, days, _):
                here = Supply(part, Fraction(0)) if part not in now.shop.supply else (
                    now.shop.supply[part]
                )  # fmt: skip
                here = replace(here, on_hand=0, lead_days=0 if days is None else days)
                now = replace(now, shop=_with(now.shop, here))
            case Cost(part, price):
                here = now.shop.supply.get(part, Supply(part, price))
                now = replace(now, shop=_with(now.shop, replace(here, price=price)))
            case Bring(part):
                here = now.shop.supply.get(part, Supply(part, Fraction(0)))
                here = replace(here, price=Fraction(0), on_hand=None, lead_days=0)
                now = replace(now, shop=_with(now.shop, here))
            case BringFeatures(_, kinds):
                now = replace(now, state=_brought(now, kinds))
            case Ignore(names):
                kept = tuple(check for check in now.checks if check.name not in names)
                now = replace(now, checks=kept)
            case _:
                pass
    return now


def _with(shop: Shop, item: Supply) -> Shop:
    return replace(shop, supply=MappingProxyType({**shop.supply, item.part: item}))


def _brought(inputs: Inputs, kinds: tuple[str, ...]) -> State:
    """The state with a component taken to be as its new limits have it.

    What its sheet says nothing of is not known, so nothing that was read on the old one is left.
    """
    features = {f.name for kind in kinds for f in inputs.state.frame.of_kind(kind)}
    sizes = {key: size for key, size in inputs.state.sizes.items() if key.feature not in features}
    for check in inputs.checks:
        if check.instance.feature not in features or check.instance.inner:
            continue
        if check.instance.terms != ((Fraction(1), check.key),):
            continue  # a fit follows from its sizes
        new = check.limit.new
        value = None if new is None else _new(check.key, new)
        if value is not None:
            sizes[check.key] = value
    return replace(inputs.state, sizes=MappingProxyType(sizes))


def _new(key: Key, bounds: Bounds) -> Dimension | None:
    """A size of which only its new limits are known: their middle; a form at its limit."""
    if bounds.high is None:
        return None
    value = Estimate(bounds.high if bounds.low is None else bounds.middle)
    return Dimension(key, value, value, How.ASSUMED, as_new=True)


def asked_windows(compiled: Compiled, changes: Iterable[Change]) -> dict[str, Window]:
    """The windows that hold a plan to what was asked, by what each is called.

    Raises KeyError for a group or amount that is no part of the problem; ValueError where an
    amount is no whole number of steps.
    """
    found: dict[str, Window] = {}
    groups = {group.name: group for group in compiled.problem.groups}
    for change in changes:
        match change:
            case Take(name, options) | Refuse(name, options):
                wanted = isinstance(change, Take)
                mask = np.array([(o.name in options) is wanted for o in groups[name].options])
                found[f"asked: {name}"] = table(f"asked: {name}", (name,), mask)
            case Depth(amount, value):
                found[f"asked: {amount}"] = _fixed(compiled, amount, value)
            case _:
                pass
    return found


def _fixed(compiled: Compiled, amount: str, value: Fraction) -> Window:
    """The amount is just this, and its option is taken (for no depth: the option is not)."""
    owner, spec = next(
        (group, spec)
        for group in compiled.problem.groups
        for spec in group.amounts
        if spec.name == amount
    )
    steps = value / spec.step
    if steps.denominator != 1:
        raise ValueError(f"{float(value):g} mm is no whole number of steps of {float(spec.step):g}")
    mask = [(option.name == spec.option) is bool(steps) for option in owner.options]
    whole = int(steps)
    return window(
        f"asked: {amount}", (owner.name,), (amount,), [1], whole, whole, mask,
        shape=(len(owner.options),),
    )  # fmt: skip


def with_windows(model: Model, more: Mapping[str, Window]) -> Model:
    """The model with further windows."""
    windows = (*model.windows, *more.values())
    return Model(model.choices, model.amounts, windows, model.shared, model.tallies)

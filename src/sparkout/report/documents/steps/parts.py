"""Parts of a plan: how many, where they go, the sizes they bring, and where those come from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from sparkout.engine.dimension import Dimension, Key
from sparkout.plan.decide import Plan
from sparkout.plan.order import Step
from sparkout.report.documents.source import Source
from sparkout.report.documents.steps.numbers import short_names
from sparkout.report.grouping import minus
from sparkout.sheet.model import PartSpec

__all__ = ["PartUse", "part_rows", "parts_of_step", "size_rows", "uses"]

PartUse = tuple[str, int, tuple[str, ...], str]
"""Name, pieces, features it goes on, operation that fits it ("" where it is just fitted)."""


def uses(plan: Plan) -> tuple[PartUse, ...]:
    """Every part of the plan once, pieces added up."""
    found: dict[str, tuple[int, list[str], str]] = {}
    for group, option in plan.chosen:
        operation = option.work[0].operation if option.work else ""
        for use in option.parts:
            count, features, first = found.get(use.part, (0, [], operation))
            found[use.part] = (count + use.count, [*features, *group.features], first)
    return tuple(
        (name, count, tuple(dict.fromkeys(features)), operation)
        for name, (count, features, operation) in found.items()
    )


def parts_of_step(plan: Plan, step: Step) -> list[str]:
    """`4 × rod shells, 0.25 under`: what is fitted in this step."""
    return [
        f"{count} × {name}" for name, count, _, operation in uses(plan)
        if operation and operation == step.operation
    ]  # fmt: skip


def part_rows(source: Source, plan: Plan) -> list[list[Any]]:
    """Part, pieces, for what, supply: for the list of what has to come."""
    shop = source.job.shop
    rows: list[list[Any]] = []
    for name, count, features, _ in uses(plan):
        supply = shop.supply.get(name)
        where = "not on the shop's list"
        if supply is not None:
            where = "in stock" if supply.on_hand else f"{supply.lead_days} days"
        rows.append([name, str(count), short_names(features), where, {"tick": False}])
    return rows


def size_rows(source: Source, plan: Plan) -> list[list[Any]]:
    """Every size that a part brings: as sold, as measured on the part in hand, or a box."""
    specs = {part.name: part for part in source.job.sheet.parts}
    rows: list[list[Any]] = []
    for name, _, features, _ in uses(plan):
        spec = specs.get(name)
        if spec is None:
            continue
        measured = source.job.state.new_parts.get(name, {})
        rows += _sizes(source, spec, measured, features)
    return rows


def _sizes(
    source: Source,
    spec: PartSpec,
    measured: Mapping[Key, Dimension],
    features: Iterable[str],
) -> list[list[Any]]:
    words = source.words
    rows: list[list[Any]] = []
    for characteristic, bounds in spec.sizes.items():
        read = {key: size for key, size in measured.items() if key.characteristic == characteristic}
        told = "; ".join(
            f"{key.feature}: {minus(words.span(size.low.value, size.high.value, characteristic))}"
            for key, size in read.items()
        )
        asked = minus(words.span(bounds.low, bounds.high, characteristic)) if (
            bounds.low is not None and bounds.high is not None
        ) else minus(words.bounds(bounds, characteristic))  # fmt: skip
        rows.append([spec.name, characteristic, asked, told or {"write": True, "unit": ""}])
    return rows

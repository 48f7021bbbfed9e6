"""What is read when a step is done: a box to write in for each place, beside plan and limit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.judge.finding import Finding
from sparkout.judge.words import Words
from sparkout.plan.decide import Plan
from sparkout.plan.forms import SetTo
from sparkout.plan.order import Step
from sparkout.report.documents.source import Source
from sparkout.report.grouping import allowed, minus
from sparkout.setups._readings import changing_steps
from sparkout.setups.record import SetUp
from sparkout.sheet.shop import Shop

__all__ = ["Readings", "boxes_of", "changing_steps", "readings_by_step"]

Readings = Mapping[int, tuple[Key, ...]]

_MOST_PLACES = 6
_MOST_COLUMNS = 4
# Read once for each of these, whatever was read as found.
_ONE_BOX = (Derive.OUT_OF_ROUND, Derive.TAPER, Derive.SPREAD, Derive.ACROSS, Derive.NEIGHBOUR)


def readings_by_step(
    plan: Plan, steps: Iterable[Step], made: Iterable[SetUp], shop: Shop
) -> Readings:
    """Which sizes are read after which step.

    A size is read after every operation that changes it; that is the one of an option's works
    whose row in the shop's file says how well it holds it, else the last. Sizes that a new part
    brings are read when it is received; what an option does not change, where the set-ups or the
    order of work say.
    """
    rows = tuple(steps)
    numbers = {step.operation: step.number for step in rows if step.operation}
    changed = changing_steps(plan, numbers, shop)
    brought = {
        effect.key
        for _, option in plan.chosen
        for effect in option.effects
        if isinstance(effect, SetTo) and effect.how is not How.MACHINED
    }
    named: dict[Key, set[int]] = {}
    for item in made:
        for row in item.after:
            named.setdefault(row.key, set()).add(item.step)
    for step in rows:
        for key in step.read:
            named.setdefault(key, set()).add(step.number)
    found: dict[int, list[Key]] = {}
    for key, at in named.items():
        known = BY_NAME.get(key.characteristic)
        if known is None:
            continue  # what the program keeps account of; nobody reads it
        if key in brought and known.dimension != "test":
            continue
        for number in sorted(changed.get(key) or at):
            found.setdefault(number, []).append(key)
    return {number: tuple(keys) for number, keys in found.items()}


def boxes_of(
    source: Source, plan: Plan, keys: Iterable[Key], later: Mapping[Key, int]
) -> list[dict[str, Any]]:
    """A table for each characteristic that is read at several places: features down, places
    across; the others in one table, characteristics across.

    later: the step that changes a size again, so that the plan's figure is not the one to hit now.
    """
    after = {finding.key: finding for finding in plan.after}
    kinds: dict[tuple[str, tuple[str, ...]], list[Key]] = {}
    for key in dict.fromkeys(keys):
        kinds.setdefault((key.characteristic, _places(source, key)), []).append(key)
    return _joined(
        _table(source, name, places, some, after, plan.sizes, later)
        for (name, places), some in kinds.items()
    )


def _joined(tables: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Neighbours that are read once on the same features, against one figure and one limit each,
    as columns of one table."""
    found: list[dict[str, Any]] = []
    for table in tables:
        column = _column(table)
        last = found[-1] if found else None
        if column is None:
            found.append({**table, "columns": []})
        elif last is not None and last["columns"] and len(last["columns"]) < _MOST_COLUMNS and (
            [row[0] for row in last["rows"]] == [row[0] for row in table["rows"]]
        ):  # fmt: skip
            last["columns"].append(column)
        else:
            found.append({**table, "columns": [column]})
    return found


def _column(table: dict[str, Any]) -> list[str] | None:
    """Head of a table as a column: name and unit, plan, limit, how to read it; None where rows
    differ in those."""
    alike = {(row[1], row[2]) for row in table["rows"]}
    if table["places"] != [""] or table["test"] or len(alike) > 1:
        return None
    planned, limit = alike.pop()
    unit = f", {table['unit']}" if table["unit"] else ""
    return [f"{table['name']}{unit}", planned, limit, table["how"]]


def _places(source: Source, key: Key) -> tuple[str, ...]:
    """Where it is read: the places it was read at as found, else one."""
    known = BY_NAME[key.characteristic]
    if known.derive in _ONE_BOX or known.dimension == "test":
        return ("",)
    spots = source.job.state.spots.get(key, ())
    names = tuple(dict.fromkeys(spot.place for spot in spots))
    return names if len(names) > 1 else ("",)


def _table(
    source: Source,
    name: str,
    places: tuple[str, ...],
    keys: list[Key],
    after: Mapping[Key, Finding],
    sizes: Mapping[Key, Dimension],
    later: Mapping[Key, int],
) -> dict[str, Any]:
    known = BY_NAME[name]
    words = source.words
    unit = _unit(words, name)
    shown = places[:_MOST_PLACES] if len(places) <= _MOST_PLACES else ("",)
    rows: list[list[Any]] = []
    for key in keys:
        finding = after.get(key)
        limit = "no limit given" if finding is None else allowed(finding, words)
        again = later.get(key)
        if again is not None:
            rows.append([key.feature, f"changed again in step {again}", "judged then"])
            continue
        rows.append([key.feature, _planned(words, sizes.get(key)), limit])
    return {
        "name": name,
        "how": "; ".join(word for word in (known.gauge, known.places) if word),
        "places": list(shown),
        "all_places": "" if shown != ("",) or len(places) < 2 else ", ".join(places),
        "test": known.dimension == "test",
        "unit": unit,
        "rows": rows,
    }


def _unit(words: Words, name: str) -> str:
    if BY_NAME[name].dimension == "test":
        return ""
    unit = words.value(1, name).rpartition(" ")[2]
    return "" if unit[:1].isdigit() else unit


def _planned(words: Words, size: Dimension | None) -> str:
    """What the plan counts on; nothing where the part in hand decides."""
    if size is None or size.free or BY_NAME[size.key.characteristic].dimension == "test":
        return ""
    name = size.key.characteristic
    if BY_NAME[name].derive in (Derive.GAP, *_ONE_BOX) and size.low.value != size.high.value:
        return minus(f"at most {words.value(size.high.value, name)}")
    return minus(words.span(size.low.value, size.high.value, name))

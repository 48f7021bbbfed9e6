"""Each part of a plan with its quantity, its price, where it is, and what its choice hangs on.

A part hangs on a reading where a limit ties its size to one that work of this plan is still to
make, or where it is only taken because a reading does not prove that it is not needed. The plan has
proven that it will fit, as well as the shop's work holds its sizes; how sure that is stands with
it, so that ordering now can be weighed against waiting for the reading.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sparkout.engine.dimension import Key
from sparkout.judge.finding import Finding, Verdict
from sparkout.plan.decide import Plan
from sparkout.plan.forms import Group, MoveBy, Option, SetTo
from sparkout.plan.options.context import rank_of
from sparkout.sheet.model import Bounds, DataSheet
from sparkout.sheet.shop import Shop

__all__ = ["HERE", "NOW", "SHELF", "WHEN_READ", "Instead", "PartLine", "bill_of_parts"]

HERE, SHELF, NOW, WHEN_READ = "here", "on the shelf", "order now", "order when read"

_CENTS = 100


@dataclass(frozen=True, slots=True)
class Instead:
    """Another part that would do in its place. more: cents that plan costs beyond this one, None
    where it is not worked out; days: its wait; why: what stands against it, "" where nothing."""

    parts: tuple[str, ...]
    words: str
    more: int | None
    days: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part. pieces: that go in; packages: to buy, as it is sold; price: in cents for all.

    state: `here`, `on the shelf`, `order now` or `order when read`. days: until it comes. hangs_on:
    sizes that work of the plan is still to make and that decide whether it fits, with the operation
    behind each. sure: the least probability, over the limits it must keep, that it does fit.
    unsure: readings that may make it needless. sizes: what the data sheet says of it.
    """

    part: str
    pieces: int
    packages: int
    sold_in: int
    price: int
    state: str
    days: int
    groups: tuple[str, ...]
    hangs_on: tuple[tuple[Key, str], ...]
    sure: float | None
    unsure: tuple[str, ...]
    instead: tuple[Instead, ...]
    sizes: tuple[tuple[str, Bounds], ...] = ()


def bill_of_parts(
    plan: Plan, sheet: DataSheet, shop: Shop, received: Mapping[str, int]
) -> tuple[PartLine, ...]:
    """Every part of a plan, what waits longest first.

    received: pieces that have come to the job, by part.
    """
    pieces: dict[str, int] = {}
    users: dict[str, list[tuple[Group, Option]]] = {}
    packs: dict[str, int] = {}
    for group, option in plan.chosen:
        for use in option.parts:
            supply = shop.supply.get(use.part)
            sold = 1 if supply is None else supply.sold_in
            pieces[use.part] = pieces.get(use.part, 0) + use.count
            packs[use.part] = packs.get(use.part, 0) - (-use.count // sold)
            users.setdefault(use.part, []).append((group, option))
    made = _made(plan)
    lines = [
        _line(name, pieces[name], packs[name], users[name], made, plan, sheet, shop, received)
        for name in pieces
    ]
    return tuple(sorted(lines, key=lambda line: (-line.days, line.state != NOW)))


def _line(
    name: str,
    pieces: int,
    packages: int,
    users: list[tuple[Group, Option]],
    made: Mapping[Key, str],
    plan: Plan,
    sheet: DataSheet,
    shop: Shop,
    received: Mapping[str, int],
) -> PartLine:
    supply = shop.supply.get(name)
    sold = 1 if supply is None else supply.sold_in
    hangs, sure = _hangs_on(users, made, plan)
    unsure = tuple(dict.fromkeys(text for g, _ in users for text in _only_unsure(plan, g)))
    stock = None if supply is None else supply.on_hand
    days = 0
    if received.get(name, 0) >= pieces or (sold > 1 and received.get(name, 0)):
        state = HERE
    elif supply is not None and (
        (stock is None and not supply.lead_days) or (stock or 0) >= packages
    ):
        state = SHELF
    else:
        days = 0 if supply is None else supply.lead_days
        state = WHEN_READ if unsure or (hangs and not days) else NOW
    spec = next((part for part in sheet.parts if part.name == name), None)
    return PartLine(
        name,
        pieces,
        packages,
        sold,
        0 if supply is None else round(packages * supply.price * _CENTS),
        state,
        days,
        tuple(group.name for group, _ in users),
        hangs,
        sure,
        unsure,
        tuple(_instead(name, users, plan, shop)),
        () if spec is None else tuple(spec.sizes.items()),
    )


def _made(plan: Plan) -> dict[Key, str]:
    """Sizes that work of the plan is still to make, with the operation that makes each last."""
    found: dict[Key, tuple[int, str]] = {}
    for _, option in plan.chosen:
        ranks = {rank_of(work.operation): work.operation for work in option.work}
        for effect in option.effects:
            if effect.rank >= rank_of("part") or not ranks:
                continue
            operation = ranks.get(effect.rank) or option.work[-1].operation
            if isinstance(effect, SetTo | MoveBy):
                before = found.get(effect.key)
                if before is None or before[0] <= effect.rank:
                    found[effect.key] = (effect.rank, operation)
    return {key: operation for key, (_, operation) in found.items()}


def _hangs_on(
    users: Iterable[tuple[Group, Option]], made: Mapping[Key, str], plan: Plan
) -> tuple[tuple[tuple[Key, str], ...], float | None]:
    """What is still to be made beside the sizes a part brings, and how sure the plan is of them."""
    own = {effect.key for _, option in users for effect in option.effects}
    hangs: dict[Key, str] = {}
    sure: list[float] = []
    for finding in plan.after:
        keys = _terms(finding)
        if not keys & own or finding.verdict is not Verdict.WITHIN:
            continue
        other = {key: made[key] for key in keys - own if key in made}
        if other:
            hangs |= other
            if finding.probability is not None:
                sure.append(finding.probability)
    return tuple(hangs.items()), min(sure, default=None)


def _terms(finding: Finding) -> set[Key]:
    found = {finding.check.key}
    waiting = [finding.check.instance]
    while waiting:
        instance = waiting.pop()
        found |= {key for _, key in instance.terms}
        waiting += [inner for _, inner in instance.inner]
    return found


def _only_unsure(plan: Plan, group: Group) -> tuple[str, ...]:
    """The findings that alone ask for a choice, where none of them is proven."""
    reason = next((item for item in plan.reasons if item.group == group.name), None)
    if reason is None:
        return ()
    before = {finding.check.name: finding for finding in plan.before}
    keep = next((item for item in reason.refused if item.option == group.keep), None)
    rules = () if keep is None else tuple(keep.rules)
    asked = [before[rule] for rule in rules if rule in before]
    if not asked or len(asked) < len(rules):
        return ()
    if any(finding.verdict is not Verdict.NOT_PROVEN for finding in asked):
        return ()
    return tuple(finding.reason for finding in asked)


def _instead(
    name: str, users: Iterable[tuple[Group, Option]], plan: Plan, shop: Shop
) -> Iterable[Instead]:
    """Other parts for the same thing, as far as they are on the lists."""
    seen: set[tuple[str, ...]] = set()
    for group, chosen in users:
        reason = next((item for item in plan.reasons if item.group == group.name), None)
        refused = {} if reason is None else {item.option: item for item in reason.refused}
        for option in group.options:
            parts = tuple(use.part for use in option.parts)
            if option.name == chosen.name or not parts or name in parts or parts in seen:
                continue
            if option.impossible:
                continue
            seen.add(parts)
            told = refused.get(option.name)
            days = max((_wait(part, shop) for part in parts), default=0)
            barred = told is not None and told.extra is None
            yield Instead(
                parts,
                option.words,
                None if told is None else told.extra,
                days,
                told.sentence if barred and told is not None else "",
            )


def _wait(part: str, shop: Shop) -> int:
    supply = shop.supply.get(part)
    return 0 if supply is None or supply.on_hand else supply.lead_days

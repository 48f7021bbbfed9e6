"""Where nothing holds every limit: what would have to give, and what the plan would then cost.

A limit given way on, or a part that is not to be had got after all: each is tried on the whole
model, the cheapest first to tell. Where one is not enough, two are tried together. Whether to give
way is for a person to decide, never for the planner.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from sparkout.judge.checks import Check
from sparkout.judge.words import Words
from sparkout.plan.compile import Compiled
from sparkout.plan.conflict import Questions
from sparkout.plan.explain import picked
from sparkout.plan.forms import HoldsTo
from sparkout.plan.joined import Plan as Picked
from sparkout.plan.tell import Teller
from sparkout.solve import Model, Optimum, Window, best, table

__all__ = ["Relief", "reliefs", "standing_still"]

_MOST = 24
"""Whole solves that one question may take."""


@dataclass(frozen=True, slots=True)
class Relief:
    """What would make a plan possible.

    rules: limits given way on. parts: group and option that are not to be had today. cost: of the
    plan then, in cents; a part without a price is not in it.
    """

    rules: tuple[str, ...]
    parts: tuple[tuple[str, str], ...]
    cost: int
    sentence: str


def standing_still(compiled: Compiled) -> Picked:
    """Everything left as it is, as far as that can be had at all."""
    options: dict[str, int] = {}
    by_name = {group.name: group for group in compiled.problem.groups}
    for choice in compiled.model.choices:
        group = by_name.get(choice.name)
        options[choice.name] = 0
        if group is None:
            continue
        names = [option.name for option in group.options]
        if group.keep in names and not group.option(group.keep).impossible:
            options[choice.name] = names.index(group.keep)
        else:
            can = [at for at, option in enumerate(group.options) if not option.impossible]
            options[choice.name] = can[0] if can else 0
    return Picked(options, {amount.name: amount.low for amount in compiled.model.amounts})


Lifted = tuple[frozenset[str], frozenset[tuple[str, str]]]


def reliefs(
    compiled: Compiled, conflict: Iterable[str], silent: Iterable[str], words: Words
) -> tuple[Relief, ...]:
    """Ways out of a conflict, the cheapest first."""
    waiting: list[Lifted] = [_lift(one) for one in _candidates(compiled, (*conflict, *silent))]
    found: list[Relief] = []
    tried = 0
    for size in (1, 2):
        longer: list[Lifted] = []
        for lifted in waiting:
            if tried >= _MOST:
                break
            tried += 1
            model = _without(compiled, lifted)
            answer = best(model)
            if isinstance(answer, Optimum):
                found.append(_relief(compiled, lifted, answer, words))
            elif size == 1:
                longer += _further(compiled, lifted, model)
        if found or not longer:
            break
        waiting = longer
    return tuple(sorted(found, key=lambda relief: relief.cost))


def _candidates(compiled: Compiled, names: Iterable[str]) -> list[str | tuple[str, str]]:
    """What stands in a conflict and could give: limits, and options that are not to be had."""
    rules: list[str | tuple[str, str]] = []
    groups: dict[str, None] = {}
    windows = {item.name: item for item in compiled.model.windows}
    for name in names:
        if isinstance(compiled.rules[name], Check | HoldsTo):
            rules.append(name)
        groups.update(dict.fromkeys(windows[name].choices))
    for group in compiled.problem.groups:
        if group.name in groups:
            rules += [
                (group.name, option.name)
                for option in group.options
                if option.impossible and (option.parts or option.work)
            ]
    return rules


def _lift(one: str | tuple[str, str]) -> Lifted:
    if isinstance(one, str):
        return frozenset((one,)), frozenset()
    return frozenset(), frozenset((one,))


def _further(compiled: Compiled, lifted: Lifted, model: Model) -> list[Lifted]:
    """The same with one thing more of what then stands in the way."""
    narrower = replace(compiled, model=model)
    conflict = Questions(narrower, standing_still(narrower)).against({})
    if conflict is None:
        return []
    more = _candidates(narrower, (*conflict.rules, *conflict.silent))
    return [
        (lifted[0] | rules, lifted[1] | parts) for rules, parts in map(_lift, more)
    ]  # fmt: skip


def _without(compiled: Compiled, lifted: Lifted) -> Model:
    rules, parts = lifted
    windows: list[Window] = []
    for item in compiled.model.windows:
        if item.name in rules:
            continue
        mine = [option for group, option in parts if item.name == f"{group}: cannot be had"]
        if mine:
            (name,) = item.choices
            options = compiled.model.choices[compiled.model.choice_at[name]].options
            allowed = [
                bool(ok) or option in mine for ok, option in zip(item.allowed, options, strict=True)
            ]
            windows.append(table(item.name, (name,), allowed))
            continue
        windows.append(item)
    model = compiled.model
    return Model(model.choices, model.amounts, tuple(windows), model.shared, model.tallies)


def _relief(compiled: Compiled, lifted: Lifted, answer: Optimum, words: Words) -> Relief:
    rules, parts = lifted
    teller = Teller(Questions(compiled, picked(compiled, answer)), {}, words)
    said = [teller.come_to(name) for name in sorted(rules)]
    by_name = {group.name: group for group in compiled.problem.groups}
    for group, option in sorted(parts):
        taken = by_name[group].option(option)
        got = " and ".join(use.part for use in taken.parts)
        elsewhere = not got or "no operation" in taken.impossible
        what = f"have it done elsewhere: {taken.words}" if elsewhere else f"get {got}"
        said.append(f"{what} ({taken.impossible})")
    cost = f"the plan then costs {answer.cost / 100:.2f}"
    whys = [by_name[g].option(o).impossible for g, o in parts]
    for gap, what in (("no price", "part"), ("no operation", "work")):
        if any(gap in why for why in whys):
            cost += f", that {what} not counted"
    sentence = f"{'; and '.join(said)}: {cost}."
    return Relief(
        tuple(sorted(rules)),
        tuple(sorted(parts)),
        answer.cost,
        sentence[0].upper() + sentence[1:],
    )

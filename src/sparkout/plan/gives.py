"""Where a limit that cannot be kept is broken least: what it would come to at best."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from sparkout.plan.conflict import Conflict, Questions
from sparkout.plan.draft import Draft
from sparkout.plan.joined import Cell, Joined, joined
from sparkout.plan.sizes import MICRO
from sparkout.plan.tables import Table, tabled
from sparkout.solve import OverBudget

__all__ = ["where_it_gives"]


def where_it_gives(
    questions: Questions, main: str, conflict: Conflict, forced: Mapping[str, int]
) -> Cell | None:
    """The combination that breaks a rule of a conflict least and keeps all the others."""
    draft = questions.compiled.drafts.get(main)
    if draft is None:
        return None
    names = [n for n in (*conflict.rules, *conflict.silent) if n != main]
    rest = {name: questions.windows[name] for name in names}
    table = tabled([draft.recipe])[0]
    # what its groups and amounts can be at all counts too, and what goes together among them: a
    # piece of a set is in no bore where that set is not used
    about = {*table.groups[0], *table.amounts[0]}
    for name in about:
        for item in questions.about.get(name, ()):
            given = isinstance(questions.compiled.rules.get(item.name), str)
            if given and (len(item.choices) == 1 or about.issuperset(item.scope)):
                rest[item.name] = item
    model = questions.compiled.model
    only: dict[str, list[int]] = {name: [at] for name, at in forced.items()}
    for name in table.groups[0]:
        count = len(model.choices[model.choice_at[name]].options)
        only.setdefault(name, list(range(count)))
    try:
        space = joined(model, list(rest.values()), only)
    except OverBudget:
        return None
    return space.nearest(questions.plan, _badness(questions, space, draft, table))


def _badness(questions: Questions, space: Joined, draft: Draft, table: Table) -> list[Any]:
    """By how much the limit is missed in each combination, in millionths."""
    groups = table.groups[0]
    step = {name: float(k) / MICRO for name, k in questions.compiled.steps.items()}
    cell = np.ix_(
        *[
            [classes[at] for at in space.domains[space.choices.index(group)]]
            for group, classes in zip(groups, table.classes, strict=True)
        ]
    )
    thin = [1] * space.holds.ndim
    for group in groups:
        at = space.choices.index(group)
        thin[at] = len(space.domains[at])
    turn = sorted(range(len(groups)), key=lambda k: space.choices.index(groups[k]))

    def lie(array: Any) -> Any:
        cut = array[0][cell] if groups else array[0]
        return cut.transpose(turn).reshape(thin) if groups else cut.reshape(thin)

    new, free = lie(table.new), lie(table.free)
    lower = np.where(new, draft.new[0], draft.service[0])
    upper = np.where(new, draft.new[1], draft.service[1])
    if draft.single:
        moved = lie(table.size)
        lower = np.where(free, -np.inf, lower + moved)
        upper = np.where(free, np.inf, upper + moved)
    moves = np.broadcast_to(table.moves, (*table.low.shape, len(table.amounts[0])))
    both = []
    for end in (space.low, space.high):
        shift: Any = 0.0
        for k, name in enumerate(table.amounts[0]):
            per = lie(moves[..., k]) * step[name]
            if name == space.last:
                shift = shift + per * end
            elif name in space.grid:
                at = space.grid.index(name)
                span = [1] * space.holds.ndim
                span[len(space.choices) + at] = -1
                shift = shift + per * space.steps[at].reshape(span)
            else:
                shift = shift + per * questions.plan.amounts[name]
        missed = np.maximum(lower - lie(table.low) - shift, lie(table.high) + shift - upper)
        # to ten nanometres: what differs by less is as bad
        both.append(np.broadcast_to(np.round(missed, -1), space.holds.shape))
    return both

"""Which windows and tallies stand in each other's way, where a model has no plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sparkout.solve.answer import NoPlan
from sparkout.solve.best import best
from sparkout.solve.eliminate import CELLS
from sparkout.solve.model import Amount, Choice, Model, Tally, Window

__all__ = ["smallest_conflict"]

Rule = Window | Tally


def smallest_conflict(
    model: Model, *, cells: int = CELLS, seconds: float = 600.0
) -> tuple[str, ...] | None:
    """Windows and tallies that cannot hold together, none of them needless.

    Without any one of them the others can be kept. There may be other such sets, and smaller ones;
    of two windows that could stand for each other the one listed later in the model is kept. ():
    not even the options and ranges alone leave a plan. None: there is a plan. Found by halving
    (U. Junker, QuickXplain, AAAI 2004), with `best` to tell what can hold together. cells, seconds:
    its budget for each question; OverBudget is raised where it does not suffice.
    """
    bare = _bare(model)
    rules: list[Rule] = [*model.windows, *model.tallies]

    def holds(some: Sequence[Rule]) -> bool:
        trial = replace(
            bare,
            windows=tuple([rule for rule in some if isinstance(rule, Window)]),
            tallies=tuple([rule for rule in some if isinstance(rule, Tally)]),
        )
        return not isinstance(best(trial, cells=cells, seconds=seconds, compiled=None), NoPlan)

    def needed(background: list[Rule], new: bool, rest: list[Rule]) -> list[Rule]:
        """Of `rest`, a least set that cannot hold with the background; new: it has grown."""
        if new and not holds(background):
            return []
        if len(rest) == 1:
            return rest
        middle = len(rest) // 2
        first, second = rest[:middle], rest[middle:]
        more = needed(background + first, bool(first), second)
        return needed(background + more, bool(more), first) + more

    if holds(rules):
        return None
    if not rules or not holds([]):
        return ()
    place = {rule.name: at for at, rule in enumerate(rules)}
    found = needed([], False, rules)
    return tuple(sorted([rule.name for rule in found], key=place.__getitem__))


def _bare(model: Model) -> Model:
    """Options and ranges only, at no cost: whether there is a plan does not depend on costs."""
    return Model(
        tuple([Choice(c.name, c.options, (0,) * len(c.options)) for c in model.choices]),
        tuple([Amount(a.name, a.low, a.high) for a in model.amounts]),
    )

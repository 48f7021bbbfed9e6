"""What more life costs: the cheapest plan for every level of it, each proven.

The life of a plan is the time until the first limit of wear that this job could push out is
reached. Limits that nothing on the lists can push out stand aside, by name: they are the same
whatever is chosen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from sparkout.plan.ask import neighbourhood
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.offers.scale import Scale, levels_of, tightened
from sparkout.plan.offers.settle import sizes_after
from sparkout.plan.offers.wear import Wearing
from sparkout.plan.problem import Problem
from sparkout.solve import Model, NoPlan, Optimum, best

__all__ = ["Front", "Point", "Solver", "asking_for", "front"]

Solver = Callable[[Compiled], Optimum | NoPlan]


@dataclass(frozen=True, slots=True, eq=False)
class Point:
    """The cheapest plan with at least this level of life. first: the limits that are reached first.

    levels: of every limit of wear this job could push out.
    """

    level: int
    cost: int
    optimum: Optimum
    levels: Mapping[str, int]
    first: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Front:
    """Points by rising cost and life. base: the model all of them are plans of.

    aside: limits of wear that no option pushes out, with the level they stay at. complete: no
    plan has more life than the last point (or the scale ends there).
    """

    base: Compiled
    scale: Scale
    points: tuple[Point, ...]
    aside: tuple[tuple[str, int], ...]
    complete: bool


def asking_for(
    problem: Problem,
    items: Iterable[Wearing],
    scale: Scale,
    level: int,
    aside: Mapping[str, int] | None = None,
) -> Problem:
    """The problem with every limit of wear moved in by the life that is asked for.

    aside: limits that are held to a level of their own instead.
    """
    held = {} if aside is None else aside
    moved = {
        item.check.name: tightened(
            item.check, item, scale.need(item, held.get(item.check.name, level))
        )
        for item in items
    }
    return replace(problem, checks=tuple(moved.get(check.name, check) for check in problem.checks))


def front(
    problem: Problem,
    items: tuple[Wearing, ...],
    scale: Scale,
    solve: Solver,
    *,
    enough: Callable[[tuple[Point, ...]], bool] = lambda points: False,
) -> Front | NoPlan:
    """The points by rising life, from the cheapest plan on.

    items: the limits of wear that this job could push out. enough: asked after each point whether
    more are of no interest.
    """
    base = compile_problem(problem)
    some = tuple(item for item in items if scale.need(item, 1) > 0)
    answer: Optimum | NoPlan | None = solve(base)
    if isinstance(answer, NoPlan):
        return answer
    assert answer is not None
    start = answer
    least = levels_of(problem, some, scale, sizes_after(base, start))
    aside: dict[str, int] = {}
    points: list[Point] = []
    while True:
        if isinstance(answer, Optimum):
            levels = levels_of(problem, some, scale, sizes_after(base, answer))
            # What was asked for is proven by the windows of the model; the judge may see more.
            asked_for = points[-1].level + 1 if points else 0
            points = _with(points, _point(answer, levels, aside, scale, asked_for))
            answer = None
        last = points[-1]
        if last.level >= scale.top or enough(tuple(points)):
            done = last.level >= scale.top
            return Front(base, scale, tuple(points), tuple(aside.items()), done)
        stuck = [
            item.check.name
            for item in some
            if item.check.name in last.first
            and least[item.check.name] == last.level
            and not _can_rise(base, item, scale, last.level + 1)
        ]
        if stuck:
            aside |= dict.fromkeys(stuck, last.level)
            if any(point.levels[name] < last.level for point in points for name in stuck):
                # A point let it fall below where it stands anyway: begin again, holding it there.
                answer, points = start, []
            else:
                again, points = points, []
                for point in again:
                    points = _with(points, _point(point.optimum, point.levels, aside, scale))
            continue
        asked = asking_for(problem, some, scale, last.level + 1, aside)
        answer = solve(compile_problem(asked))
        if isinstance(answer, NoPlan):
            return Front(base, scale, tuple(points), tuple(aside.items()), True)


def _with(points: list[Point], point: Point) -> list[Point]:
    """Points with one more; of two that cost the same or last as long, the better."""
    kept = [p for p in points if not (p.cost >= point.cost and p.level <= point.level)]
    beaten = any(p.cost <= point.cost and p.level >= point.level for p in kept)
    return kept if beaten else [*kept, point]


def _point(
    optimum: Optimum,
    levels: Mapping[str, int],
    aside: Mapping[str, int],
    scale: Scale,
    at_least: int = 0,
) -> Point:
    counted = {name: level for name, level in levels.items() if name not in aside}
    level = max(at_least, min(counted.values(), default=scale.top))
    first = tuple(name for name, its in counted.items() if its == level)
    return Point(level, optimum.cost, optimum, levels, first if level < scale.top else ())


def _can_rise(base: Compiled, item: Wearing, scale: Scale, level: int) -> bool:
    """Whether any allowed plan gives this one limit that much life, all others only holding."""
    name = item.check.name
    moved = tightened(item.check, item, scale.need(item, level))
    alone = compile_problem(replace(base.problem, checks=(moved,)))
    window = next((found for found in alone.model.windows if found.name == name), None)
    if window is None:
        return True  # no combination breaks it
    rest = tuple(found for found in base.model.windows if found.name != name)
    model = Model(base.model.choices, base.model.amounts, (*rest, window), (), base.model.tallies)
    if not window.choices:
        return not isinstance(best(model), NoPlan)
    return not isinstance(best(neighbourhood(model, window.choices[0])), NoPlan)

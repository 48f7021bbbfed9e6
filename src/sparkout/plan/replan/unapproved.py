"""Work in the log that nobody approved: the plan it belongs to, from the engine as it was found.

What is cut stays cut, approved or not: so the plan is the cheapest that does that work, and what
the work asks for in its turn (a ground shaft its crack test) stands in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Frame
from sparkout.job.bodies import Reading, Work
from sparkout.job.replay import Standing
from sparkout.judge.finding import Verdict, judge_all
from sparkout.plan.decide import Plan, problem_of
from sparkout.plan.forms import Group, Option, SetTo
from sparkout.plan.offers import settled
from sparkout.plan.replan.done import left_ids
from sparkout.plan.replan.situation import Situation, Worked, situation_at
from sparkout.plan.whatif import Inputs, Take, solved_with
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import NoPlan
from sparkout.units import QuantityError, parse

__all__ = ["plan_of_work"]

_LATER = ("left", "mock-up")


def plan_of_work(
    sheet: DataSheet, shop: Shop, frame: Frame, standing: Iterable[Standing]
) -> Plan | None:
    """The cheapest plan of the engine as found that does the work in the log; None without work,
    and where no plan holds every limit.

    Work that no option has is left to be told of: nothing is known of what it does.
    """
    some = tuple(standing)
    now = situation_at(sheet, shop, frame, some)
    if not now.work:
        return None
    found = situation_at(sheet, shop, frame, tuple(e for e in some if not _later(e)))
    groups = problem_of(sheet, shop, found.state, found.checks).groups
    takes = [take for group in groups if (take := _take(group, now)) is not None]
    inputs = Inputs(sheet, shop, found.state, found.checks)
    # Work that cannot be had by any plan (it does not clean up) is no reason to have no plan.
    for wanted in (takes, []) if takes else ([],):
        compiled, answer = solved_with(inputs, wanted)
        if isinstance(answer, NoPlan):
            continue
        findings = judge_all(
            found.checks, found.state.sizes, confidence=float(shop.confidence), rule=shop.rule,
            words=found.words,
        )  # fmt: skip
        left_out = tuple(
            finding
            for finding in findings
            if finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)
            and finding.check.name not in compiled.rules
            and finding.check.limit.must
        )
        by_name = {finding.check.name: finding for finding in findings}
        return settled(compiled, answer, found.words, by_name, left_out)
    return None


def _later(entry: Standing) -> bool:
    """Whether an entry tells of the engine after work."""
    body = entry.body
    return isinstance(body, Work) or (isinstance(body, Reading) and body.phase in _LATER)


def _take(group: Group, now: Situation) -> Take | None:
    """The options of a group that do most of the recorded work, nearest to the sizes it left."""
    done = {option.name: _matched(option, group, now.work) for option in group.options}
    most = max((len(found) for found in done.values()), default=0)
    if not most:
        return None
    some = [option for option in group.options if len(done[option.name]) == most]
    left = left_ids(now.state)
    read = {key: size for key, size in now.state.sizes.items() if set(size.entries) & left}
    made = {option.name: _made(option, group) for option in some}
    shared = set.intersection(*(set(effects) for effects in made.values()))
    far = {
        name: _distance([effects[key] for key in sorted(shared)], now, read)
        for name, effects in made.items()
    }
    nearest = min(far.values())
    return Take(group.name, tuple(name for name, value in far.items() if value == nearest))


def _matched(option: Option, group: Group, work: Iterable[Worked]) -> set[tuple[str, str]]:
    """Operations and features of an option that the log has."""
    return {
        (step.operation, name)
        for item in work
        for step in option.work
        if " ".join(item.body.operation.split()).casefold() == step.operation
        for name in step.features
        if name in item.body.features
        or (group.name in item.body.features and group.name not in step.features)
    }


def _made(option: Option, group: Group) -> dict[Key, SetTo]:
    """The sizes that an option gives to the features of its group."""
    return {
        effect.key: effect
        for effect in option.effects
        if isinstance(effect, SetTo) and effect.key.feature in group.features
    }


def _distance(made: Iterable[SetTo], now: Situation, read: Mapping[Key, Dimension]) -> Fraction:
    """How far from what was read, or else was worked to, an option would leave what it makes."""
    some = tuple(made)
    by_reading = [abs(read[e.key].low.value - e.low.value) for e in some if e.key in read]
    if by_reading:
        return sum(by_reading, Fraction(0))
    unit = "in" if now.shop.units == "inch" else "mm"
    far = Fraction(0)
    for item in now.work:
        value = _target(item.body, unit)
        for effect in some:
            if value is not None and effect.size and effect.key.feature in item.body.features:
                # worked to a size (64.740), or by how much under or over (0.25)
                far += min(abs(value - effect.low.value), abs(value - abs(effect.size)))
    return far


def _target(work: Work, unit: str) -> Fraction | None:
    if not work.target.strip():
        return None
    try:
        return parse(work.target, "length", unit).value
    except QuantityError:
        return None

"""The plan that was approved, worked out again from the log as it stood then.

The log holds a digest, not a plan: the same entries give the same plan, so it is made again and its
digest compared. Where it is none that can be made again, that is said.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import chain
from types import MappingProxyType

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Frame
from sparkout.job.bodies import Approval, Choice
from sparkout.job.entry import Entry, order
from sparkout.job.replay import Standing, replay
from sparkout.judge.finding import judge_all
from sparkout.plan.compile import compile_problem
from sparkout.plan.decide import Plan, problem_of
from sparkout.plan.forms import Option
from sparkout.plan.offers import Offer, Offers, history_of, make_offers, settled
from sparkout.plan.replan.digest import digest_in, plan_digest
from sparkout.plan.replan.done import DONE
from sparkout.plan.replan.replan import Before, Replanned, replan
from sparkout.plan.replan.situation import Situation, situation_at
from sparkout.plan.replan.unapproved import plan_of_work
from sparkout.plan.whatif import Inputs, Take, solved_with
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import NoPlan, best

__all__ = [
    "Approved",
    "Meant",
    "amount_said",
    "approved_plan",
    "open_work",
    "plan_meant",
    "whole_plan",
    "worked_plan",
]


@dataclass(frozen=True, slots=True, eq=False)
class Approved:
    """What was approved, by whom, and the plan it was.

    digest: of the plan; named: whether the approval names it. amount: as typed. plan: None where
    no plan of that digest comes out of the log as it stood; then why. before: what earlier plans
    had brought about. entries: ids of the work that was done under earlier plans. Where nothing is
    approved and work is in the log, entry is "" and the plan the one that work belongs to.
    """

    entry: str
    at: str
    what: str
    by_whom: str
    how: str
    amount: str
    currency: str
    declined: tuple[str, ...]
    plan: Plan | None
    digest: str
    named: bool
    before: Before
    entries: frozenset[str] = frozenset()
    why: str = ""

    @property
    def given(self) -> bool:
        """Whether anything is approved at all."""
        return bool(self.entry)


@dataclass(frozen=True, slots=True, eq=False)
class _Moment:
    """The job when something was approved. standing: what counted then."""

    standing: tuple[Standing, ...]
    now: Situation
    again: Replanned | None
    before: Before = field(default_factory=Before)


def approved_plan(
    sheet: DataSheet, shop: Shop, frame: Frame, entries: Iterable[Entry]
) -> Approved | None:
    """The plan approved last; None where nothing is approved.

    Approvals are gone through in their order: a later one is of what was left to do then, with the
    work in it that was done under the earlier one.
    """
    ordered = tuple(sorted(entries, key=order))
    last: Approved | None = None
    for standing in replay(ordered).effective:
        body = standing.body
        if not isinstance(body, Approval):
            continue
        at = next(i for i, entry in enumerate(ordered) if entry.id == standing.id)
        wanted = digest_in(body.what)
        moment, found = _approved_at(sheet, shop, frame, ordered[:at], last, wanted, body.what)
        why = "" if found is not None else (
            f"no plan with the digest {wanted} comes out of the log as it stood then: the data "
            "sheet, the shop's file or the supply list have changed since"
            if wanted
            else "nothing on the lists made a plan when it was approved"
        )  # fmt: skip
        last = Approved(
            standing.id,
            standing.at,
            body.what,
            body.by_whom,
            body.how,
            body.amount,
            body.currency,
            body.declined,
            found,
            plan_digest(found) if found is not None else wanted,
            bool(wanted),
            moment.before,
            frozenset(item.entry for item in moment.now.work),
            why,
        )
    return last


def worked_plan(
    sheet: DataSheet, shop: Shop, frame: Frame, standing: Iterable[Standing]
) -> Approved | None:
    """The plan that work in the log belongs to where nothing is approved; None without work."""
    plan = plan_of_work(sheet, shop, frame, standing)
    if plan is None:
        return None
    return Approved("", "", "", "", "", "", "", (), plan, plan_digest(plan), False, Before())


def whole_plan(approved: Approved) -> Plan | None:
    """The approved plan with the work in it that was done under earlier ones, as it was chosen."""
    if approved.plan is None:
        return None
    first: dict[str, Option] = {}
    for item in chain.from_iterable(approved.before.stages):
        if not item.option.name.endswith(DONE):
            first.setdefault(item.group.name, item.option)
    chosen = tuple(
        (group, first.get(group.name, option) if option.name.endswith(DONE) else option)
        for group, option in approved.plan.chosen
    )
    return replace(approved.plan, chosen=chosen)


def open_work(approved: Approved, now: Situation) -> Situation:
    """The situation with the work alone that came after an approval."""
    work = tuple(item for item in now.work if item.entry not in approved.entries)
    return Situation(now.sheet, now.shop, now.state, now.checks, work, now.received)


def _approved_at(
    sheet: DataSheet,
    shop: Shop,
    frame: Frame,
    before: tuple[Entry, ...],
    last: Approved | None,
    wanted: str,
    what: str,
) -> tuple[_Moment, Plan | None]:
    """The job when something was approved, and the plan that was meant.

    Work that was done before anything was approved stands in the plan as done; a digest may also be
    of a plan that was made without regard to it.
    """
    if last is None:
        begun = worked_plan(sheet, shop, frame, replay(before).effective)
        if begun is not None:
            moment = _moment(sheet, shop, frame, before, begun)
            found = _found(moment, wanted, what)
            if found is not None:
                return moment, found
    moment = _moment(sheet, shop, frame, before, last)
    return moment, _found(moment, wanted, what)


def _moment(
    sheet: DataSheet,
    shop: Shop,
    frame: Frame,
    before: tuple[Entry, ...],
    earlier: Approved | None,
) -> _Moment:
    standing = replay(before).effective
    now = situation_at(sheet, shop, frame, standing)
    if earlier is None or earlier.plan is None:
        return _Moment(standing, now, None, Before())
    again = replan(earlier.plan, open_work(earlier, now), earlier.before)
    stages = earlier.before.stages + ((again.done,) if again.done else ())
    base: Mapping[Key, Dimension] = again.state.sizes if stages else {}
    spent = again.spent if stages else 0
    return _Moment(standing, now, again, Before(stages, spent, MappingProxyType(dict(base))))


def _found(moment: _Moment, wanted: str, what: str) -> Plan | None:
    """The plan of a digest or of an offer's name; without either, the plan the job had then."""
    again = moment.again
    if again is not None:
        for plan in (again.plan, again.free):
            if plan is not None and plan_digest(plan).startswith(wanted):
                return plan
        if moment.before.stages:
            return None  # metal is gone: nothing else that was ever offered can still be meant
    now = moment.now
    cheapest = _cheapest(now)
    if wanted:
        if cheapest is None or plan_digest(cheapest).startswith(wanted):
            return cheapest
        offered, points = _offered(now, moment.standing)
        plans = (*(offer.plan for offer in offered), *points)
        for plan in (*plans, *_chosen(now, cheapest, moment.standing, wanted)):
            if plan_digest(plan).startswith(wanted):
                return plan
        return None
    named = re.search(r"best value|as new", what.casefold())
    if named is not None:
        offered, _ = _offered(now, moment.standing)
        return next((offer.plan for offer in offered if offer.name == named[0]), None)
    return cheapest


def _cheapest(now: Situation) -> Plan | None:
    compiled = compile_problem(problem_of(now.sheet, now.shop, now.state, now.checks))
    found = best(compiled.model)
    if isinstance(found, NoPlan):
        return None
    return settled(compiled, found, now.words, {})


def _offered(
    now: Situation, standing: Iterable[Standing]
) -> tuple[tuple[Offer, ...], tuple[Plan, ...]]:
    """The plans that could be offered at that moment, whatever the deadline or budget was."""
    problem = problem_of(now.sheet, now.shop, now.state, now.checks)
    findings = judge_all(
        problem.checks, problem.sizes, confidence=problem.confidence, rule=problem.rule
    )
    made = make_offers(
        problem, now.shop, findings, now.words, history=history_of(standing, now.shop)
    )
    if not isinstance(made, Offers):
        return (), ()
    points = tuple(
        settled(made.front.base, point.optimum, now.words, {}) for point in made.front.points
    )
    return made.offers, points


def _chosen(
    now: Situation, cheapest: Plan, standing: Iterable[Standing], wanted: str
) -> tuple[Plan, ...]:
    """The plan with the choices that were entered for it: group and option, with its digest."""
    groups = {group.name: group for group in cheapest.compiled.problem.groups}
    takes = []
    for entry in standing:
        body = entry.body
        if not isinstance(body, Choice) or not body.plan:
            continue
        if not (body.plan.startswith(wanted) or wanted.startswith(body.plan)):
            continue
        group = groups.get(body.what)
        if group is not None and any(option.name == body.option for option in group.options):
            takes.append(Take(body.what, (body.option,)))
    if not takes:
        return ()
    inputs = Inputs(now.sheet, now.shop, now.state, now.checks)
    compiled, found = solved_with(inputs, takes)
    return () if isinstance(found, NoPlan) else (settled(compiled, found, now.words, {}),)


@dataclass(frozen=True, slots=True, eq=False)
class Meant:
    """What an approval would be of. plan: None where there is no such plan; digest: of that plan,
    or the one that was typed; named: whether a digest was typed; instead: of the plan as it now is,
    "" where there is none."""

    plan: Plan | None
    digest: str
    named: bool
    instead: str
    before: Before


def plan_meant(
    sheet: DataSheet, shop: Shop, frame: Frame, entries: Iterable[Entry], what: str
) -> Meant:
    """The plan that an approval in these words, entered now, would be of."""
    ordered = tuple(sorted(entries, key=order))
    last = approved_plan(sheet, shop, frame, ordered)
    wanted = digest_in(what)
    moment, found = _approved_at(sheet, shop, frame, ordered, last, wanted, what)
    now = found if not wanted else _approved_at(sheet, shop, frame, ordered, last, "", "")[1]
    return Meant(
        found,
        wanted if found is None else plan_digest(found),
        bool(wanted),
        "" if now is None else plan_digest(now),
        moment.before,
    )


def amount_said(typed: str) -> Fraction | None:
    """An approved amount as a number; None where it is not one above zero.

    The last point or comma parts the cents, where one or two digits follow it; all others part
    thousands.

    >>> [amount_said(text) for text in ("3991.60 EUR", "5.268,91", "5,268", "about 4000", "-50")]
    [Fraction(19958, 5), Fraction(526891, 100), Fraction(5268, 1), None, None]
    """
    text = re.sub(r"[\s'’]", "", typed)
    found = re.fullmatch(r"[A-Z]{0,3}[€$£]?(\d[\d.,]*)(?:[A-Z]{3}|[€$£])?", text)
    if found is None:
        return None
    whole, cents = found[1], ""
    tail = re.search(r"[.,](\d{1,2})$", whole)
    if tail is not None:
        whole, cents = whole[: tail.start()], tail[1]
    if re.fullmatch(r"\d+|\d{1,3}(?:\.\d{3})+|\d{1,3}(?:,\d{3})+", whole) is None:
        return None
    amount = Fraction(re.sub(r"[.,]", "", whole) + (f".{cents}" if cents else ""))
    return amount if amount > 0 else None

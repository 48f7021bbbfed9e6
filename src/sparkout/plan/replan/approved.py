"""The plan that was approved, worked out again from the log as it stood then.

The log holds a digest, not a plan: the same entries give the same plan, so it is made again and its
digest compared. Where it is none that can be made again, that is said.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.frame import Frame
from sparkout.engine.from_log import locate
from sparkout.engine.known import with_known
from sparkout.engine.state import measured_state
from sparkout.job.bodies import Approval, Choice, Part, Work
from sparkout.job.entry import Entry, order
from sparkout.job.replay import Standing, replay
from sparkout.judge.checks import checks
from sparkout.judge.finding import judge_all
from sparkout.plan.compile import compile_problem
from sparkout.plan.decide import Plan, problem_of
from sparkout.plan.offers import Offers, history_of, make_offers, settled
from sparkout.plan.replan.digest import digest_in, plan_digest
from sparkout.plan.replan.replan import Situation, replan
from sparkout.plan.whatif import Inputs, Take, solved_with
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop
from sparkout.solve import NoPlan, best

__all__ = ["Approved", "approved_plan", "approved_price", "situation_of"]


@dataclass(frozen=True, slots=True, eq=False)
class Approved:
    """What was approved, by whom, and the plan it was.

    digest: of the plan; named: whether the approval names it. amount: as typed. plan: None where
    no plan of that digest comes out of the log as it stood; then why.
    """

    entry: str
    at: str
    by_whom: str
    how: str
    amount: str
    currency: str
    declined: tuple[str, ...]
    plan: Plan | None
    digest: str
    named: bool
    why: str = ""


def situation_of(sheet: DataSheet, shop: Shop, frame: Frame, entries: Iterable[Entry]) -> Situation:
    """A job as some of its entries have it."""
    standing = replay(entries).effective
    located = locate(standing, frame, sheet, shop)
    state = with_known(measured_state(frame, located.spots, located.tests), sheet)
    return Situation(
        sheet,
        shop,
        state,
        checks(sheet, frame),
        tuple(entry.body for entry in standing if isinstance(entry.body, Work)),
        tuple(entry.body.part for entry in standing if isinstance(entry.body, Part)),
    )


def approved_plan(
    sheet: DataSheet, shop: Shop, frame: Frame, entries: Iterable[Entry]
) -> Approved | None:
    """The plan approved last; None where nothing is approved.

    Approvals are gone through in their order, because a later one may be of a plan that already
    kept to an earlier one.
    """
    ordered = tuple(sorted(entries, key=order))
    last: Approved | None = None
    for standing in replay(ordered).effective:
        body = standing.body
        if not isinstance(body, Approval):
            continue
        before = ordered[: next(i for i, e in enumerate(ordered) if e.id == standing.id)]
        wanted = digest_in(body.what)
        found = _found(sheet, shop, frame, before, wanted, None if last is None else last.plan)
        why = "" if found is not None else (
            f"no plan with the digest {wanted} comes out of the log as it stood then: the data "
            "sheet, the shop's file or the supply list have changed since"
            if wanted
            else "nothing on the lists made a plan when it was approved"
        )  # fmt: skip
        last = Approved(
            standing.id,
            standing.at,
            body.by_whom,
            body.how,
            body.amount,
            body.currency,
            body.declined,
            found,
            plan_digest(found) if found is not None else wanted,
            bool(wanted),
            why,
        )
    return last


def _found(
    sheet: DataSheet,
    shop: Shop,
    frame: Frame,
    before: tuple[Entry, ...],
    wanted: str,
    earlier: Plan | None,
) -> Plan | None:
    """The plan of a digest; without one, the plan the job had at that moment."""
    now = situation_of(sheet, shop, frame, before)
    if earlier is not None:
        again = replan(earlier, now)
        if again.plan is not None and plan_digest(again.plan).startswith(wanted):
            return again.plan
    cheapest = _cheapest(now)
    if cheapest is None or plan_digest(cheapest).startswith(wanted):
        return cheapest
    standing = replay(before).effective
    for plan in (*_offered(now, standing), *_chosen(now, cheapest, standing, wanted)):
        if plan_digest(plan).startswith(wanted):
            return plan
    return None


def _cheapest(now: Situation) -> Plan | None:
    compiled = compile_problem(problem_of(now.sheet, now.shop, now.state, now.checks))
    found = best(compiled.model)
    if isinstance(found, NoPlan):
        return None
    return settled(compiled, found, now.words, {})


def _offered(now: Situation, standing: Iterable[Standing]) -> tuple[Plan, ...]:
    """The plans that could be offered at that moment, whatever the deadline or budget was."""
    problem = problem_of(now.sheet, now.shop, now.state, now.checks)
    findings = judge_all(
        problem.checks, problem.sizes, confidence=problem.confidence, rule=problem.rule
    )
    made = make_offers(
        problem, now.shop, findings, now.words, history=history_of(standing, now.shop)
    )
    if not isinstance(made, Offers):
        return ()
    points = tuple(
        settled(made.front.base, point.optimum, now.words, {}) for point in made.front.points
    )
    return (*(offer.plan for offer in made.offers), *points)


def _chosen(
    now: Situation, cheapest: Plan, standing: Iterable[Standing], wanted: str
) -> tuple[Plan, ...]:
    """The plan with the choices that were entered for it: group and option, with its digest."""
    groups = {group.name: group for group in cheapest.compiled.problem.groups}
    takes = []
    for entry in standing:
        body = entry.body
        if not isinstance(body, Choice) or not body.plan or not wanted:
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


def approved_price(approved: Approved) -> Fraction | None:
    """The amount of an approval as a number; None where it is not one."""
    text = approved.amount.replace(",", ".").strip()
    number = text.split()[0] if text.split() else ""
    try:
        return Fraction(number) if number else None
    except ValueError:
        return None

"""The plans a customer may choose from: least cost, best value, as new; each proven the cheapest
of its kind, with what sets it apart and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict, judge_all
from sparkout.judge.words import Words
from sparkout.plan.compile import Compiled, compile_problem
from sparkout.plan.decide import Plan
from sparkout.plan.forms import Group, Option
from sparkout.plan.offers.as_new import as_new
from sparkout.plan.offers.days import Deadline, cheapest_within, days_of, quickest
from sparkout.plan.offers.front import Front, Point, asking_for, front
from sparkout.plan.offers.life import History, Life, lives_of, rates_of
from sparkout.plan.offers.scale import HOURS_STEP, WEAR_STEP, Scale, levels_of
from sparkout.plan.offers.settle import settled
from sparkout.plan.offers.wear import Wearing, improvable, wearing
from sparkout.plan.problem import Problem
from sparkout.sheet.model import Side
from sparkout.sheet.shop import Shop, ValueOfLife
from sparkout.solve import NoPlan, Optimum

__all__ = [
    "AS_NEW",
    "BEST_VALUE",
    "LEAST_COST",
    "WITHIN_BUDGET",
    "Difference",
    "NoOffer",
    "Offer",
    "Offers",
    "best_value",
    "make_offers",
    "most_life",
    "scale_of",
]

LEAST_COST, BEST_VALUE, AS_NEW = "least cost", "best value", "as new"
WITHIN_BUDGET = "most life within the budget"

_CENTS = 100


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing an offer does otherwise than the cheapest plan, and why.

    cost: cents more than what it stands for, without set-ups, which several things may share.
    """

    group: str
    words: str
    instead_of: str
    reason: str
    cost: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Offer:
    """A plan that can be chosen.

    level: its life on the scale of the offers. lives: limits of wear of what runs on, the one
    that is reached first on top. stated: how the plan was chosen, and what could not be had.
    """

    name: str
    plan: Plan
    days: int
    level: int
    lives: tuple[Life, ...]
    differences: tuple[Difference, ...]
    stated: tuple[str, ...]

    @property
    def cost(self) -> int:
        return self.plan.cost


@dataclass(frozen=True, slots=True, eq=False)
class Offers:
    """offers: least cost first. front: what more life costs. missing: offers there are none of,
    and why. items: the limits of wear this job could push out; history: the running so far.
    short: what the cheapest plan costs beyond the budget, 0 where there is none or it is enough.
    """

    offers: tuple[Offer, ...]
    front: Front
    items: tuple[Wearing, ...]
    history: History | None
    missing: tuple[str, ...]
    short: int = 0

    def first_of_all(self, offer: Offer) -> int:
        """The level at which an offer reaches the first limit of wear, those included that no
        choice pushes out."""
        return min([offer.level, *(level for _, level in self.front.aside)])


@dataclass(frozen=True, slots=True, eq=False)
class NoOffer:
    """No plan in the time there is. quickest: the plan that takes the fewest days, if there is a
    plan at all."""

    days: int | Deadline | None
    quickest: Plan | None
    needs: int


def scale_of(
    items: tuple[Wearing, ...],
    findings: Mapping[str, Finding],
    history: History | None,
    rule: ValueOfLife | None,
) -> Scale:
    """Hours where they are known and wear shows, else the share of the wear allowed.

    Hours end where the shop's rule ends, or without one at as many again as the engine has run.
    """
    if history is not None and (rule is None or rule.per_hour is not None):
        rates = rates_of(items, findings, history)
        most = history.hours if rule is None or rule.most_hours is None else rule.most_hours
        if rates and most >= HOURS_STEP:
            return Scale("hours", HOURS_STEP, int(most // HOURS_STEP), rates)
    return Scale("wear", WEAR_STEP, int(1 / WEAR_STEP))


def make_offers(
    problem: Problem,
    shop: Shop,
    findings: tuple[Finding, ...],
    words: Words,
    *,
    history: History | None = None,
    days: int | Deadline | None = None,
    budget: int | None = None,
    left_out: tuple[Finding, ...] = (),
) -> Offers | NoOffer:
    """The offers there are within so many days or by a deadline (any time for None).

    budget: in cents before tax and contingency; what most life can be had for within it is an
    offer of its own. findings: of the engine as it stands. left_out: what is out and nothing
    mends, the same for every offer.
    """

    def solve(compiled: Compiled) -> Optimum | NoPlan:
        return cheapest_within(compiled, shop, days)

    by_name = {finding.check.name: finding for finding in findings}
    items = improvable(wearing(problem.checks), problem.groups)
    scale = scale_of(items, by_name, history, shop.value_of_life)
    found = front(problem, items, scale, solve)
    if isinstance(found, NoPlan):
        return _none(problem, shop, words, by_name, days)
    make = _Maker(problem, shop, words, by_name, items, found, history, left_out)
    least = found.points[0]
    offers = [make.offer(LEAST_COST, least.optimum, least.level, None, ())]
    value = best_value(found, shop.value_of_life)
    how = _how_valued(found, shop)
    if value is not None:
        reason = make.by_life(least, value)
        offers.append(make.offer(BEST_VALUE, value.optimum, value.level, reason, (how,)))
    kept = value if value is not None else least
    renewed = as_new(
        asking_for(problem, items, scale, kept.level, dict(found.aside)) if kept.level else problem,
        solve,
    )
    if isinstance(renewed, NoPlan):
        raise AssertionError("no plan as new, though the cheaper offer is one")
    reason = make.by_new_limits(least)
    offers.append(make.as_new(renewed.optimum, renewed.as_used, reason))
    short = 0
    if budget is not None:
        short = max(0, least.cost - budget)
        most = most_life(found, budget)
        if most is not None:
            stated = (_why_no_more(found, most),)
            reason = make.by_life(least, most)
            offers.append(make.offer(WITHIN_BUDGET, most.optimum, most.level, reason, stated))
    missing = () if value is not None else (how,)
    return Offers(tuple(offers), found, items, history, missing, short)


def _why_no_more(found: Front, most: Point) -> str:
    """Why no plan within the budget has more life: the next one costs more, or there is none."""
    dearer = next((point for point in found.points if point.cost > most.cost), None)
    if dearer is None:
        return "No plan has more life, at any price, with what is on the lists."
    more = (dearer.cost - most.cost) / _CENTS
    life = found.scale.said(dearer.level)
    return f"The cheapest plan with more life than that costs {more:.2f} more and has {life}."


def _none(
    problem: Problem,
    shop: Shop,
    words: Words,
    findings: Mapping[str, Finding],
    days: int | Deadline | None,
) -> NoOffer:
    compiled = compile_problem(problem)
    fastest = quickest(compiled, shop, days.today if isinstance(days, Deadline) else None)
    if isinstance(fastest, NoPlan):
        return NoOffer(days, None, 0)
    plan = settled(compiled, fastest, words, findings)
    return NoOffer(days, plan, days_of(plan.chosen, shop))


def most_life(found: Front, budget: int) -> Point | None:
    """The point with most life of those that cost no more than so many cents; proven, since each
    point is the cheapest with its life."""
    inside = [point for point in found.points if point.cost <= budget]
    return inside[-1] if inside else None


def best_value(found: Front, rule: ValueOfLife | None) -> Point | None:
    """The point whose life is worth most beyond its cost by a shop's rule; None without a rule."""
    price = _price(found.scale, rule)
    if price is None:
        return None

    def worth(point: Point) -> Fraction:
        return price * found.scale.amount(point.level) * _CENTS - point.cost

    return max(found.points, key=lambda point: (worth(point), -point.cost))


def _how_valued(found: Front, shop: Shop) -> str:
    """How the value was reckoned, or what is missing for it."""
    price = _price(found.scale, shop.value_of_life)
    hours = found.scale.unit == "hours"
    if price is None:
        unit = "per 1000 h" if hours else "per tenth of wear"
        return (
            f"no {BEST_VALUE} offer: the shop's file has no `value of life` with `{unit}`, and "
            "what more life is worth is not for a program to say"
        )
    step = f"{float(price * 1000):.2f}" if hours else f"{float(price / 10):.2f}"
    unit = "1000 h" if hours else "a tenth of the wear allowed"
    most = f", up to {int(found.scale.amount(found.scale.top))} h" if hours else ""
    return (
        f"Cost less the value of the life it buys, by this shop's rule: {step} {shop.currency} "
        f"for {unit} more before the first limit that a choice can push out is reached{most}."
    )


def _price(scale: Scale, rule: ValueOfLife | None) -> Fraction | None:
    if rule is None:
        return None
    return rule.per_hour if scale.unit == "hours" else rule.per_share


@dataclass(frozen=True, slots=True, eq=False)
class _Reasons:
    """Why limits ask for something: sentences by the sizes each is about, weightiest first."""

    said: tuple[tuple[frozenset[Key], str], ...]

    def of(self, group: Group, was: Option, now: Option) -> str:
        touched = {effect.key for option in (was, now) for effect in option.effects}
        for keys, sentence in self.said:
            if keys & touched:
                return sentence
        return "goes with the rest"


@dataclass(frozen=True, slots=True, eq=False)
class _Maker:
    problem: Problem
    shop: Shop
    words: Words
    findings: Mapping[str, Finding]
    items: tuple[Wearing, ...]
    front: Front
    history: History | None
    left_out: tuple[Finding, ...]

    def offer(
        self,
        name: str,
        optimum: Optimum,
        level: int,
        reasons: _Reasons | None,
        stated: tuple[str, ...],
    ) -> Offer:
        plan = self.plan(optimum)
        return Offer(
            name,
            plan,
            days_of(plan.chosen, self.shop),
            level,
            lives_of(self.items, plan.after, self.history),
            () if reasons is None else self._differences(plan, reasons),
            stated,
        )

    def plan(self, optimum: Optimum) -> Plan:
        return settled(self.front.base, optimum, self.words, self.findings, self.left_out)

    def as_new(self, optimum: Optimum, as_used: tuple[str, ...], reasons: _Reasons) -> Offer:
        plan = self.plan(optimum)
        aside = dict(self.front.aside)
        levels = levels_of(self.problem, self.items, self.front.scale, plan.sizes)
        counted = [level for name, level in levels.items() if name not in aside]
        stated = ["Every limit as for a new engine; what a reading proves as new stays."]
        if as_used:
            stated.append(
                "Not to be had as new, whatever is done with what is on the lists: "
                + _by_limit(as_used)
                + "."
            )
        level = min(counted, default=self.front.scale.top)
        return self.offer(AS_NEW, optimum, level, reasons, tuple(stated))

    def _differences(self, plan: Plan, reasons: _Reasons) -> tuple[Difference, ...]:
        least = self.front.points[0].optimum.picks
        return tuple(
            Difference(
                group.name,
                option.words,
                group.option(least[group.name]).words,
                reasons.of(group, group.option(least[group.name]), option),
                option.cost - group.option(least[group.name]).cost,
            )
            for group, option in plan.chosen
            if least[group.name] != option.name
        )

    def by_life(self, least: Point, value: Point) -> _Reasons:
        """For each limit: the life the cheapest plan leaves it, where this one leaves more."""
        told = []
        for item in sorted(self.items, key=lambda i: least.levels.get(i.check.name, 1 << 30)):
            before = least.levels.get(item.check.name)
            if before is None or value.levels[item.check.name] <= before:
                continue
            left = self.front.scale.said(before)
            told.append((_keys(item.check), f"{_called(item.check)} has only {left} left as it is"))
        return _Reasons(tuple(told))

    def by_new_limits(self, least: Point) -> _Reasons:
        """For each limit that the cheapest plan leaves as used: what it says as new."""
        plan = self.plan(least.optimum)
        found = judge_all(
            self.problem.checks,
            plan.sizes,
            side=Side.NEW,
            confidence=self.problem.confidence,
            rule=self.problem.rule,
            words=self.words,
        )
        bad = [f for f in found if f.verdict in (Verdict.OUT, Verdict.NOT_PROVEN)]
        bad.sort(key=lambda f: f.verdict is not Verdict.OUT)
        return _Reasons(tuple((_keys(f.check), f.reason.rstrip(".")) for f in bad))


def _by_limit(names: Iterable[str]) -> str:
    """Limits by their names, each with the features it stays for: `lobe lift of lobe I1, E1`."""
    found: dict[str, list[str]] = {}
    for name in names:
        feature, _, limit = name.partition(": ")
        found.setdefault(limit, []).append(feature)
    said = []
    for limit, features in found.items():
        first = features[0]
        kind = first.rsplit(" ", 1)[0]
        short = [f.removeprefix(kind + " ") for f in features[1:]]
        if first in limit and not short:
            said.append(limit)
        else:
            said.append(f"{limit} of {', '.join([first, *short])}")
    return "; ".join(said)


def _keys(check: Check) -> frozenset[Key]:
    return frozenset({check.key, *(key for _, key in check.instance.terms)})


def _called(check: Check) -> str:
    feature, name = check.instance.feature, check.limit.name
    return name if feature in name else f"{feature}, {name}"

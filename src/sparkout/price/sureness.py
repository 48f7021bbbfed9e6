"""How sure each piece of work is: proven to be needed, likely, or needed only if need be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict
from sparkout.plan.ask import broken_windows
from sparkout.plan.decide import Plan
from sparkout.plan.forms import Group, Option
from sparkout.plan.marginals import Extras
from sparkout.price.quote import LIKELY, SURE, OnlyIf

__all__ = ["grades_of", "only_if"]


def grades_of(plan: Plan, findings: Iterable[Finding]) -> dict[str, tuple[str, float | None]]:
    """How sure the work of each group is that is not left as it is.

    Likely: left as it is, it would only break limits of which a reading does not prove the breach.
    The probability is that of the worst of them, by the readings alone. Everything else is sure.
    """
    by_name = {finding.check.name: finding for finding in findings}
    found: dict[str, tuple[str, float | None]] = {}
    for group, option in plan.chosen:
        if option.name == group.keep:
            continue
        broken = _broken_if_left(plan, group)
        doubtful = [
            by_name[name]
            for name in broken
            if name in by_name and by_name[name].verdict is Verdict.NOT_PROVEN
        ]
        if broken and len(doubtful) == len(broken):
            chances = [1.0 - f.probability for f in doubtful if f.probability is not None]
            found[group.name] = (LIKELY, max(chances, default=None))
        else:
            found[group.name] = (SURE, None)
    return found


def _broken_if_left(plan: Plan, group: Group) -> tuple[str, ...]:
    if not any(option.name == group.keep for option in group.options):
        return ()
    compiled = plan.compiled
    picks = {**plan.optimum.picks, group.name: group.keep}
    own = {spec.name for spec in group.amounts if spec.option != group.keep}
    amounts = {name: 0 if name in own else n for name, n in plan.optimum.amounts.items()}
    return tuple(
        name
        for name in broken_windows(compiled.model, picks, amounts)
        if isinstance(compiled.rules[name], Check)
    )


def only_if(plan: Plan, *, most: int = 40) -> tuple[OnlyIf, ...]:
    """What comes on top if a limit nobody has measured yet turns out broken, the dearest first.

    The price is that of the best plan with the cheapest mending option taken, less this plan's:
    set-ups that are paid anyway are not counted twice. most: so many are asked about.
    """
    found: dict[tuple[str, str], tuple[str, list[int]]] = {}
    asked = 0
    extras = plan.extras or Extras(plan.compiled.model, plan.optimum)
    for finding in plan.after:
        if finding.verdict not in (Verdict.NOT_MEASURED, Verdict.STALE) or asked >= most:
            continue
        if not finding.check.limit.must:
            continue
        mending = _mending(plan, finding)
        if not mending:
            continue
        asked += 1
        extra = _cheapest(extras, mending)
        if extra is not None:
            cost, words = extra
            key = (finding.check.limit.name, _plain(words))
            found.setdefault(key, (words, []))[1].append(cost)
    rows = [
        OnlyIf(name, words, max(costs), len(costs)) for (name, _), (words, costs) in found.items()
    ]
    return tuple(sorted(rows, key=lambda row: -row.each * row.count))


def _mending(plan: Plan, finding: Finding) -> list[tuple[Group, Option]]:
    """Options that set what was not measured, of groups that are left as they are."""
    keys = {finding.check.key, *(key for _, key in finding.check.instance.terms)}
    picks: Mapping[str, str] = plan.optimum.picks
    return [
        (group, option)
        for group in plan.compiled.problem.groups
        if picks[group.name] == group.keep
        for option in group.options
        if option.name != group.keep
        and not option.impossible
        and any(effect.key in keys for effect in option.effects)
    ]


def _cheapest(extras: Extras, mending: list[tuple[Group, Option]]) -> tuple[int, str] | None:
    prices = []
    for group, option in mending:
        extra = extras.of(group.name, option.name)
        if extra is not None:
            prices.append((extra, option.words))
    return min(prices, default=None)


def _plain(words: str) -> str:
    """The words without the feature's own number, so that sixteen seats are told once."""
    kept = [word for word in words.split() if not any(letter.isdigit() for letter in word)]
    return " ".join(kept)

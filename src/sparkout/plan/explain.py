"""Why: what forced each option, what each cheaper one would break, in the words of the trade."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict
from sparkout.judge.words import Words
from sparkout.plan.ask import (
    alone_against,
    broken_windows,
    impossible_together,
    neighbourhood,
    with_pick,
)
from sparkout.plan.compile import Compiled
from sparkout.plan.forms import Group, HoldsTo, Need, Option
from sparkout.plan.outcome import AmountRange, Bound
from sparkout.solve import NoPlan, Optimum, best

__all__ = ["Reason", "Refusal", "forced_by", "refusals", "say_amount"]


@dataclass(frozen=True, slots=True)
class Refusal:
    """A cheaper option that was not taken: which rules it breaks, or how much dearer it ends up.

    rules: names of the windows that cannot hold together with it. extra: cost of the best plan with
    it above the plan's, in cents, None when there is no plan with it.
    """

    option: str
    words: str
    rules: tuple[str, ...]
    extra: int | None
    sentence: str


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a group is treated as it is: one sentence, and everything that was asked."""

    group: str
    option: str
    words: str
    cost: int
    sentence: str
    refused: tuple[Refusal, ...]


def forced_by(
    compiled: Compiled, optimum: Optimum, findings: Mapping[str, Finding], words: Words
) -> tuple[Reason, ...]:
    """A reason for every group that is not left as it is."""
    found = []
    for group in compiled.problem.groups:
        picked = group.option(optimum.picks[group.name])
        if picked.name == group.keep:
            continue
        refused = refusals(compiled, optimum, group, findings, words)
        found.append(
            Reason(
                group.name,
                picked.name,
                picked.words,
                picked.cost,
                _sentence(group, picked, refused),
                refused,
            )
        )
    return tuple(found)


def refusals(
    compiled: Compiled,
    optimum: Optimum,
    group: Group,
    findings: Mapping[str, Finding],
    words: Words,
) -> tuple[Refusal, ...]:
    """Every other option of a group with what it would break or cost.

    All of them where the group was changed: a dearer option here can be cheaper in the whole (a
    large oversize saves a sleeve), so none is passed over without a word.
    """
    return tuple(
        _refusal(compiled, optimum, group, option, findings, words)
        for option in group.options
        if option.name != optimum.picks[group.name]
    )


def _refusal(
    compiled: Compiled,
    optimum: Optimum,
    group: Group,
    option: Option,
    findings: Mapping[str, Finding],
    words: Words,
) -> Refusal:
    if option.impossible:
        return Refusal(option.name, option.words, (), None, option.impossible + ".")
    alone = [
        name
        for name in alone_against(compiled.model, group.name, option.name)
        if not isinstance(compiled.rules[name], str)
    ]
    if alone:
        sentence = say_rule(compiled, alone[0], findings, words)
        return Refusal(option.name, option.words, tuple(alone), None, sentence)
    near = with_pick(neighbourhood(compiled.model, group.name), group.name, option.name)
    fixed = {f"forced: {group.name}"} | {
        name for name, rule in compiled.rules.items() if isinstance(rule, str)
    }
    broken = impossible_together(near, fixed)
    if broken:
        sentence = _and(say_rule(compiled, name, findings, words) for name in broken)
        return Refusal(option.name, option.words, broken, None, sentence)
    other = best(with_pick(compiled.model, group.name, option.name))
    if isinstance(other, NoPlan):
        return Refusal(option.name, option.words, (), None, "nothing then fits together.")
    extra = other.cost - optimum.cost
    breaks = _broken_by_swapping(compiled, optimum, group, option)
    why = _and(say_rule(compiled, name, findings, words) for name in breaks[:3])
    if extra == 0:
        return Refusal(option.name, option.words, breaks, 0, "costs the same; less preferred.")
    more = f"the best plan with it costs {extra / 100:.2f} more"
    sentence = f"{why} With that mended, {more}." if why else f"{more}."
    return Refusal(option.name, option.words, breaks, extra, sentence)


def _broken_by_swapping(
    compiled: Compiled, optimum: Optimum, group: Group, option: Option
) -> tuple[str, ...]:
    """The rules that break when this option is taken and everything else stays as planned."""
    picks = {**optimum.picks, group.name: option.name}
    own = {spec.name for spec in group.amounts if spec.option != option.name}
    amounts = {name: 0 if name in own else steps for name, steps in optimum.amounts.items()}
    return tuple(
        name
        for name in broken_windows(compiled.model, picks, amounts)
        if not isinstance(compiled.rules[name], str)
    )


def _sentence(group: Group, picked: Option, refused: Iterable[Refusal]) -> str:
    """One sentence: the option and what forced it, taken from what leaving it would break."""
    keep = next((item for item in refused if item.option == group.keep), None)
    head = picked.words[0].upper() + picked.words[1:]
    if keep is not None and keep.sentence:
        return f"{head}: {keep.sentence[0].lower()}{keep.sentence[1:]}"
    return f"{head}."


def say_rule(compiled: Compiled, name: str, findings: Mapping[str, Finding], words: Words) -> str:
    """A rule in words: the finding where the limit is broken as it stands, else what must hold."""
    rule = compiled.rules[name]
    if isinstance(rule, Check):
        finding = findings.get(name)
        if finding is not None and finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN):
            return finding.reason
        bounds = rule.limit.side("service")
        limit = "" if bounds is None else words.bounds(bounds, rule.limit.characteristic)
        if rule.instance.inner and bounds is not None:
            limit = bounds.typed
        return f"{_called(rule)} must be {limit}."
    if isinstance(rule, Need):
        return rule.words + "."
    if isinstance(rule, HoldsTo):
        limit = words.bounds(rule.bounds, rule.fit)
        return f"{rule.words} needs {rule.fit} of {rule.feature} {limit}."
    return f"{rule}."


def _called(check: Check) -> str:
    feature, name = check.instance.feature, check.limit.name
    return f"{name} of {feature}" if feature not in name else name


def _and(sentences: Iterable[str]) -> str:
    return " ".join(dict.fromkeys(sentences))


def say_amount(
    compiled: Compiled, amount: AmountRange, findings: Mapping[str, Finding], words: Words
) -> str:
    """An amount with its window and what holds it at either end."""

    def shown(value: Fraction) -> str:
        return words.value(value, "deck height")

    text = f"{amount.name} {shown(amount.value)}"
    if amount.least != amount.most:
        text += f" (anything from {shown(amount.least)} to {shown(amount.most)} would do)"
    serves = [bound for bound in amount.needs if not isinstance(compiled.rules[bound.rule], str)]
    if serves:
        parts = [
            f"{_short(compiled, bound.rule)} needs {shown(bound.at)}"
            for bound in _one_of_each(compiled, serves)
        ]
        text += ": " + "; ".join(parts)
    stops = [bound for bound in amount.limits if not isinstance(compiled.rules[bound.rule], str)]
    if stops:
        text += f". More than {shown(stops[0].at)} breaks {_short(compiled, stops[0].rule)}"
    return text + "."


def _one_of_each(compiled: Compiled, bounds: list[Bound]) -> list[Bound]:
    """The strongest bound of each kind of limit: one liner speaks for all four."""
    seen: dict[str, Bound] = {}
    for bound in bounds:
        rule = compiled.rules[bound.rule]
        kind = rule.limit.name if isinstance(rule, Check) else bound.rule
        seen.setdefault(kind, bound)
    return list(seen.values())


def _short(compiled: Compiled, name: str) -> str:
    rule = compiled.rules[name]
    if isinstance(rule, Check):
        return _called(rule)
    if isinstance(rule, Need):
        return rule.name
    return str(rule) if isinstance(rule, str) else rule.words

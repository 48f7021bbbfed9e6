"""Why: what forced each option, what each cheaper one would break, in the words of the trade."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding
from sparkout.judge.words import Words
from sparkout.plan.compile import Compiled
from sparkout.plan.conflict import Questions
from sparkout.plan.forms import Group, Need, Option
from sparkout.plan.joined import Plan as Picked
from sparkout.plan.marginals import Extras
from sparkout.plan.outcome import AmountRange, Bound
from sparkout.plan.said import called, say_rule
from sparkout.plan.sizes import MICRO
from sparkout.plan.tell import Saying, Teller
from sparkout.solve import Optimum, best
from sparkout.solve.pins import with_fixed

__all__ = ["Reason", "Refusal", "forced_by", "picked", "say_amount", "say_rule"]

_MOST = 6
"""Other plans that are worked out to be told of: each is a whole solve."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """An option that was not taken: which rules it breaks, or how much dearer it ends up.

    rules: names of the windows that cannot hold together with it, or that it breaks where all else
    stays as planned. extra: cost of the best plan with it above the plan's, in cents, None when
    there is no plan with it.
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


def picked(compiled: Compiled, optimum: Optimum) -> Picked:
    """A plan by the places of its options."""
    return Picked(
        {
            choice.name: choice.options.index(optimum.picks[choice.name])
            for choice in compiled.model.choices
        },
        dict(optimum.amounts),
    )


def forced_by(
    compiled: Compiled,
    optimum: Optimum,
    findings: Mapping[str, Finding],
    words: Words,
    extras: Extras,
) -> tuple[Reason, ...]:
    """A reason for every group that is not left as it is, the dearest first."""
    questions = Questions(compiled, picked(compiled, optimum))
    teller = Teller(questions, findings, words)
    asker = _Asker(questions, teller, extras)
    asked = []
    for group in compiled.problem.groups:
        taken = group.option(optimum.picks[group.name])
        if taken.name != group.keep:
            found = [
                asker.refusal(group, at, option, taken)
                for at, option in enumerate(group.options)
                if option.name != taken.name
            ]
            asked.append((group, taken, found))
    texts = iter(teller.said([item.sayings for _, _, found in asked for item in found]))
    reasons = []
    for group, taken, found in asked:
        refused = tuple(item.refusal(next(texts)) for item in found)
        why = _why(group, taken, refused)
        reasons.append(Reason(group.name, taken.name, taken.words, taken.cost, why, refused))
    return tuple(sorted(reasons, key=lambda reason: -reason.cost))


@dataclass(frozen=True, slots=True)
class _Answer:
    """What was found of an option that was not taken, before it is put into words.

    after: what follows the rules' own words.
    """

    option: Option
    rules: tuple[str, ...] = ()
    extra: int | None = None
    sayings: tuple[Saying, ...] = ()
    after: str = ""

    def refusal(self, said: str) -> Refusal:
        text = " ".join(filter(None, (said, self.after)))
        return Refusal(self.option.name, self.option.words, self.rules, self.extra, text)


class _Asker:
    """Asks of each option that was not taken what stands against it."""

    def __init__(self, questions: Questions, teller: Teller, extras: Extras) -> None:
        self.questions = questions
        self.teller = teller
        self.extras = extras
        self.solves = 0

    def refusal(self, group: Group, at: int, option: Option, taken: Option) -> _Answer:
        if option.impossible:
            return _Answer(option, after=f"{option.impossible}.")
        alone = [n for n in self.questions.alone(group.name, at) if self.questions.named(n)]
        if alone:
            said = self.teller.alone(alone, group.name, at)
            return _Answer(option, tuple(alone), sayings=said)
        extra = self.extras.of(group.name, option.name)
        if extra is None:
            return self._impossible(group, at, option)
        swapped, moved = self.questions.swapped(group.name, at)
        broken = [item.name for item in self.questions.broken(swapped, moved)]
        breaks = tuple(name for name in broken if self.questions.named(name))
        if extra == 0:
            return _Answer(option, breaks, 0, after=_tie(option, taken))
        if not breaks:
            return _Answer(option, breaks, extra, after=f"costs {self._money(extra)} more.")
        more = self._instead(group, option, extra)
        return _Answer(option, breaks, extra, self.teller.broken(breaks, swapped), more)

    def _money(self, cents: int) -> str:
        return f"{cents / 100:.2f} {self.questions.compiled.problem.currency}".rstrip()

    def _instead(self, group: Group, option: Option, extra: int) -> str:
        """What else has to be otherwise where an option is taken that breaks something as planned,
        and what that costs."""
        way = "Without it" if option.name == group.keep else "With it"
        other = self._other_choices(group, option)
        if not other:
            return f"{way}, the cheapest plan costs {self._money(extra)} more."
        return f"{way}, the cheapest way is to {other}: {self._money(extra)} more."

    def _other_choices(self, group: Group, option: Option) -> str:
        """What the cheapest plan with an option does otherwise; "" where that is not worked out."""
        if self.solves >= _MOST:
            return ""
        self.solves += 1
        compiled, plan = self.questions.compiled, self.questions.plan
        found = best(with_fixed(compiled.model, {group.name: option.name}))
        if not isinstance(found, Optimum):
            return ""
        now = picked(compiled, found)
        others = [g for g in compiled.problem.groups if g.name != group.name]
        words = [
            g.options[now.options[g.name]].words
            for g in others
            if now.options[g.name] != plan.options[g.name]
        ]
        if len(words) > 2:
            return f"{words[0]}, with {len(words) - 1} more choices changed"
        return " and to ".join(words)

    def _impossible(self, group: Group, at: int, option: Option) -> _Answer:
        forced = {group.name: at}
        found = self.questions.against(forced)
        if found is None:
            raise AssertionError(f"{group.name}, {option.name}: in no plan, and nothing bars it")
        return _Answer(option, found.rules, sayings=self.teller.conflict(found, forced))


def _tie(option: Option, taken: Option) -> str:
    later = option.days - taken.days
    if later > 0:
        return f"costs the same and takes {later} day{'s' if later > 1 else ''} longer."
    return "costs the same; less preferred."


def _why(group: Group, taken: Option, refused: tuple[Refusal, ...]) -> str:
    """One sentence: the option and what forced it, taken from what leaving it would break."""
    head = taken.words[0].upper() + taken.words[1:]
    keep = next((item for item in refused if item.option == group.keep), None)
    if keep is not None and keep.sentence:
        return f"{head}: {_small(keep.sentence)}"
    barred = next((item for item in refused if item.extra is None and item.rules), None)
    if barred is not None:
        return f"{head}: with {barred.option}, {_small(barred.sentence)}"
    return f"{head}."


def _small(text: str) -> str:
    return text[0].lower() + text[1:]


def say_amount(
    compiled: Compiled, amount: AmountRange, findings: Mapping[str, Finding], words: Words
) -> str:
    """An amount with its window and what holds it at either end."""
    step = Fraction(compiled.steps[amount.name], MICRO)

    def shown(value: Fraction) -> str:
        return words.value(value, "deck height")

    text = f"{amount.name} {shown(amount.value)}"
    # in steps of the dial, inside the window
    least, most = (steps * step for steps in amount.steps(step))
    if least < most:
        inside = ", and this keeps off both ends" if least < amount.value < most else ""
        text += f" (anything from {shown(least)} to {shown(most)} would do{inside})"
    serves = [bound for bound in amount.needs if not isinstance(compiled.rules[bound.rule], str)]
    if serves:
        parts = [
            f"{_short(compiled, bound.rule)} needs {words.value(bound.at, 'liner protrusion')}"
            for bound in _one_of_each(compiled, serves)
        ]
        text += ": " + "; ".join(parts)
    stops = [bound for bound in amount.limits if not isinstance(compiled.rules[bound.rule], str)]
    if stops:
        at = words.value(stops[0].at, "liner protrusion")
        text += f". More than {at} breaks {_short(compiled, stops[0].rule)}"
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
        return called(rule)
    if isinstance(rule, Need):
        return rule.short or rule.name
    return rule if isinstance(rule, str) else rule.words

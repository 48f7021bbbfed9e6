"""Why what was asked cannot be: what it breaks, and by how much, with all else as planned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from sparkout.judge.finding import Finding
from sparkout.judge.words import Words
from sparkout.plan.ask import impossible_together
from sparkout.plan.compile import Compiled
from sparkout.plan.conflict import Conflict, Questions
from sparkout.plan.decide import Plan
from sparkout.plan.explain import say_rule
from sparkout.plan.forms import AmountSpec, Group, Need
from sparkout.plan.joined import Plan as Picked
from sparkout.plan.outcome import amount_ranges
from sparkout.plan.relief import standing_still
from sparkout.plan.tell import Teller
from sparkout.plan.whatif.changes import Change, Depth, Refuse, Take

__all__ = ["why_not"]


def why_not(
    compiled: Compiled,
    changes: tuple[Change, ...],
    was: Plan,
    findings: Mapping[str, Finding],
    words: Words,
) -> tuple[str, ...]:
    """The smallest set of rules that cannot hold together with what was asked, in words.

    compiled: with what was asked in it. was: the plan at hand. findings: as things stand.
    """
    telling = _Telling(compiled, changes, was, findings, words)
    plain = _plain_reasons(telling)
    if plain:
        return plain
    given = {name for name, rule in compiled.rules.items() if isinstance(rule, str)}
    broken = impossible_together(compiled.model, given)
    if not broken:
        # The limits are not to blame: something cannot be had, or does not go together.
        asked = {name for name in given if name.startswith("asked: ")}
        broken = impossible_together(compiled.model, asked)
    return telling.said(broken)


class _Telling:
    """Tells of rules at the plan at hand with what was asked done to it."""

    def __init__(
        self,
        compiled: Compiled,
        changes: tuple[Change, ...],
        was: Plan,
        findings: Mapping[str, Finding],
        words: Words,
    ) -> None:
        self.compiled = compiled
        self.changes = changes
        self.was = was
        self.findings = findings
        self.words = words
        self.groups = {group.name: group for group in compiled.problem.groups}
        planned = _planned(compiled, was)
        self.questions = Questions(compiled, planned)
        self.teller = Teller(self.questions, findings, words)
        self.forced = self._forced()
        options = {**planned.options, **self.forced}
        amounts = dict(planned.amounts)
        for change in changes:
            if isinstance(change, Depth):
                group, spec = self.owner(change.amount)
                amounts[spec.name] = int(change.value / spec.step)
                if change.value:
                    names = [option.name for option in group.options]
                    options[group.name] = names.index(spec.option)
        if len(self.forced) == 1 and len(changes) == 1:
            ((name, at),) = self.forced.items()
            self.own, _ = self.questions.swapped(name, at)
        else:
            self.own = Picked(options, amounts)

    def owner(self, amount: str) -> tuple[Group, AmountSpec]:
        return next(
            (group, spec)
            for group in self.compiled.problem.groups
            for spec in group.amounts
            if spec.name == amount
        )

    def _forced(self) -> dict[str, int]:
        """The options asked for, where a question leaves just one of a group."""
        found = {}
        for change in self.changes:
            if not isinstance(change, Take | Refuse) or change.group not in self.groups:
                continue
            wanted = isinstance(change, Take)
            left = [
                at
                for at, option in enumerate(self.groups[change.group].options)
                if (option.name in change.options) is wanted and not option.impossible
            ]
            if len(left) == 1:
                found[change.group] = left[0]
        return found

    def said(self, rules: Iterable[str]) -> tuple[str, ...]:
        """Rules in words: what is broken first, with the figure it would come to."""
        names = list(rules)
        broken = [name for name in names if not self.questions.keeps(name, self.own)]
        named = [name for name in broken if self.questions.named(name)]
        single = len(self.forced) == 1 and len(self.changes) == 1
        if single and named:
            conflict = Conflict(tuple(n for n in names if self.questions.named(n)))
            sayings = [self.teller.conflict(conflict, self.forced)]
            told = {saying.rule for saying in sayings[0]}
        else:
            sayings = [self.teller.each((name,), self.own) for name in named]
            told = set(named)
        texts = [text for text in self.teller.said(sayings) if text]
        rest = [name for name in names if name not in told]
        texts += [say_rule(self.compiled, name, self.findings, self.words) for name in rest]
        # a need that was said in words alone has its figure where one depth decides it
        return tuple(dict.fromkeys((*texts, *self._depths(names))))

    def _depths(self, names: Iterable[str]) -> list[str]:
        """From what depth on a need is met, proven, where the depth that was asked for is less."""
        found = []
        amounts = {c.amount: c.value for c in self.changes if isinstance(c, Depth)}
        picks = {
            choice.name: choice.options[self.own.options[choice.name]]
            for choice in self.compiled.model.choices
        }
        needs = {
            (item.name, bound.rule): bound.at
            for item in amount_ranges(self.compiled, picks, self.own.amounts)
            for bound in item.needs
        }
        for name in names:
            rule = self.compiled.rules[name]
            if not isinstance(rule, Need) or len(rule.amounts) != 1:
                continue
            amount = rule.amounts[0][0]
            least = needs.get((amount, name))
            if least is not None and amount in amounts and least > amounts[amount]:
                shown = self.words.value(least, "deck height", finer=True)
                found.append(f"With the doubt of the readings {shown} is needed to prove it.")
        return found


def _planned(compiled: Compiled, was: Plan) -> Picked:
    """The plan at hand by its places in the model as asked; what it does not have stands still."""
    still = standing_still(compiled)
    options = dict(still.options)
    for choice in compiled.model.choices:
        pick = was.optimum.picks.get(choice.name)
        if pick in choice.options:
            options[choice.name] = choice.options.index(pick)
    amounts = {name: was.optimum.amounts.get(name, least) for name, least in still.amounts.items()}
    return Picked(options, amounts)


def _plain_reasons(telling: _Telling) -> tuple[str, ...]:
    """Reasons that need no search: an option nobody can do, a depth beyond what is looked at."""
    found: list[str] = []
    for change in telling.changes:
        if isinstance(change, Take) and change.group in telling.groups:
            taken = [telling.groups[change.group].option(name) for name in change.options]
            if all(option.impossible for option in taken):
                found += [f"{option.words}: {option.impossible}." for option in taken]
        elif isinstance(change, Depth):
            found += _beyond(telling, change)
    return tuple(dict.fromkeys(found))


def _beyond(telling: _Telling, change: Depth) -> list[str]:
    """Why a depth is out of reach: what it breaks of the limits the plan's own window has there."""
    _, spec = telling.owner(change.amount)
    if change.value == 0 or spec.least <= change.value <= spec.most:
        return []

    def shown(value: Fraction) -> str:
        return telling.words.value(value, "deck height")

    text = (
        f"{change.amount} {shown(change.value)} is out of reach: it can be {shown(spec.least)} to "
        f"{shown(spec.most // spec.step * spec.step)}, whatever else is done."
    )
    item = next((amount for amount in telling.was.amounts if amount.name == change.amount), None)
    stops = [] if item is None else [b.rule for b in item.limits if b.at < change.value]
    rules = telling.compiled.rules
    some = [name for name in stops if not isinstance(rules.get(name, ""), str)]
    told = telling.teller.broken(some, telling.own)
    said = telling.teller.said([(one,) for one in told])
    return [text, *filter(None, said)] if change.value > spec.most else [text]

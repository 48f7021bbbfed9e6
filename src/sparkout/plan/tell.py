"""Rules in the trade's words, with the figures they would come to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from sparkout.engine.dimension import Dimension, Key
from sparkout.fits import Instance, evaluate
from sparkout.fits.ratio import ratio_of
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict, judge
from sparkout.judge.words import Words
from sparkout.plan.apply import planned_sizes
from sparkout.plan.compile import Compiled, Draft
from sparkout.plan.conflict import Conflict, Questions
from sparkout.plan.forms import AmountSpec, Group, HoldsTo, Need
from sparkout.plan.joined import Cell, Joined, Plan, joined
from sparkout.plan.tables import Table, tabled
from sparkout.solve import OverBudget

__all__ = ["Teller", "say_rule"]


def say_rule(compiled: Compiled, name: str, findings: Mapping[str, Finding], words: Words) -> str:
    """A rule in words: the finding where the limit is broken as it stands, else what must hold."""
    rule = compiled.rules[name]
    if isinstance(rule, Check):
        finding = findings.get(name)
        if finding is not None and finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN):
            return finding.reason
        return f"{called(rule)} must be {_allowed(rule, words)}."
    if isinstance(rule, Need):
        return _sentence(rule.words)
    if isinstance(rule, HoldsTo):
        limit = words.bounds(rule.bounds, rule.fit)
        return f"{rule.words} needs {rule.fit} of {rule.feature} {limit}."
    return _sentence(rule)


def called(check: Check) -> str:
    """`piston to head of bore 2`: a limit as it is spoken of."""
    feature, name = check.instance.feature, check.limit.name
    kind = feature.rsplit(" ", 1)[0]
    if feature in name:
        return name
    if name.startswith(kind + " ") and kind != feature:
        return f"{feature} {name[len(kind) + 1 :]}"
    return f"{name} of {feature}"


def _and(some: Sequence[str]) -> str:
    return " and ".join(filter(None, [", ".join(some[:-1]), some[-1]]))


def _allowed(check: Check, words: Words) -> str:
    bounds = check.limit.side("service")
    if bounds is None:
        return "within its limit"
    if check.instance.inner:
        return bounds.typed
    return words.bounds(bounds, check.limit.characteristic)


def _sentence(text: str) -> str:
    return text if text.endswith(".") else text + "."


@dataclass(frozen=True, slots=True)
class _At:
    """Picks and amounts (in steps) at which something is told."""

    picks: Mapping[str, str]
    steps: Mapping[str, int]


class Teller:
    """Tells of one plan. findings: as things stand, by name of the check."""

    def __init__(
        self, questions: Questions, findings: Mapping[str, Finding], words: Words
    ) -> None:  # fmt: skip
        self.questions = questions
        self.compiled = questions.compiled
        self.findings = findings
        self.words = words
        groups = self.compiled.problem.groups
        self.groups = {group.name: group for group in groups}
        self.specs: dict[str, tuple[Group, AmountSpec]] = {
            spec.name: (group, spec) for group in groups for spec in group.amounts
        }

    # What a limit comes to ------------------------------------------------------------------------

    def sizes(self, check: Check, at: _At) -> dict[Key, Dimension]:
        """Sizes about one limit with these picks and amounts."""
        problem = self.compiled.problem
        mine = [self.groups[name] for name in self.compiled.touching(check.instance)]
        amounts = {
            spec.name: Fraction(at.steps.get(spec.name, 0)) * spec.step
            for group in mine
            for spec in group.amounts
        }
        return planned_sizes(problem.sizes, mine, at.picks, amounts, [check])

    def finding(self, check: Check, at: _At) -> Finding:
        problem = self.compiled.problem
        return judge(
            check,
            self.sizes(check, at),
            confidence=problem.confidence,
            rule=problem.rule,
            words=self.words,
        )

    # Sentences ------------------------------------------------------------------------------------

    def alone(self, names: Sequence[str], group: str, option: int) -> str:
        """Why an option is out of the question whatever else is done."""
        swapped, _ = self.questions.swapped(group, option)
        return self._rule(names[0], self._at(swapped), ())

    def broken(self, names: Sequence[str], plan: Plan) -> str:
        """What a plan breaks, the first of each kind."""
        at = self._at(plan)
        seen: dict[str, str] = {}
        for name in names:
            seen.setdefault(self._kind(name), self._rule(name, at, ()))
        return " ".join(list(seen.values())[:2])

    def conflict(self, conflict: Conflict, forced: Mapping[str, int]) -> str:
        """Why an option cannot be had with what else must be done."""
        main = self._main(conflict.rules)
        if main is None:
            said = [
                say_rule(self.compiled, name, self.findings, self.words) for name in conflict.rules
            ]
            said += [text for name in conflict.silent if (text := self._not_to_be_had(name))]
            return " ".join(dict.fromkeys(said))
        cell = self._best(main, conflict, forced)
        plan = self.questions.plan
        if cell is not None:
            plan = Plan(
                {**plan.options, **forced, **cell.options}, {**plan.amounts, **cell.amounts}
            )
        rest = [name for name in conflict.rules if name != main]
        return self._rule(main, self._at(plan), rest, forced)

    def _not_to_be_had(self, name: str) -> str:
        """Why the options of a group cannot be had, where that is what a rule without name says."""
        group = self.groups.get(name.removesuffix(": cannot be had"))
        if group is None or name not in self.compiled.rules:
            return ""
        whys = dict.fromkeys(option.impossible for option in group.options if option.impossible)
        return f"What could be done about {group.name} cannot be had: {'; '.join(whys)}."

    def come_to(self, name: str) -> str:
        """What giving way on a limit would come to, at the plan that is asked about."""
        rule = self.compiled.rules[name]
        assert isinstance(rule, Check | HoldsTo)
        check = rule.check if isinstance(rule, HoldsTo) else rule
        found = self.finding(check, self._at(self.questions.plan))
        return f"accept {called(check)} at {self._value(found)} ({self._needed(rule, found)})"

    def _at(self, plan: Plan) -> _At:
        picks = {
            choice.name: choice.options[plan.options[choice.name]]
            for choice in self.compiled.model.choices
        }
        return _At(picks, plan.amounts)

    def _kind(self, name: str) -> str:
        rule = self.compiled.rules[name]
        return rule.limit.name if isinstance(rule, Check) else name

    def _main(self, names: Iterable[str]) -> str | None:
        """The limit that gives: the one that hangs on most."""
        some = [
            name for name in names if isinstance(self.compiled.rules[name], Check | HoldsTo)
        ]  # fmt: skip
        scope = {name: len(self.questions.windows[name].scope) for name in some}
        return max(some, key=lambda name: scope[name], default=None)

    def _rule(
        self, name: str, at: _At, rest: Sequence[str], forced: Mapping[str, int] | None = None
    ) -> str:
        rule = self.compiled.rules[name]
        if isinstance(rule, Need):
            return _sentence(rule.words)
        if isinstance(rule, str):
            return _sentence(rule)
        check = rule.check if isinstance(rule, HoldsTo) else rule
        found = self.finding(check, at)
        before = self.findings.get(name)
        if before is not None and (found.low, found.high, found.verdict) == (
            before.low, before.high, before.verdict
        ):  # fmt: skip
            return before.reason
        if found.verdict not in (Verdict.OUT, Verdict.NOT_PROVEN):
            return say_rule(self.compiled, name, self.findings, self.words)
        once = self._once(check, at, rest)
        needed = self._needed(rule, found)
        stands = self._stands(check, at, once)
        if stands:
            gasket = self._gasket(check, at)
            leaves = f"{gasket or 'the gasket'} leaves {self._value(found)}"
            return f"{stands}; {leaves}, {needed}."
        extra = self._with(check, at, forced or {})
        tail = "".join(f" {part}" for part in (once, f"with {extra}" if extra else "") if part)
        return f"{called(check)} would be {self._value(found)}{tail}; {needed}."

    def _needed(self, rule: Check | HoldsTo, found: Finding) -> str:
        bounds = rule.bounds if isinstance(rule, HoldsTo) else found.bounds
        assert bounds is not None
        name = found.check.limit.characteristic
        limit = (
            bounds.typed if found.check.instance.inner else self.words.bounds(bounds, name)
        )  # fmt: skip
        if found.verdict is Verdict.NOT_PROVEN and found.plain is Verdict.WITHIN:
            u = max(found.low.u if found.low else 0.0, found.high.u if found.high else 0.0)
            shown = self.words.value(2 * u, name, finer=True)
            doubt = "" if found.check.instance.inner else f" (± {shown})"
            return f"too near {limit} to be proven{doubt}"
        asked = f"{limit} is needed"
        return f"{asked} for {rule.words}" if isinstance(rule, HoldsTo) else asked

    def _value(self, found: Finding) -> str:
        """The end of a value that counts; a digit more where it would look like its limit."""
        name = found.check.limit.characteristic
        near = found.verdict is Verdict.NOT_PROVEN
        bounds, low, high = found.bounds, found.low, found.high
        assert low is not None
        assert high is not None
        if found.check.instance.inner:
            ratio = ratio_of(found.check.instance, found.sizes)
            return "" if ratio is None else " to ".join(dict.fromkeys(f"{r:.2f}" for r in ratio))
        if bounds is not None and (bounds.low is None or bounds.high is None):
            end = high if bounds.low is None else low
            return self.words.value(end.value, name, finer=near)
        if near:
            return self.words.span(low.value, high.value, name, finer=True)
        return self.words.reading(low, high, name)

    def _stands(self, check: Check, at: _At, once: str) -> str:
        """How far a piston stands out of its bore, where that is what a gap over it hangs on."""
        if check.instance.name not in ("piston to head", "squish"):
            return ""
        bore = check.instance.feature
        terms = tuple(
            (-weight, key)
            for weight, key in check.instance.terms
            if not key.characteristic.endswith("gasket thickness")
        )
        out = evaluate(Instance("piston protrusion", bore, terms), self.sizes(check, at))
        if out is None:
            return ""
        most = out[1].value
        way = "above" if most >= 0 else "below"
        shown = self.words.value(abs(most), "piston protrusion")
        fit = check.instance.name
        alike = sum(other.instance.name == fit for other in self.compiled.problem.checks)
        piston = f"piston {bore.rsplit(' ', 1)[-1]}" if alike > 1 else "the piston"
        return f"{piston} would stand {shown} {way} the deck{' ' + once if once else ''}"

    def _once(self, check: Check, at: _At, rest: Sequence[str]) -> str:
        """What else must be done, and what for: `once the deck is cut 0.08 mm for flatness`."""
        about = self.compiled.touching(check.instance)
        done: list[tuple[str, str]] = []
        for name, (group, spec) in self.specs.items():
            steps = at.steps.get(name, 0)
            if steps and spec.done and group.name in about:
                depth = self.words.value(spec.step * steps, "deck height")
                done.append((spec.done.format(depth), self._what_for(group.name, name, rest)))
        if not done:
            return ""
        whys = {why for _, why in done}
        if len(whys) == 1 and (why := whys.pop()):
            return f"once {_and([text for text, _ in done])} for {why}"
        return "once " + _and([f"{text} for {why}" if why else text for text, why in done])

    def _what_for(self, group: str, amount: str, rest: Sequence[str]) -> str:
        """What the rules ask an amount for: `flatness`, `pits`."""
        said: dict[str, None] = {}
        for name in rest:
            rule = self.compiled.rules[name]
            if isinstance(rule, Check) and self.questions.windows[name].choices == (group,):
                kind = group.rsplit(" ", 1)[0] if group[-1].isdigit() else group
                said[rule.limit.characteristic.removeprefix(kind.split(" ")[0] + " ")] = None
        if said:
            return " and ".join(said)
        for name in rest:
            rule = self.compiled.rules[name]
            if isinstance(rule, Need) and rule.short and amount in [a for a, _ in rule.amounts]:
                said[f"its {rule.short}"] = None
        return " and ".join(said)

    def _with(self, check: Check, at: _At, forced: Mapping[str, int]) -> str:
        """The part picked beside what was forced: `head gasket 1.40`."""
        found = []
        for name in self.compiled.touching(check.instance):
            group = self.groups[name]
            several = sum(not option.impossible for option in group.options) > 1
            if not group.keep and several and name not in forced:
                found.append(at.picks[name])
        return " and ".join(found[:2])

    def _gasket(self, check: Check, at: _At) -> str:
        some = [name for name in self.compiled.touching(check.instance) if "gasket" in name]
        return " and ".join(at.picks[name] for name in some[:2])

    # The best that can be had ---------------------------------------------------------------------

    def _best(
        self, main: str, conflict: Conflict, forced: Mapping[str, int]
    ) -> Cell | None:  # fmt: skip
        """Where the limit that gives is broken least, all the other rules kept."""
        draft = self.compiled.drafts.get(main)
        if draft is None:
            return None
        names = [n for n in (*conflict.rules, *conflict.silent) if n != main]
        rest = {name: self.questions.windows[name] for name in names}
        table = tabled([draft.recipe])[0]
        # what its groups and amounts can be at all counts too
        for name in (*table.groups[0], *table.amounts[0]):
            for item in self.questions.about.get(name, ()):
                if isinstance(self.compiled.rules.get(item.name), str) and len(item.choices) == 1:
                    rest[item.name] = item
        model = self.compiled.model
        only: dict[str, list[int]] = {name: [at] for name, at in forced.items()}
        for name in table.groups[0]:
            count = len(model.choices[model.choice_at[name]].options)
            only.setdefault(name, list(range(count)))
        try:
            space = joined(model, list(rest.values()), only)
        except OverBudget:
            return None
        return space.nearest(self.questions.plan, self._badness(space, draft, table))

    def _badness(self, space: Joined, draft: Draft, table: Table) -> list[Any]:
        """By how much the limit is missed in each combination, in millionths."""
        groups = table.groups[0]
        cell = np.ix_(
            *[
                [classes[at] for at in space.domains[space.choices.index(group)]]
                for group, classes in zip(groups, table.classes, strict=True)
            ]
        )
        thin = [1] * space.holds.ndim
        for group in groups:
            at = space.choices.index(group)
            thin[at] = len(space.domains[at])
        turn = sorted(range(len(groups)), key=lambda k: space.choices.index(groups[k]))

        def lie(array: Any) -> Any:
            cut = array[0][cell] if groups else array[0]
            return cut.transpose(turn).reshape(thin) if groups else cut.reshape(thin)

        new, free = lie(table.new), lie(table.free)
        lower = np.where(new, draft.new[0], draft.service[0])
        upper = np.where(new, draft.new[1], draft.service[1])
        if draft.single:
            moved = lie(table.size)
            lower = np.where(free, -np.inf, lower + moved)
            upper = np.where(free, np.inf, upper + moved)
        both = []
        for end in (space.low, space.high):
            shift: Any = 0.0
            for k, name in enumerate(table.amounts[0]):
                per = lie(table.moves[..., k]) * float(self.specs[name][1].step)
                if name == space.last:
                    shift = shift + per * end
                elif name in space.grid:
                    at = space.grid.index(name)
                    span = [1] * space.holds.ndim
                    span[len(space.choices) + at] = -1
                    shift = shift + per * space.steps[at].reshape(span)
                else:
                    shift = shift + per * self.questions.plan.amounts[name]
            missed = np.maximum(lower - lie(table.low) - shift, lie(table.high) + shift - upper)
            # to ten nanometres: what differs by less is as bad
            both.append(np.broadcast_to(np.round(missed, -1), space.holds.shape))
        return both

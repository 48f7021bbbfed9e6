"""What a plan would break, in the trade's words, with the figures it would come to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.fits import Instance, evaluate
from sparkout.fits.ratio import ratio_of
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict, judge_each
from sparkout.judge.words import Words
from sparkout.plan.apply import keys_of, planned_sizes
from sparkout.plan.conflict import Conflict, Questions
from sparkout.plan.forms import AmountSpec, Group, HoldsTo, Need
from sparkout.plan.gives import where_it_gives
from sparkout.plan.joined import Plan
from sparkout.plan.said import called, say_rule, sentence

__all__ = ["Saying", "Teller"]


def _and(some: Sequence[str]) -> str:
    return " and ".join(filter(None, [", ".join(some[:-1]), some[-1]]))


_AS_PLANNED = ", as planned"


def _why(why: str) -> str:
    return f" for {why}" if why and why != _AS_PLANNED else why


def _above(found: Finding) -> bool:
    """Whether a value lies nearer the upper end of its limits."""
    bounds, low, high = found.bounds, found.low, found.high
    if bounds is None or bounds.high is None or low is None or high is None:
        return False
    return bounds.low is None or low.value + high.value > bounds.low + bounds.high


def _mixed(found: Finding) -> str:
    """That the limit of use is asked of a fit of a new part and one that runs on."""
    limit = found.check.limit
    if found.side != "service" or limit.new is None or limit.new == limit.service:
        return ""
    keys = {key for _, key in found.check.instance.terms}
    new = {found.sizes[key].as_new for key in keys if key in found.sizes}
    return " (the service limit, for only one side of the fit is new)" if len(new) > 1 else ""


@dataclass(frozen=True, slots=True)
class _At:
    """Picks and amounts (in steps) at which something is told."""

    picks: Mapping[str, str]
    steps: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Saying:
    """A rule to be told of. at: where it is broken, None for the rule as such. rest: rules that ask
    for what is done there; forced: options that were asked about. planned: all else there is as
    planned; best: where it is broken least, None where that is the same or not known."""

    rule: str
    at: _At | None = None
    rest: tuple[str, ...] = ()
    forced: Mapping[str, int] = field(default_factory=dict)
    planned: bool = False
    best: _At | None = None


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

    # What is to be told ---------------------------------------------------------------------------

    def alone(self, names: Sequence[str], group: str, option: int) -> tuple[Saying, ...]:
        """Why an option is out of the question whatever else is done."""
        swapped, _ = self.questions.swapped(group, option)
        return (Saying(names[0], self._at(swapped), planned=True),)

    def broken(self, names: Sequence[str], plan: Plan) -> tuple[Saying, ...]:
        """What a plan breaks, the first of two kinds."""
        first: dict[str, str] = {}
        for name in names:
            first.setdefault(self._kind(name), name)
        return self.each(list(first.values())[:2], plan)

    def each(self, names: Iterable[str], plan: Plan) -> tuple[Saying, ...]:
        """What a plan breaks, every one of it."""
        at = self._at(plan)
        return tuple(Saying(name, at, planned=True) for name in names)

    def conflict(self, conflict: Conflict, forced: Mapping[str, int]) -> tuple[Saying, ...]:
        """Why an option cannot be had with what else must be done.

        Told with all else as planned, where that breaks a limit, and then what it would come to at
        best; otherwise only at best, which is at other choices than the plan's.
        """
        own = self._as_planned(forced)
        here = [] if own is None else [
            name for name in conflict.rules if not self.questions.keeps(name, own)
        ]  # fmt: skip
        main = self._main(here) or self._main(conflict.rules)
        if main is None:
            return tuple(Saying(name) for name in (*conflict.rules, *conflict.silent))
        cell = where_it_gives(self.questions, main, conflict, forced)
        plan = self.questions.plan
        if cell is not None:
            plan = Plan(
                {**plan.options, **forced, **cell.options}, {**plan.amounts, **cell.amounts}
            )
        rest = tuple(name for name in conflict.rules if name != main)
        if own is None or main not in here:
            return (Saying(main, self._at(plan), rest, forced),)
        best = None if cell is None else self._at(plan)
        return (Saying(main, self._at(own), rest, forced, planned=True, best=best),)

    def _as_planned(self, forced: Mapping[str, int]) -> Plan | None:
        """The plan with one option swapped; None where nothing or several are asked about."""
        if len(forced) != 1:
            return None
        ((group, option),) = forced.items()
        return self.questions.swapped(group, option)[0]

    def said(self, many: Sequence[Sequence[Saying]]) -> list[str]:
        """Each in words. The limits in all of them are judged together, which is far quicker."""
        asked = [
            (self._check(one.rule), at)
            for some in many
            for one in some
            for at in (one.at, one.best)
            if at is not None
        ]
        found = iter(self._findings(asked))
        texts = []
        for some in many:
            said = []
            for one in some:
                if one.at is None:
                    said.append(self._such(one.rule))
                    continue
                here = next(found)
                best = None if one.best is None else next(found)
                said.append(self._rule(one, one.at, here, best))
            texts.append(" ".join(dict.fromkeys(filter(None, said))))
        return texts

    def _check(self, name: str) -> Check | None:
        rule = self.compiled.rules[name]
        if isinstance(rule, HoldsTo):
            return rule.check
        return rule if isinstance(rule, Check) else None

    def _findings(self, asked: Sequence[tuple[Check | None, _At]]) -> list[Finding | None]:
        """What limits come to; None where a rule is none."""
        problem = self.compiled.problem
        limits = [(check, self._sizes(check, at)) for check, at in asked if check is not None]
        judged = iter(
            judge_each(limits, confidence=problem.confidence, rule=problem.rule, words=self.words)
        )
        return [None if check is None else next(judged) for check, _ in asked]

    def _sizes(self, check: Check, at: _At) -> dict[Key, Dimension]:
        """Sizes about one limit with these picks and amounts."""
        known = self.compiled.problem.sizes
        about = keys_of(check.instance)
        mine = [self.groups[name] for name in self.compiled.touching(check.instance)]
        amounts = {
            spec.name: Fraction(at.steps.get(spec.name, 0)) * spec.step
            for group in mine
            for spec in group.amounts
        }
        base = {key: known[key] for key in about if key in known}
        return planned_sizes(base, mine, at.picks, amounts, [check], only=about)

    def _such(self, name: str) -> str:
        """A rule as such; where it is that nothing can be had, why."""
        group = self.groups.get(name.removesuffix(": cannot be had"))
        if group is not None and group.name != name:
            whys = dict.fromkeys(option.impossible for option in group.options if option.impossible)
            return f"What could be done about {group.name} cannot be had: {'; '.join(whys)}."
        if not self.questions.named(name):
            return ""
        return say_rule(self.compiled, name, self.findings, self.words)

    # Sentences ------------------------------------------------------------------------------------

    def come_to(self, name: str) -> str:
        """What giving way on a limit would come to, at the plan that is asked about."""
        rule, check = self.compiled.rules[name], self._check(name)
        assert isinstance(rule, Check | HoldsTo)
        assert check is not None
        (found,) = self._findings([(check, self._at(self.questions.plan))])
        assert found is not None
        finer = self._finer(found)
        value, needed = self._value(found, finer), self._needed(rule, found, finer)
        return f"accept {called(check)} at {value} ({needed})"

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

    def _rule(self, saying: Saying, at: _At, found: Finding | None, best: Finding | None) -> str:
        name, rest = saying.rule, saying.rest
        rule = self.compiled.rules[name]
        if isinstance(rule, Need):
            return sentence(rule.words)
        if isinstance(rule, str):
            return sentence(rule)
        assert found is not None
        check = found.check
        before = self.findings.get(name)
        if before is not None and (found.low, found.high, found.verdict) == (
            before.low, before.high, before.verdict
        ):  # fmt: skip
            return before.reason
        if found.verdict not in (Verdict.OUT, Verdict.NOT_PROVEN):
            return say_rule(self.compiled, name, self.findings, self.words)
        once = self._once(check, at, rest, as_planned=saying.planned)
        finer = self._finer(found) or (best is not None and self._finer(best))
        needed = self._needed(rule, found, finer) + self._nearest(found, best, finer)
        needed += self._assumed(found)
        stands = self._stands(found, once, finer)
        if stands:
            gasket = self._gasket(check, at)
            leaves = f"{gasket or 'the gasket'} leaves {self._value(found, finer)}"
            return f"{stands}; {leaves}, {needed}."
        extra = self._with(check, at, saying.forced)
        if extra:
            # the plan's depths and the part beside them are told in one breath
            bare = once.removesuffix(_AS_PLANNED)
            once = f"{bare} with {extra}{once[len(bare) :]}".strip()
        tail = f" {once}" if once else ""
        return f"{called(check)} would be {self._value(found, finer)}{tail}; {needed}."

    def _nearest(self, found: Finding, best: Finding | None, finer: bool) -> str:
        """What it comes to at best; no plan is nearer, for the rules left out only narrow more."""
        if best is None or best.verdict is Verdict.WITHIN:
            return ""
        value = self._value(best, finer)
        if value == self._value(found, finer):
            return ""
        doubt = ", still not proven" if best.plain is Verdict.WITHIN else ""
        if _above(best) != _above(found):
            return f"; other choices bring {value} at best{doubt}"
        return f"; whatever else is chosen, it comes no nearer than {value}{doubt}"

    def _assumed(self, found: Finding) -> str:
        """What nobody measured of it, other than what the plan takes for granted anyway."""
        planned = self._sizes(found.check, self._at(self.questions.plan))
        names = [
            str(key)
            for key in dict.fromkeys(key for _, key in found.check.instance.terms)
            if key in found.sizes
            and found.sizes[key].how is How.ASSUMED
            and not (key in planned and planned[key].how is How.ASSUMED)
        ]
        if not names:
            return ""
        are = "are" if len(names) > 1 else "is"
        may = ": measured, it may yet be proven" if found.plain is Verdict.WITHIN else ""
        return f"; {_and(names)} {are} not measured but taken from the data sheet{may}"

    def _needed(self, rule: Check | HoldsTo, found: Finding, finer: bool) -> str:
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
            some = [end for end in (bounds.low, bounds.high) if end is not None]
            ends = [self.words.value(end, name, finer=finer) for end in some]
            if self._value(found, finer) in ends:
                return f"right at its limit, {limit}, and not proven{doubt}"
            return f"too near {limit} to be proven{doubt}"
        asked = f"{limit} is needed{_mixed(found)}"
        return f"{asked} for {rule.words}" if isinstance(rule, HoldsTo) else asked

    def _finer(self, found: Finding) -> bool:
        """Whether a digit more is told: where a value would look like the limit it is held to."""
        if found.verdict is Verdict.NOT_PROVEN:
            return True
        bounds, name = found.bounds, found.check.limit.characteristic
        if bounds is None or found.low is None or found.high is None:
            return False
        return any(
            end is not None and self.words.value(value, name) == self.words.value(end, name)
            for end, value in ((bounds.low, found.low.value), (bounds.high, found.high.value))
        )

    def _value(self, found: Finding, finer: bool) -> str:
        """The end of a value that counts. finer: with a digit more."""
        name = found.check.limit.characteristic
        bounds, low, high = found.bounds, found.low, found.high
        assert low is not None
        assert high is not None
        if found.check.instance.inner:
            ratio = ratio_of(found.check.instance, found.sizes)
            return "" if ratio is None else " to ".join(dict.fromkeys(f"{r:.2f}" for r in ratio))
        if bounds is not None and (bounds.low is None or bounds.high is None):
            end = high if bounds.low is None else low
            return self.words.value(end.value, name, finer=finer)
        if finer:
            return self.words.span(low.value, high.value, name, finer=True)
        return self.words.reading(low, high, name)

    def _stands(self, found: Finding, once: str, finer: bool) -> str:
        """How far a piston stands out of its bore, where that is what a gap over it hangs on."""
        check = found.check
        if check.instance.name not in ("piston to head", "squish"):
            return ""
        bore = check.instance.feature
        terms = tuple(
            (-weight, key)
            for weight, key in check.instance.terms
            if not key.characteristic.endswith("gasket thickness")
        )
        out = evaluate(Instance("piston protrusion", bore, terms), found.sizes)
        if out is None:
            return ""
        most = out[1].value
        way = "above" if most >= 0 else "below"
        shown = self.words.value(abs(most), found.check.limit.characteristic, finer=finer)
        fit = check.instance.name
        alike = sum(other.instance.name == fit for other in self.compiled.problem.checks)
        piston = f"piston {bore.rsplit(' ', 1)[-1]}" if alike > 1 else "the piston"
        return f"{piston} would stand {shown} {way} the deck{' ' + once if once else ''}"

    def _once(self, check: Check, at: _At, rest: Sequence[str], *, as_planned: bool) -> str:
        """What else must be done, and what for: `once the deck is cut 0.08 mm for flatness`; or
        that it is done so in the plan: `once the deck is cut 0.13 mm, as planned`."""
        about = self.compiled.touching(check.instance)
        planned = self.questions.plan.amounts
        done: list[tuple[str, str]] = []
        for name, (group, spec) in self.specs.items():
            steps = at.steps.get(name, 0)
            if steps and spec.done and group.name in about:
                depth = self.words.value(spec.step * steps, "deck height")
                same = as_planned and steps == planned.get(name, 0)
                why = _AS_PLANNED if same else self._what_for(group.name, name, rest)
                done.append((spec.done.format(depth), why))
        if not done:
            return ""
        whys = {why for _, why in done}
        if len(whys) == 1 and (why := whys.pop()):
            return f"once {_and([text for text, _ in done])}{_why(why)}"
        return "once " + _and([text + _why(why) for text, why in done])

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

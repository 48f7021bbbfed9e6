"""Rules in the trade's words, as such: what must hold, and how a limit is spoken of."""

from __future__ import annotations

from collections.abc import Mapping

from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict
from sparkout.judge.words import Words
from sparkout.plan.compile import Compiled
from sparkout.plan.forms import HoldsTo, Need

__all__ = ["called", "say_rule", "sentence"]


def say_rule(compiled: Compiled, name: str, findings: Mapping[str, Finding], words: Words) -> str:
    """A rule in words: the finding where the limit is broken as it stands, else what must hold."""
    rule = compiled.rules[name]
    if isinstance(rule, Check):
        finding = findings.get(name)
        if finding is not None and finding.verdict in (Verdict.OUT, Verdict.NOT_PROVEN):
            return finding.reason
        return f"{called(rule)} must be {_allowed(rule, words)}."
    if isinstance(rule, Need):
        return sentence(rule.words)
    if isinstance(rule, HoldsTo):
        limit = words.bounds(rule.bounds, rule.fit)
        return f"{rule.words} needs {rule.fit} of {rule.feature} {limit}."
    return sentence(rule)


def called(check: Check) -> str:
    """`piston to head of bore 2`: a limit as it is spoken of."""
    feature, name = check.instance.feature, check.limit.name
    kind = feature.rsplit(" ", 1)[0]
    if feature in name:
        return name
    if name.startswith(kind + " ") and kind != feature:
        return f"{feature} {name[len(kind) + 1 :]}"
    return f"{name} of {feature}"


def _allowed(check: Check, words: Words) -> str:
    bounds = check.limit.side("service")
    if bounds is None:
        return "within its limit"
    if check.instance.inner:
        return bounds.typed
    return words.bounds(bounds, check.limit.characteristic)


def sentence(text: str) -> str:
    return text if text.endswith(".") else text + "."

"""Everything a question can name: what is decided, done, cut, bought and judged in this job."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sparkout.judge.checks import Check
from sparkout.plan.forms import Group, Option
from sparkout.plan.problem import Problem
from sparkout.plan.whatif.naming import Named, meant, stems
from sparkout.sheet.model import DataSheet

__all__ = ["COMPONENTS", "Vocabulary", "vocabulary"]

# Components a customer may bring whole, and the kinds of feature they are made of.
COMPONENTS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "crank": ("crankshaft", "main journal", "rod journal"),
        "crankshaft": ("crankshaft", "main journal", "rod journal"),
        "rods": ("rod", "rod bolt"),
        "head": ("head", "seat", "guide", "valve", "spring", "chamber"),
        "heads": ("head", "seat", "guide", "valve", "spring", "chamber"),
        "camshaft": ("camshaft", "cam journal", "lobe"),
        "cam": ("camshaft", "cam journal", "lobe"),
        "block": ("block", "deck", "bore", "main housing", "ledge", "parent bore", "cam bush"),
        "flywheel": ("flywheel",),
        "damper": ("damper",),
        "oil pump": ("oil pump",),
    }
)


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Names by what they are. options: by `group` and option, told apart by a bar."""

    groups: tuple[Named, ...]
    options: tuple[Named, ...]
    parts: tuple[Named, ...]
    amounts: tuple[Named, ...]
    limits: tuple[Named, ...]
    problem: Problem

    def options_meant(self, phrase: str) -> tuple[tuple[Group, Option], ...]:
        """Options other than leaving things that a phrase means, in the order of the plan."""
        wanted = set(meant(phrase, self.options))
        return tuple(
            (group, option)
            for group in self.problem.groups
            for option in group.options
            if _label(group, option) in wanted and option.name != group.keep
        )

    def groups_meant(self, phrase: str) -> tuple[Group, ...]:
        """Groups that a phrase means by their own name, else by the component they belong to."""
        wanted = set(meant(phrase, self.groups))
        found = tuple(group for group in self.problem.groups if group.name in wanted)
        if found:
            return found
        kinds = component(phrase)
        return tuple(
            group
            for group in self.problem.groups
            if kinds and all(_kind(feature) in kinds for feature in group.features)
        )


def component(phrase: str) -> tuple[str, ...]:
    """The kinds of feature of a component that is named, none where it is none."""
    asked = stems(phrase)
    for name, kinds in COMPONENTS.items():
        if stems(name) == asked:
            return kinds
    return ()


def _kind(feature: str) -> str:
    words = feature.split()
    return " ".join(word for word in words if not any(c.isdigit() for c in word))


def _label(group: Group, option: Option) -> str:
    return f"{group.name} | {option.name}"


def vocabulary(problem: Problem, sheet: DataSheet, checks: Iterable[Check]) -> Vocabulary:
    """The vocabulary of one job."""
    kinds = {part.name: part.kind for part in sheet.parts}
    used = dict.fromkeys(
        use.part for group in problem.groups for option in group.options for use in option.parts
    )
    limits: dict[str, Named] = {}
    for check in checks:
        limits.setdefault(check.limit.name, Named.of(check.limit.name))
        limits[check.name] = Named.of(check.name)
    return Vocabulary(
        tuple(Named.of(group.name) for group in problem.groups),
        tuple(
            Named.of(
                _label(group, option), option.words, *(work.operation for work in option.work)
            )
            for group in problem.groups
            for option in group.options
        ),
        tuple(Named.of(name, kinds.get(name, "")) for name in (*used, *(n for n in kinds
              if n not in used))),
        tuple(Named.of(spec.name) for group in problem.groups for spec in group.amounts),
        tuple(limits.values()),
        problem,
    )  # fmt: skip

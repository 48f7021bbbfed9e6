"""Choices that differ in nothing but the feature they are about, said once."""

from __future__ import annotations

import re
from collections.abc import Iterable

from sparkout.plan.explain import Reason

__all__ = ["alike"]


def alike(reasons: Iterable[Reason]) -> tuple[tuple[Reason, ...], ...]:
    """Reasons of one shape together, in the order in which each shape first stands: recutting
    fourteen seats for the same pits is one thing to say, not fourteen."""
    found: dict[tuple[str, str], list[Reason]] = {}
    for reason in reasons:
        found.setdefault(_shape(reason), []).append(reason)
    return tuple(tuple(same) for same in found.values())


def _shape(reason: Reason) -> tuple[str, str]:
    """The sentence without the name of its own feature (`I3` of `seat I3`, `left` of a deck)."""
    own = reason.group.rsplit(" ", 1)[-1]
    if own == reason.group:
        return reason.group, reason.sentence
    mark = re.compile(rf"(?<!\w){re.escape(own)}(?!\w)")
    return mark.sub("#", reason.group), mark.sub("#", reason.sentence)

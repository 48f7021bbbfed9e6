"""A rule on its way to a window: what it is about and its limits, before guard bands are known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.judge.checks import Check
from sparkout.plan.forms import Group
from sparkout.plan.sight import Ends
from sparkout.plan.sizes import MICRO
from sparkout.plan.tables import Recipe
from sparkout.sheet.model import Bounds, Side

__all__ = ["Draft", "Gate", "gate", "pair", "sides"]


@dataclass(frozen=True, slots=True)
class Gate:
    """A rule counts only with these options of a group."""

    group: str
    mask: tuple[bool, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A window before its guard bands are known.

    new, service: limits of what is as new and of what is used again. single: about one size, whose
    limits move with its over- or undersize, and which is not judged where it is made to another.
    """

    name: str
    recipe: Recipe
    new: Ends
    service: Ends
    single: bool = False
    gates: tuple[Gate, ...] = ()


def gate(group: Group, options: Sequence[str]) -> Gate:
    return Gate(group.name, tuple(item.name in options for item in group.options))


def sides(check: Check) -> tuple[Ends, Ends]:
    """The limits of what is as new and of what is used again."""
    new = pair(check.limit.side(Side.NEW))
    if check.limit.judged == "when new":
        return new, (-math.inf, math.inf)
    return new, pair(check.limit.side(Side.SERVICE))


def pair(bounds: Bounds | None) -> Ends:
    if bounds is None:
        return -math.inf, math.inf
    return (
        -math.inf if bounds.low is None else float(bounds.low * MICRO),
        math.inf if bounds.high is None else float(bounds.high * MICRO),
    )

"""The canonical form of a plan, and the digest that stands for it in the log.

It says what is done and how deep; not what is left alone, and not what it costs. A price that
changes, or a way to mend something that is offered since and not taken, does not make another plan;
the quote has a version of its own.
"""

from __future__ import annotations

import hashlib
import json
import re
from typing import Any

from sparkout.plan.decide import Plan

__all__ = ["SHORT", "canonical_plan", "digest_in", "plan_digest"]

FORM = 1
SHORT = 12
"""Digits of a digest that people are shown and type; ample to tell the plans of one job apart."""

_LEAST = 8
_HEX = re.compile(r"\b[0-9a-f]{8,64}\b")


def canonical_plan(plan: Plan) -> dict[str, Any]:
    """Picks by group and depths in exact mm, sorted by name when written."""
    return {
        "sparkout plan": FORM,
        "picks": {
            group.name: option.name
            for group, option in plan.chosen
            if option.work or option.parts or option.effects
        },
        "depths": {item.name: str(item.value) for item in plan.amounts if item.value},
    }


def plan_digest(plan: Plan) -> str:
    """SHA-256 of the canonical form, as 64 hexadecimal digits: the same plan, the same digest."""
    text = json.dumps(
        canonical_plan(plan), ensure_ascii=False, sort_keys=True, separators=(",", ":")
    )
    return hashlib.sha256(text.encode()).hexdigest()


def digest_in(text: str) -> str:
    """The first digest, whole or cut short, that a text names; empty where it names none.

    >>> digest_in("plan 3fa9c1d2e4b5, as offered")
    '3fa9c1d2e4b5'
    """
    found = _HEX.search(text.casefold())
    return "" if found is None else found[0]

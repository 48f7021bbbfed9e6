"""Schemas of findings, plans and set-ups as --json prints them (made in report.data, setups_data).

Lengths are in millimetres whatever the shop's units, money is in the shop's currency, before tax
unless said.
"""

from __future__ import annotations

from sparkout.cli.shapes import (
    BOUNDS,
    COUNT,
    FLAG,
    MAYBE_NUMBER,
    MAYBE_TEXT,
    NUMBER,
    TEXT,
    TEXTS,
    by_name,
    listed,
    maybe,
    record,
)

__all__ = ["CHECK", "PLAN", "SETUPS"]

# u: none for a ratio, which is judged through its volumes
_ESTIMATE = record({"value": NUMBER, "exact": TEXT, "u": MAYBE_NUMBER})

_FINDING = record(
    {
        "feature": TEXT,
        "characteristic": TEXT,
        "limit": TEXT,
        "side": TEXT,
        "bounds": maybe(BOUNDS),
        "low": maybe(_ESTIMATE),
        "high": maybe(_ESTIMATE),
        "how": MAYBE_TEXT,
        "verdict": TEXT,
        "plain": TEXT,
        "conformance_probability": MAYBE_NUMBER,
        "reason": TEXT,
        "settle": TEXT,
        "marks": TEXTS,
        "source": TEXT,
        "rule_of_thumb": TEXT,
        "entries": TEXTS,
    }
)
_QUESTIONED = record(
    {"feature": TEXT, "characteristic": TEXT, "typed": TEXT, "entry": TEXT, "question": TEXT}
)

CHECK = {
    "engine": TEXT,
    "rule": TEXT,
    "findings": listed(_FINDING),
    "questioned": listed(_QUESTIONED),
    "count": by_name(COUNT),
    "judged_by": TEXTS,
}

_REFUSED = record({"option": TEXT, "rules": TEXTS, "extra": MAYBE_NUMBER, "sentence": TEXT})
_CHOSEN = record(
    {
        "group": TEXT,
        "option": TEXT,
        "words": TEXT,
        "kept": FLAG,
        "cost": NUMBER,
        "reason": TEXT,
        "refused": listed(_REFUSED),
    }
)
_BOUND = record({"rule": TEXT, "at": NUMBER})
_AMOUNT = record(
    {
        "name": TEXT,
        "value": NUMBER,
        "least": NUMBER,
        "most": NUMBER,
        "needs": listed(_BOUND),
        "limits": listed(_BOUND),
        "words": TEXT,
    }
)
_STEP = record(
    {
        "number": COUNT,
        "kind": TEXT,
        "title": TEXT,
        "operation": TEXT,
        "features": TEXTS,
        "after": TEXTS,
        "read": TEXTS,
        "look": TEXT,
    }
)
_PRICE = record(
    {
        "currency": TEXT,
        "lines": listed(record({"kind": TEXT, "title": TEXT, "amount": NUMBER, "note": TEXT})),
        "firm": NUMBER,
        "contingency": NUMBER,
        "tax": NUMBER,
        "total": NUMBER,
        "hours": NUMBER,
        "days": COUNT,
    }
)

PLAN = {
    "engine": TEXT,
    "possible": FLAG,
    "cost": MAYBE_NUMBER,
    "chosen": listed(_CHOSEN),
    "amounts": listed(_AMOUNT),
    "steps": listed(_STEP),
    "price": maybe(_PRICE),
    "conflict": TEXTS,
    "left_out": TEXTS,
}

_TERM = record(
    {"sign": TEXT, "times": NUMBER, "value": NUMBER, "words": TEXT, "kind": TEXT, "marks": TEXTS}
)
_NUMBER = record(
    {
        "label": TEXT,
        "value": NUMBER,
        "exact": TEXT,
        "kind": TEXT,
        "sense": TEXT,
        "step": NUMBER,
        "low": MAYBE_NUMBER,
        "high": MAYBE_NUMBER,
        "held_by": TEXT,
        "rule": TEXT,
        "terms": listed(_TERM),
        "marks": TEXTS,
    }
)
_PASS = record(
    {
        "name": TEXT,
        "each": NUMBER,
        "count": COUNT,
        "sense": TEXT,
        "note": TEXT,
        "marks": TEXTS,
    }
)
_AFTER = record(
    {
        "feature": TEXT,
        "characteristic": TEXT,
        "places": TEXT,
        "low": MAYBE_NUMBER,
        "high": MAYBE_NUMBER,
        "limit": TEXT,
    }
)
_SET_UP = record(
    {
        "step": COUNT,
        "operation": TEXT,
        "kind": TEXT,
        "features": TEXTS,
        "numbers": listed(_NUMBER),
        "passes": listed(_PASS),
        "dry_run": TEXTS,
        "looks": TEXTS,
        "after": listed(_AFTER),
        "notes": TEXTS,
        "read_first": TEXTS,
        "refused": TEXTS,
        "inputs": listed(record({"words": TEXT, "value": NUMBER, "kind": TEXT, "marks": TEXTS})),
        "cautions": TEXTS,
        "source": TEXT,
        "marks": TEXTS,
        "stopped": FLAG,
    }
)
_MOVE = record(
    {
        "quantity": TEXT,
        "per": MAYBE_NUMBER,
        "sign": {"type": ["integer", "string", "null"]},
        "unit": TEXT,
        "direct": FLAG,
    }
)

SETUPS = {
    "engine": TEXT,
    "units": {"enum": ["mm", "inch"]},
    "possible": FLAG,
    "setups": listed(_SET_UP),
    "moves": listed(record({"operation": TEXT, "amount": TEXT, "moved": listed(_MOVE)})),
    "conflict": TEXTS,
    "follows": TEXT,
}

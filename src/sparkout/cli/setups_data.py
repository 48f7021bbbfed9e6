"""Set-ups as plain objects for --json: every number with its sum, tolerance and marks."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from sparkout.setups.moves_table import MovesRow
from sparkout.setups.number import Number, Term
from sparkout.setups.record import SetUp

__all__ = ["moves_data", "set_up_data"]


def _end(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def _term(term: Term) -> dict[str, Any]:
    return {
        "sign": term.sign,
        "times": float(term.times),
        "value": float(term.value),
        "words": term.words,
        "kind": term.kind,
        "marks": list(term.marks),
    }


def _number(number: Number) -> dict[str, Any]:
    return {
        "label": number.label,
        "value": float(number.value),
        "exact": str(number.value),
        "kind": number.kind,
        "sense": number.sense.value,
        "step": float(number.step),
        "low": _end(number.low),
        "high": _end(number.high),
        "held_by": number.held_by,
        "rule": number.rule,
        "terms": [_term(term) for term in number.terms],
        "marks": list(number.marks),
    }


def set_up_data(item: SetUp) -> dict[str, Any]:
    """One set-up; lengths in mm whatever the shop's units."""
    return {
        "step": item.step,
        "operation": item.operation,
        "kind": item.kind,
        "features": list(item.features),
        "numbers": [_number(number) for number in item.numbers],
        "passes": [
            {
                "name": cut.name,
                "each": float(cut.each),
                "count": cut.count,
                "sense": cut.sense.value,
                "note": cut.note,
                "marks": list(cut.marks),
            }
            for cut in item.passes
        ],
        "dry_run": list(item.dry_run),
        "looks": list(item.looks),
        "after": [
            {
                "feature": after.key.feature,
                "characteristic": after.key.characteristic,
                "places": after.places,
                "low": _end(after.low),
                "high": _end(after.high),
                "limit": after.against.removeprefix("limit "),
            }
            for after in item.after
        ],
        "notes": list(item.notes),
        "read_first": list(item.read_first),
        "refused": list(item.refused),
        "inputs": [
            {
                "words": one.words,
                "value": float(one.value),
                "kind": one.kind,
                "marks": list(one.marks),
            }
            for one in item.inputs
        ],
        "cautions": list(item.cautions),
        "source": item.source,
        "marks": list(item.marks),
        "stopped": item.stopped,
    }


def moves_data(rows: Sequence[MovesRow]) -> list[dict[str, Any]]:
    """The table of moves."""
    return [
        {
            "operation": row.operation,
            "amount": row.amount,
            "moved": [
                {
                    "quantity": item.quantity,
                    "per": _end(item.per),
                    "sign": item.sign,
                    "unit": item.unit,
                    "direct": item.direct,
                }
                for item in row.moved
            ],
        }
        for row in rows
    ]

"""Schemas of what the choice of a plan comes to, as --json prints it: offers, answers to what-if
questions, an approved plan, the parts to buy and what is left of what is kept (made in
report.objects).

Money is in the shop's currency; lengths are in millimetres whatever the shop's units.
"""

from __future__ import annotations

from sparkout.cli.shapes import (
    COUNT,
    FLAG,
    MAYBE_NUMBER,
    MAYBE_TEXT,
    MAYBE_WHOLE,
    NUMBER,
    TEXT,
    TEXTS,
    WHOLE,
    by_name,
    either,
    listed,
    maybe,
    one_of,
    record,
)

__all__ = ["APPROVED", "ASK", "LIFE", "OFFERS", "PARTS", "SHELF"]

_PRICE = record(
    {"currency": TEXT, "firm": NUMBER, "contingency": NUMBER, "tax": NUMBER, "total": NUMBER}
)
# Hours to a limit of wear; null where no end is in sight.
_HOURS = record(
    {
        "p10": MAYBE_NUMBER,
        "p50": MAYBE_NUMBER,
        "p90": MAYBE_NUMBER,
        "basis": TEXT,
        "warnings": TEXTS,
    }
)
_DEPTH = record({"name": TEXT, "was": NUMBER, "now": NUMBER})

_DIFFERENCE = record(
    {"group": TEXT, "words": TEXT, "instead_of": TEXT, "reason": TEXT, "cost": NUMBER}
)
_OFFER = record(
    {
        "name": TEXT,
        "plan": TEXT,
        "price": _PRICE,
        "more": NUMBER,
        "days": COUNT,
        "more_days": WHOLE,
        "ready": TEXT,
        "life": NUMBER,
        "life_or_more": FLAG,
        "differences": listed(_DIFFERENCE),
        "stated": TEXTS,
    }
)
_LEFT = either(
    record({"state": one_of("renewed", "not known")}),
    record(
        {
            "state": one_of("kept"),
            "check": TEXT,
            "left": NUMBER,
            "share": NUMBER,
            "hours": maybe(_HOURS),
            "why_not": TEXT,
        }
    ),
)

OFFERS = {
    "engine": TEXT,
    "possible": FLAG,
    "today": TEXT,
    "offers": listed(_OFFER),
    "wear": listed(record({"limit": TEXT, "left": by_name(_LEFT)})),
    "not_pushed_out": listed(record({"limit": TEXT, "life": NUMBER})),
    "life_unit": one_of("h", "share of the wear allowed", ""),
    "steps": listed(record({"cost": NUMBER, "life": NUMBER})),
    "assumed": TEXT,
    "missing": TEXTS,
    "short": NUMBER,
    "quickest": maybe(record({"plan": TEXT, "days": COUNT, "ready": TEXT, "price": _PRICE})),
}

ASK = {
    "engine": TEXT,
    "follows": TEXT,
    "question": TEXT,
    "read_as": TEXTS,
    "assumed": TEXTS,
    "possible": FLAG,
    "why_not": TEXTS,
    "cost": NUMBER,
    "days": WHOLE,
    "plan": MAYBE_TEXT,
    "price": maybe(_PRICE),
    "options": listed(record({"group": TEXT, "was": TEXT, "now": TEXT})),
    "amounts": listed(_DEPTH),
    "margins": listed(
        record({"check": TEXT, "was": MAYBE_NUMBER, "now": MAYBE_NUMBER, "share": MAYBE_NUMBER})
    ),
    "without_waiting": MAYBE_NUMBER,
}

# What became of an approved plan; money is of work and parts, before reserve and tax.
APPROVED = record(
    {
        "entry": TEXT,
        "at": TEXT,
        "what": TEXT,
        "by_whom": TEXT,
        "how": TEXT,
        "amount": TEXT,
        "currency": TEXT,
        "plan": TEXT,
        "named": FLAG,
        "why_not": TEXT,
        "holds": FLAG,
        "as_approved": FLAG,
        "needs_approval": TEXTS,
        "changes": listed(record({"group": TEXT, "was": TEXT, "now": TEXT, "reason": TEXT})),
        "amounts": listed(_DEPTH),
        "done": listed(
            record(
                {
                    "group": TEXT,
                    "words": TEXT,
                    "whole": FLAG,
                    "depths": by_name(record({"mm": NUMBER, "entered_or_read": FLAG})),
                }
            )
        ),
        "not_approved_work": listed(record({"operation": TEXT, "features": TEXTS})),
        "unused_parts": listed(record({"part": TEXT, "price": NUMBER})),
        "price": MAYBE_NUMBER,
        "spent": MAYBE_NUMBER,
        "cost": MAYBE_NUMBER,
        "difference": MAYBE_NUMBER,
        "days": MAYBE_WHOLE,
        "more_days": MAYBE_WHOLE,
        "cheaper": maybe(record({"less": NUMBER, "plan": TEXT})),
        "noted": TEXTS,
        "conflict": TEXTS,
    }
)

PARTS = {
    "engine": TEXT,
    "currency": TEXT,
    "total": NUMBER,
    "parts": listed(
        record(
            {
                "part": TEXT,
                "pieces": COUNT,
                "packages": COUNT,
                "sold_in": COUNT,
                "price": NUMBER,
                "state": one_of("here", "on the shelf", "order now", "order when read"),
                "days": COUNT,
                "for": TEXTS,
                "hangs_on": listed(record({"size": TEXT, "after": TEXT})),
                "sure": MAYBE_NUMBER,
                "may_not_be_needed": TEXTS,
                "instead": listed(
                    record({"parts": TEXTS, "more": MAYBE_NUMBER, "days": WHOLE, "why_not": TEXT})
                ),
            }
        )
    ),
    "materials": listed(
        record(
            {
                "material": TEXT,
                "kind": one_of("lubricant", "sealant", "seals", "shop supplies"),
                "for": TEXTS,
                "price": MAYBE_NUMBER,
                "percent_of_work": NUMBER,
            }
        )
    ),
}

LIFE = {
    "engine": TEXT,
    "hours_run": MAYBE_NUMBER,
    "assumed": TEXT,
    "kept": listed(
        record(
            {
                "check": TEXT,
                "left": NUMBER,
                "share": NUMBER,
                "own": maybe(_HOURS),
                "family": maybe(_HOURS),
                "why_not": TEXT,
            }
        )
    ),
}

_PIECES = record({"part": TEXT, "pieces": COUNT})

SHELF = {
    "engine": TEXT,
    "currency": TEXT,
    "total": NUMBER,
    "possible": FLAG,
    "scarce": listed(_PIECES),
    "engines": listed(
        record(
            {
                "job": TEXT,
                "cost": MAYBE_NUMBER,
                "extra": NUMBER,
                "begun": FLAG,
                "takes": listed(_PIECES),
                "instead": listed(record({"done": TEXT, "instead_of": TEXT})),
            }
        )
    ),
    "matched": maybe(
        record(
            {
                "size": TEXT,
                "within": NUMBER,
                "sets": listed(TEXTS),
                "left": TEXTS,
                "unread": COUNT,
            }
        )
    ),
}

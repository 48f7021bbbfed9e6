"""What if: one line of plain words, the plan solved again with it, and what that changes."""

from sparkout.plan.whatif.answer import Answer, ask, solved_with
from sparkout.plan.whatif.changes import (
    Bring,
    BringFeatures,
    Change,
    Cost,
    Depth,
    Ignore,
    Inputs,
    Refuse,
    Supplied,
    Take,
)
from sparkout.plan.whatif.compare import AmountChange, MarginChange, OptionChange
from sparkout.plan.whatif.reading import FORMS, Asked, read_question
from sparkout.plan.whatif.vocabulary import vocabulary

__all__ = [
    "FORMS",
    "AmountChange",
    "Answer",
    "Asked",
    "Bring",
    "BringFeatures",
    "Change",
    "Cost",
    "Depth",
    "Ignore",
    "Inputs",
    "MarginChange",
    "OptionChange",
    "Refuse",
    "Supplied",
    "Take",
    "ask",
    "read_question",
    "solved_with",
    "vocabulary",
]

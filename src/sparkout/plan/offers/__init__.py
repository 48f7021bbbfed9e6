"""Plans to choose from: what each costs, how long it takes and how much life it leaves."""

from sparkout.plan.offers.beside import AS_NEW_PART, NOTHING_KNOWN, Row, lives_beside
from sparkout.plan.offers.days import (
    Deadline,
    cheapest_within,
    days_of,
    hours_of,
    quickest,
    ready_on,
    wait_of,
)
from sparkout.plan.offers.front import Front, Point, front
from sparkout.plan.offers.life import History, Life, history_of, lives_of, read_hours
from sparkout.plan.offers.offers import (
    AS_NEW,
    BEST_VALUE,
    LEAST_COST,
    WITHIN_BUDGET,
    Difference,
    NoOffer,
    Offer,
    Offers,
    best_value,
    make_offers,
    most_life,
)
from sparkout.plan.offers.scale import Scale
from sparkout.plan.offers.settle import settled
from sparkout.plan.offers.wear import RUNS_DOWN, Wearing, improvable, wearing

__all__ = [
    "AS_NEW",
    "AS_NEW_PART",
    "BEST_VALUE",
    "LEAST_COST",
    "NOTHING_KNOWN",
    "RUNS_DOWN",
    "WITHIN_BUDGET",
    "Deadline",
    "Difference",
    "Front",
    "History",
    "Life",
    "NoOffer",
    "Offer",
    "Offers",
    "Point",
    "Row",
    "Scale",
    "Wearing",
    "best_value",
    "cheapest_within",
    "days_of",
    "front",
    "history_of",
    "hours_of",
    "improvable",
    "lives_beside",
    "lives_of",
    "make_offers",
    "most_life",
    "quickest",
    "read_hours",
    "ready_on",
    "settled",
    "wait_of",
    "wearing",
]

"""Plans to choose from: what each costs, how long it takes and how much life it leaves."""

from sparkout.plan.offers.days import cheapest_within, days_of, hours_of, quickest, wait_of
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
    "BEST_VALUE",
    "LEAST_COST",
    "RUNS_DOWN",
    "WITHIN_BUDGET",
    "Difference",
    "Front",
    "History",
    "Life",
    "NoOffer",
    "Offer",
    "Offers",
    "Point",
    "Scale",
    "Wearing",
    "best_value",
    "cheapest_within",
    "days_of",
    "front",
    "history_of",
    "hours_of",
    "improvable",
    "lives_of",
    "make_offers",
    "most_life",
    "quickest",
    "read_hours",
    "settled",
    "wait_of",
    "wearing",
]

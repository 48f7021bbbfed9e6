"""The whole forecast of one engine: ranges, chances, what to read next, where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.drawings.price_forecast import Driver, PriceForecast, price_forecast
from sparkout.forecast.next_reading import NextReading, next_readings
from sparkout.forecast.outcome import Outcome
from sparkout.forecast.run import Desk
from sparkout.forecast.summary import Item, Summary, summary, ticket
from sparkout.forecast.thumb import THUMB

__all__ = ["Forecast", "Origin", "forecast_of", "picture"]

_CENTS = 100
_DRIVERS = 8


@dataclass(frozen=True, slots=True)
class Origin:
    """Where the laws of some characteristics come from. thumb: a rule of thumb."""

    source: str
    thumb: bool
    characteristics: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Forecast:
    """What an engine is likely to come to. read: readings taken so far; drawn: still to be taken.

    lawless: what is not read and nothing is known of: it is in no draw and in no price. seed:
    another forecast with it gives the same figures.
    """

    name: str
    currency: str
    seed: int
    asked: int
    read: int
    drawn: int
    summary: Summary
    items: tuple[Item, ...]
    next: tuple[NextReading, ...]
    origins: tuple[Origin, ...]
    lawless: tuple[str, ...]

    @property
    def by_thumb(self) -> bool:
        return any(origin.thumb for origin in self.origins)


def forecast_of(desk: Desk, outcomes: tuple[Outcome, ...], asked: int) -> Forecast:
    """The forecast from the draws that were worked out; asked: how many were wanted."""
    found = summary(outcomes)
    items = ticket(found)
    origins: dict[tuple[str, bool], dict[str, None]] = {}
    for row in desk.plan.rows:
        names = origins.setdefault((row.law.source, row.law.thumb), {})
        names[row.key.characteristic] = None
    case = desk.case
    return Forecast(
        case.sheet.identity.name,
        case.shop.currency,
        desk.seed,
        asked if desk.plan.rows else 1,
        len(case.spots) + len(case.tests),
        len(desk.plan.spots) + sum(row.test for row in desk.plan.rows),
        found,
        items,
        next_readings(desk.draws, outcomes, items),
        tuple(Origin(source, thumb, tuple(names)) for (source, thumb), names in origins.items()),
        tuple(dict.fromkeys(key.characteristic for key in desk.plan.lawless)),
    )


def picture(found: Forecast) -> str | None:
    """The forecast as a drawing (SVG), None where no draw has a plan."""
    price = found.summary.price
    if price is None:
        return None
    rows = sorted(found.items, key=lambda item: -item.chance * item.cost)[:_DRIVERS]
    note = f"From {found.summary.draws} plausible engines, before tax."
    if found.by_thumb:
        note += f" Some of what is drawn goes by a {THUMB}."
    return price_forecast(
        PriceForecast(
            found.name,
            price.p10 / _CENTS,
            price.p50 / _CENTS,
            price.p90 / _CENTS,
            found.currency,
            tuple((low / _CENTS, up / _CENTS, share) for low, up, share in found.summary.bins),
            tuple(Driver(item.words, item.chance, item.cost / _CENTS) for item in rows),
            note,
        )
    )

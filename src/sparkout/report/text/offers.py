"""Offers in a terminal: one table of columns, then what sets each apart and why."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from datetime import date

from sparkout.load import Job
from sparkout.measure.wear.remaining import RemainingLife
from sparkout.plan.decide import Plan
from sparkout.plan.offers import (
    Deadline,
    Difference,
    Life,
    NoOffer,
    Offer,
    Offers,
    lives_beside,
    ready_on,
)
from sparkout.price.money import said
from sparkout.price.quote import Quote, quote
from sparkout.price.scope import not_in_said
from sparkout.report.grouping import minus
from sparkout.report.open_points import taken_in_order
from sparkout.report.text.layout import WIDTH, heading, wrapped

__all__ = ["day_said", "hours_said", "no_offer_text", "offers_text", "span_said"]

_ROWS = 8
_ASIDE = 4
_LABEL = 20
_LIKE = 6


def offers_text(
    job: Job, made: Offers, today: date, budget: int | None = None, *, whole: bool = False
) -> list[str]:
    """Everything `offers` says. budget: as typed, cents in all. whole: every limit and name."""
    some = made.offers
    quotes = [quote(offer.plan.chosen, job.shop) for offer in some]
    missing_readings = taken_in_order(job, [offer.plan for offer in some])
    lines = _head(missing_readings)
    lines += _columns(_money_rows(job, made, quotes, today), [offer.name for offer in some])
    missing = not_in_said(quotes)
    lines += wrapped(missing.replace("this price", "these prices"), "  ") if missing else []
    lines += _wear(made, whole=whole)
    for offer in some[1:]:
        lines += _apart(offer, some[0], job.shop.currency, whole=whole)
    for text in made.missing:
        lines += wrapped(minus(text[0].upper() + text[1:]) + ".", "  ! ")
    if budget is not None and made.short:
        short = quotes[0].total - budget
        lines += wrapped(
            f"The budget of {quotes[0].money(budget)} is {quotes[0].money(short)} short of the "
            "cheapest plan, with reserve and tax.",
            "  ! ",
        )
    if made.history is not None:
        lines += ["", *wrapped(made.history.taken_for_granted)]
    return lines


def _head(unread: tuple[str, ...]) -> list[str]:
    """What is offered, and that it is proven only as far as somebody has measured."""
    if not unread:
        return heading("Offers: the same engine, each the cheapest of its kind, proven")
    lines = heading("Offers: each the cheapest of its kind, proven for what was read")
    return lines + wrapped(
        f"Not read, and taken to be in order: {'; '.join(unread)}. What is not in order may ask "
        "for more work, and cost more.",
        "  ! ",
    )


def no_offer_text(job: Job, none: NoOffer) -> list[str]:
    """Why there is no offer in time, and what the quickest plan takes."""
    if none.quickest is None:
        return wrapped("No plan holds every limit, however long it takes: `sparkout plan` says why")
    plan = none.quickest
    price = quote(plan.chosen, job.shop)
    when = f"takes {none.needs} days"
    asked = f"in {none.days} days"
    if isinstance(none.days, Deadline):
        when = f"is ready on {day_said(ready_on(plan.chosen, job.shop, none.days.today))}"
        asked = f"by {day_said(none.days.by)}"
    lines = heading(f"No plan is ready {asked}")
    lines += wrapped(
        f"The quickest that holds every limit {when}, {price.money(price.total)} in all.", "  ✕ "
    )
    lines += _slow(plan)
    return lines


def _slow(plan: Plan) -> list[str]:
    """What the quickest plan waits for."""
    wait = max((option.days for _, option in plan.chosen), default=0)
    if not wait:
        return []
    slow = [option.words for _, option in plan.chosen if option.days == wait]
    return wrapped(f"It waits {wait} days for: {'; '.join(slow)}.", "    ")


def day_said(day: date) -> str:
    """`Thu 2026-12-03`."""
    return f"{day:%a} {day.isoformat()}"


def hours_said(hours: float) -> str:
    """Two digits: a forecast has no more."""
    if math.isinf(hours):
        return "no end"
    if hours <= 0.0:
        return "0"
    return f"{round(hours, 1 - math.floor(math.log10(hours))):.0f}"


def span_said(life: RemainingLife) -> str:
    """`1200–14000 h`: one part in ten by the first, nine in ten by the second."""
    low, high = hours_said(life.p10), hours_said(life.p90)
    if math.isinf(life.p10):
        return "no end in sight"
    return f"{low} h on" if math.isinf(life.p90) else f"{low}–{high} h"


# The table --------------------------------------------------------------------------------------


def _money_rows(
    job: Job, made: Offers, quotes: Sequence[Quote], today: date
) -> list[tuple[str, list[str]]]:
    first = quotes[0]
    rows = [
        ("work and parts", [q.money(q.firm) for q in quotes]),
        ("reserve", [q.money(q.contingency) for q in quotes]),
        ("tax", [q.money(q.tax) for q in quotes]),
        ("in all, at most", [q.money(q.total) for q in quotes]),
        ("beyond the first", [_more(q.total - first.total, q) for q in quotes]),
        ("days, about", [str(q.days) for q in quotes]),
        ("begun now, ready", [day_said(ready_on(o.plan.chosen, job.shop, today))
                              for o in made.offers]),
        ("choices last", [_level(made, o.level) for o in made.offers]),
        ("first limit of all", [_level(made, made.first_of_all(o)) for o in made.offers]),
    ]  # fmt: skip
    empty = {"tax": not first.tax, "reserve": not first.contingency}
    return [row for row in rows if not empty.get(row[0], False)]


def _more(cents: int, price: Quote) -> str:
    return "–" if not cents else f"{'+' if cents > 0 else '−'}{price.money(abs(cents))}"


def _columns(rows: Sequence[tuple[str, Sequence[str]]], names: Sequence[str]) -> list[str]:
    """Rows of cells under names, flush right; a cell too long for its column goes on below."""
    first = _LABEL
    wide = min(20, (WIDTH - first) // len(names) - 1)
    lines = []
    for label, cells in [("", names), *rows]:
        columns = [_lines(label, first - 2), *(_lines(cell, wide) for cell in cells)]
        for at in range(max(map(len, columns))):
            parts = [column[at] if at < len(column) else "" for column in columns]
            text = f"  {parts[0]:<{first - 2}}" + "".join(f" {part:>{wide}}" for part in parts[1:])
            lines.append(text.rstrip())
        if not label:
            lines.append("  " + "─" * (first - 2 + (wide + 1) * len(names)))
    return lines


def _lines(text: str, wide: int) -> list[str]:
    """A cell in lines."""
    import textwrap

    return textwrap.wrap(text, wide, break_on_hyphens=False) or [""]


def _wear(made: Offers, *, whole: bool) -> list[str]:
    rows = lives_beside(made.offers)
    if not rows:
        return []
    every = len(rows)
    lines = heading("What is left of the wear that a limit allows, worst part of each kind")
    if not whole:
        rows = tuple(row for row in rows if any(_worn(cell) for cell in row.cells))
    shown = rows if whole else rows[:_ROWS]
    if shown:
        lines += _columns(
            [(row.limit, [_cell(cell) for cell in row.cells]) for row in shown],
            [offer.name for offer in made.offers],
        )
    else:
        lines.append("  nothing that runs on has worn out of its new limits")
    if every > len(shown):
        lines.append(f"    and {every - len(shown)} more; --all lists them")
    if any(isinstance(c, Life) and c.remaining is not None for row in rows for c in row.cells):
        lines += wrapped(
            "Hours of use as before: one part in ten has reached its limit by the first figure, "
            "nine in ten by the second. `sparkout life` says what they rest on.",
            "  ",
        )
    elif made.history is None:
        lines += wrapped(
            "No hours, because the hours run are not in the log: record an intake with hours_run.",
            "  ",
        )
    lines += _aside(made, whole=whole)
    return lines


def _aside(made: Offers, *, whole: bool) -> list[str]:
    """What no choice pushes out, soonest first."""
    some = sorted(made.front.aside, key=lambda pair: pair[1])
    if not some:
        return []
    by_limit: dict[str, list[tuple[str, int]]] = {}
    for name, level in some:
        feature, _, limit = name.partition(": ")
        by_limit.setdefault(limit, []).append((feature, level))
    names = [_soonest_said(made, limit, rows) for limit, rows in by_limit.items()]
    if not whole and len(names) > _ASIDE:
        names[_ASIDE:] = [f"{len(names) - _ASIDE} more limits (--all)"]
    return wrapped(
        "“Choices last” is how far it is proven to the first limit that a choice can push out. "
        f"Nothing on the lists pushes these out, whatever is chosen: {'; '.join(names)}.",
        "  ",
    )


def _soonest_said(made: Offers, limit: str, rows: Sequence[tuple[str, int]]) -> str:
    """One limit with the part that reaches it first."""
    feature, level = rows[0]
    where = limit if feature in limit else f"{limit} of {feature}"
    others = len(rows) - 1
    more = f" and {others} {'other' if others == 1 else 'others'}" if others else ""
    return f"{where}{more} ({_level(made, level)})"


def _level(made: Offers, level: int) -> str:
    return made.front.scale.said(level).replace(" of the wear allowed", " of the wear")


def _worn(cell: Life | str) -> bool:
    """Whether anything has gone of what the limit allows."""
    return isinstance(cell, Life) and cell.share < 1


def _cell(cell: Life | str) -> str:
    if isinstance(cell, str):
        return cell
    share = f"{float(cell.share * 100):.0f} %"
    if cell.share >= 1:
        share = "in new limits"
    return share if cell.remaining is None else f"{share}, {span_said(cell.remaining)}"


# What sets an offer apart -----------------------------------------------------------------------


def _apart(offer: Offer, least: Offer, currency: str, *, whole: bool) -> list[str]:
    lines = heading(offer.name)
    if not offer.differences:
        lines += wrapped(f"The same plan as {least.name}: there is nothing to choose between them.",
                         "  ")  # fmt: skip
    groups = _alike(offer.differences)
    for same in groups if whole else groups[:_LIKE]:
        lines += _difference(same, currency)
    if len(groups) > _LIKE and not whole:
        rest = sum(len(same) for same in groups[_LIKE:])
        lines.append(f"    and {rest} more; --all lists them")
    own = sum(item.cost for item in offer.differences)
    shared = offer.cost - least.cost - own
    if shared:
        more = "more" if shared > 0 else "less"
        lines += wrapped(f"Set-ups {more}: {said(abs(shared), currency)}.", "    ")
    for text in offer.stated:
        lines += wrapped(minus(text), "    ")
    return lines


def _difference(same: tuple[Difference, ...], currency: str) -> list[str]:
    first = same[0]
    cost = sum(item.cost for item in same)
    price = f" ({'+' if cost >= 0 else '−'}{said(abs(cost), currency)})" if cost else ""
    head = f"{first.words[0].upper()}{first.words[1:]}"
    if len(same) > 1:
        head += ", likewise " + ", ".join(item.group for item in same[1:])
    return wrapped(minus(f"{head}{price}: {first.reason}."), "  ▸ ")


def _alike(some: Iterable[Difference]) -> list[tuple[Difference, ...]]:
    """Differences that say the same of another feature, together."""
    found: dict[str, list[Difference]] = {}
    for item in some:
        own = [word for word in item.group.split() if re.fullmatch(r"[IE]?\d+|left|right", word)]
        text = item.words
        for word in own:
            text = re.sub(rf"\b{re.escape(word)}\b", "#", text)
        found.setdefault(text, []).append(item)
    return [tuple(same) for same in found.values()]

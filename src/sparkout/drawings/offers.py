"""Offers side by side: what each costs, what it is made of, and what more money buys."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.drawings.figures import grouped, money
from sparkout.drawings.hatch import hatch_rect
from sparkout.drawings.marks import line, rect, snug
from sparkout.drawings.palette import BLUE, ORANGE
from sparkout.drawings.scale import Scale
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["Offer", "OfferTable", "offers_picture"]


@dataclass(frozen=True, slots=True)
class Offer:
    """One choice. parts: name and amount of each share of the price, from the bottom up."""

    name: str
    total: float
    parts: tuple[tuple[str, float], ...] = ()
    buys: tuple[str, ...] = ()
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class OfferTable:
    name: str
    offers: tuple[Offer, ...]
    currency: str = ""


_WIDTH = 720.0
_HIGH = 190.0
_TINTS = ((BLUE, 0.85, 0), (ORANGE, 0.75, 1), (INK, 0.08, -1), (INK, 0.3, 0), (BLUE, 0.25, -1))


def _block(index: int, x: float, y: float, w: float, h: float) -> Svg:
    """A share of a price: colour, and hatching that tells shares apart without it."""
    fill, opacity, lean = _TINTS[index % len(_TINTS)]
    parts = [rect(x, y, w, h, fill=fill, opacity=opacity, stroke_width=0.8)]
    if lean:
        parts.append(hatch_rect(x, y, w, h, gap=6, lean=lean, stroke_width=0.7))
    return group(*parts)


def _difference(offer: Offer, cheapest: float, currency: str) -> str:
    more = offer.total - cheapest
    return "least cost" if more <= 0 else f"{money(more, currency)} more"


def _column(offer: Offer, table: OfferTable, x: float, w: float, y: float, scale: Scale) -> Svg:
    bar_x, bar_w = x + 10, min(74.0, w * 0.34)
    base = y + _HIGH
    parts = []
    reached = 0.0
    kinds = _kinds(table)
    beside = []
    for name, amount in offer.parts:
        top, foot = scale.at(reached + amount), scale.at(reached)
        reached += amount
        if foot - top > 0.4:
            parts.append(_block(kinds.index(name), bar_x, top, bar_w, foot - top))
        beside.append(((top + foot) / 2, name, amount))
    if not offer.parts:
        parts.append(rect(bar_x, scale.at(offer.total), bar_w, base - scale.at(offer.total)))
    parts.append(line(bar_x - 6, base, bar_x + bar_w + 6, base))
    # Figures beside their blocks, pushed apart where blocks are thin.
    at = base + 6
    for middle, name, amount in beside:
        at = min(middle, at - 25)
        text = grouped(amount)
        room = w - bar_w - 30
        tx = bar_x + bar_w + 10
        parts.append(snug(tx, at - 6, text, room, bold=True))
        parts.append(snug(tx, at + 6, name, room, size=10))
        parts.append(line(bar_x + bar_w, middle, tx - 2, at, opacity=0.4, stroke_width=0.8))
    return group(*parts)


def _kinds(table: OfferTable) -> list[str]:
    """Names of all shares, so that one share looks alike in every column."""
    kinds: list[str] = []
    for offer in table.offers:
        kinds += [name for name, _ in offer.parts if name not in kinds]
    return kinds


def offers_picture(table: OfferTable) -> str:
    """Columns from one base line, totals above, what each buys below."""
    if not table.offers:
        note = label(_WIDTH / 2, 30, "No offers", size=13, anchor="middle")
        return picture(table.name, "No offers.", _WIDTH, 60, note)
    w = (_WIDTH - 24) / len(table.offers)
    cheapest = min(o.total for o in table.offers)
    most = max(max(o.total, sum(a for _, a in o.parts)) for o in table.offers)
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(table.name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 16
    y += 6
    names = [wrap(offer.name, w - 20, 13, True, 3) for offer in table.offers]
    deep = max(len(lines) for lines in names)
    top = y
    for k, (offer, lines) in enumerate(zip(table.offers, names, strict=True)):
        x = 12 + k * w
        for j, text in enumerate(lines):
            parts.append(label(x + 10, y + 8 + 16 * j, text, size=13, bold=True))
        total = money(offer.total, table.currency)
        at = y + 16 * deep + 14
        parts.append(snug(x + 10, at, total, w - 20, size=17, bold=True))
        text = _difference(offer, cheapest, table.currency)
        parts.append(snug(x + 10, at + 19, text, w - 20))
    y += 16 * deep + 48
    scale = Scale(0, most or 1.0, y + _HIGH, y + 4)
    for k, offer in enumerate(table.offers):
        parts.append(_column(offer, table, 12 + k * w, w, y, scale))
    y += _HIGH + 20
    bottom = y
    for k, offer in enumerate(table.offers):
        at = y
        for item in offer.buys:
            for j, text in enumerate(wrap(item, w - 32, 11, False, 3)):
                if j == 0:
                    parts.append(label(12 + k * w + 10, at, "•", size=11))
                parts.append(label(12 + k * w + 21, at, text, size=11))
                at += 14
            at += 3
        bottom = max(bottom, at)
    foot = bottom + (18 if any(o.chosen for o in table.offers) else 0)
    for k, offer in enumerate(table.offers):
        x = 12 + k * w
        heavy = offer.chosen
        parts.append(
            rect(x + 2, top - 6, w - 4, foot - top + 6, stroke_width=3 if heavy else 0.8, round_=6)
        )
        if heavy:
            parts.append(
                label(x + w / 2, bottom + 8, "CHOSEN", size=11, bold=True, anchor="middle")
            )
    said = []
    for offer in table.offers:
        made = ", ".join(f"{name} {grouped(amount)}" for name, amount in offer.parts)
        buys = "; ".join(offer.buys)
        said.append(
            f"{offer.name}: {money(offer.total, table.currency)} "
            f"({_difference(offer, cheapest, table.currency)})"
            + (f", of which {made}" if made else "")
            + (f". Buys: {buys}" if buys else "")
            + ("." if not offer.chosen else ". Chosen.")
        )
    return picture(table.name, " ".join(said), _WIDTH, foot + 12, *parts)

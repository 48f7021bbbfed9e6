"""What the job may cost before everything is measured: a range, its shape, and what drives it."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.drawings.figures import figure, money
from sparkout.drawings.hatch import hatch_rect
from sparkout.drawings.labels import spread
from sparkout.drawings.marks import line, polygon, rect, snug
from sparkout.drawings.palette import BLUE, ORANGE
from sparkout.drawings.scale import Scale, extent, ticks
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import wrap

__all__ = ["Driver", "PriceForecast", "price_forecast"]


@dataclass(frozen=True, slots=True)
class Driver:
    """An item that may or may not be needed: its chance (0 to 1) and what it would add."""

    name: str
    chance: float
    cost: float


@dataclass(frozen=True, slots=True)
class PriceForecast:
    """p10, p50, p90: prices that one job in ten, half, nine in ten stay below. bins: lower end,
    upper end and share (0 to 1) of each bar of the distribution."""

    name: str
    p10: float
    p50: float
    p90: float
    currency: str = ""
    bins: tuple[tuple[float, float, float], ...] = ()
    drivers: tuple[Driver, ...] = ()
    note: str = ""


_WIDTH = 720.0
_LEFT, _RIGHT = 40.0, 680.0


def _percent(chance: float) -> str:
    held = min(1.0, max(0.0, chance))
    if 0 < held < 0.01:
        return "under 1 %"
    if 0.99 < held < 1:
        return "over 99 %"
    return f"{figure(held * 100, 0)} %"


def _distribution(price: PriceForecast, scale: Scale, y: float) -> Svg:
    """Bars of the distribution: solid between P10 and P90, hatched in the tails."""
    high = 110.0
    most = max((share for _, _, share in price.bins), default=0.0)
    parts = []
    for low, up, share in price.bins:
        x1, x2 = scale.at(low), scale.at(up)
        h = high * share / most if most > 0 else 0.0
        if h < 0.3 or x2 - x1 < 0.2:
            continue
        inside = price.p10 <= (low / 2 + up / 2) <= price.p90
        parts.append(
            rect(x1, y + high - h, max(x2 - x1 - 1, 0.8), h, fill=BLUE,
                 opacity=0.75 if inside else 0.25, stroke=BLUE, stroke_width=0.6)
        )  # fmt: skip
        if not inside:
            parts.append(hatch_rect(x1, y + high - h, max(x2 - x1 - 1, 0.8), h, gap=4, stroke=BLUE))
    parts.append(line(_LEFT, y + high, _RIGHT, y + high))
    return group(*parts)


def _band(price: PriceForecast, scale: Scale, y: float) -> tuple[Svg, float]:
    """The band from P10 to P90 with the middle marked, and the three prices under it."""
    x10, x50, x90 = scale.at(price.p10), scale.at(price.p50), scale.at(price.p90)
    parts = [
        rect(x10, y, max(x90 - x10, 1), 14, fill=BLUE, opacity=0.3, stroke=BLUE, stroke_width=1.4),
        line(x50, y - 5, x50, y + 19, stroke_width=3),
        polygon(((x50, y - 5), (x50 - 5, y - 12), (x50 + 5, y - 12)), fill=INK, stroke=None),
    ]
    wanted = [
        (x10, f"P10 {money(price.p10, price.currency)}"),
        (x50, f"P50 {money(price.p50, price.currency)}"),
        (x90, f"P90 {money(price.p90, price.currency)}"),
    ]
    rows = 0
    for placed in spread(wanted, 8, _WIDTH - 8, 12, 10, True):
        at = y + 31 + 15 * placed.row
        parts.append(label(placed.left, at, placed.text, size=12, bold=True))
        rows = max(rows, placed.row)
    return group(*parts), y + 44 + 15 * rows


def _drivers(price: PriceForecast, y: float) -> tuple[Svg, float]:
    """Chance of each big item as a bar to 100 %."""
    if not price.drivers:
        return group(), y
    x1, x2 = 270.0, 560.0
    parts = [
        label(12, y, "What may be needed", size=11, bold=True),
        label(x1, y, "chance", size=11, bold=True),
        label(_WIDTH - 12, y, "would add", size=11, bold=True, anchor="end"),
    ]
    y += 18
    for driver in price.drivers:
        names = wrap(driver.name, x1 - 28, 11, False, 2)
        for k, text in enumerate(names):
            parts.append(label(12, y + 13 * (k - (len(names) - 1) / 2), text, size=11))
        reach = (x2 - x1) * min(1.0, max(0.0, driver.chance))
        parts.append(rect(x1, y - 7, x2 - x1, 14, stroke_width=0.6))
        if reach > 0.3:
            parts.append(
                rect(x1, y - 7, reach, 14, fill=ORANGE, stroke="#000000", stroke_width=0.6)
            )
        parts.append(label(x2 + 8, y, _percent(driver.chance), size=11, bold=True))
        text = money(driver.cost, price.currency)
        parts.append(snug(_WIDTH - 12, y, text, 88, anchor="end"))
        y += 30 if len(names) > 1 else 24
    return group(*parts), y


def price_forecast(price: PriceForecast) -> str:
    """P10 to P90 with the distribution above and the chance of each big item below."""
    seen = [v for low, up, _ in price.bins for v in (low, up)]
    scale = Scale(*extent([*seen, price.p10, price.p50, price.p90], 0.06), _LEFT, _RIGHT)
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(price.name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 16
    if price.bins:
        parts.append(_distribution(price, scale, y))
        y += 110
        wanted = [(scale.at(t.value), money(t.value, "")) for t in ticks(scale.low, scale.high, 6)]
        rows = 0
        for placed in spread(wanted, 8, _WIDTH - 8, 10):
            parts.append(label(placed.left, y + 10 + 12 * placed.row, placed.text, size=10))
            rows = max(rows, placed.row)
        for x, _ in wanted:
            parts.append(line(x, y, x, y + 4))
        y += 36 + 12 * rows
    else:
        y += 16
    band, y = _band(price, scale, y)
    parts.append(band)
    explained = (
        "P10: one job in ten costs less. P50: as likely below as above. P90: one in ten costs more."
    )
    for text in wrap(f"{explained} {price.note}".strip(), _WIDTH - 24, 10, False, 4):
        parts.append(label(12, y + 4, text, size=10))
        y += 13
    drivers, y = _drivers(price, y + 18)
    parts.append(drivers)
    chances = " ".join(
        f"{d.name}: chance {_percent(d.chance)}, would add {money(d.cost, price.currency)}."
        for d in price.drivers
    )
    p10, p50, p90 = (money(p, price.currency) for p in (price.p10, price.p50, price.p90))
    desc = (
        f"{price.name}: one job in ten below {p10}, half below {p50}, nine in ten below {p90}. "
        f"{chances}"
    )
    return picture(price.name, desc.strip(), _WIDTH, y + 4, *parts)

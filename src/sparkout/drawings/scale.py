"""From numbers to places on the picture: linear scales that survive any finite range, and ticks."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from sparkout.drawings.figures import decimals_for, figure

__all__ = ["Scale", "Tick", "extent", "ticks"]


def _finite(*values: float) -> None:
    for value in values:
        if not math.isfinite(value):
            raise ValueError(f"{value!r} cannot be drawn: it must be a finite number")


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight map of low…high on to start…end."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value stands, held to the ends."""
        return self.start + self.share(value) * (self.end - self.start)

    def share(self, value: float) -> float:
        """How far along a value is, 0 to 1, held to the ends."""
        _finite(value, self.low, self.high)
        # Halves, so that the difference of two very large numbers stays finite.
        span = self.high / 2 - self.low / 2
        part = 0.5 if span == 0 else (value / 2 - self.low / 2) / span
        return min(1.0, max(0.0, part))

    def inside(self, value: float) -> bool:
        return min(self.low, self.high) <= value <= max(self.low, self.high)


@dataclass(frozen=True, slots=True)
class Tick:
    value: float
    text: str


def extent(values: Iterable[float], margin: float = 0.08) -> tuple[float, float]:
    """Lowest and highest with some air; a single value gets a range of its own size."""
    known = tuple(values)
    _finite(*known)
    if not known:
        return (0.0, 1.0)
    low, high = min(known), max(known)
    half = high / 2 - low / 2
    air = 2 * margin * half if half > 0 else max(abs(low) * 0.05, 1e-6)
    limit = 1.7e308
    return (max(-limit, low - air), min(limit, high + air))


def ticks(low: float, high: float, wanted: int = 5) -> tuple[Tick, ...]:
    """Round values between low and high, 1-2-5 apart, each with the decimals its step needs."""
    _finite(low, high)
    span = high / 2 - low / 2
    if span <= 0 or wanted < 1:
        return (Tick(low, figure(low, 3)),)
    raw = 2 * (span / wanted) if span < 1e307 else span / wanted
    power = 10.0 ** math.floor(math.log10(raw)) if raw > 1e-300 else raw
    step = next((factor * power for factor in (1, 2, 5, 10) if factor * power >= raw * 0.999), raw)
    first = math.ceil(low / step - 1e-9)
    decimals = decimals_for(step)
    made: list[Tick] = []
    for index in range(wanted * 2 + 2):
        value = (first + index) * step
        # Beyond the resolution of the numbers the steps would repeat themselves.
        if not math.isfinite(value) or value > high + step * 1e-9:
            break
        if made and made[-1].value == value:
            break
        made.append(Tick(value, figure(value, decimals)))
    return tuple(made)

"""Refusals of numbers that cannot be, always naming the number, the bound and what is right."""

from __future__ import annotations

import math

ABSOLUTE_ZERO = -273.15
"""°C; by definition of the kelvin (SI brochure, 9th edition)."""


def _shown(value: float, unit: str) -> str:
    return f"{value:.6g} {unit}".rstrip()


def finite(name: str, value: float, unit: str = "") -> None:
    if not math.isfinite(value):
        raise ValueError(f"{name} is {_shown(value, unit)}; it has to be a finite number")


def above(name: str, value: float, bound: float, unit: str = "") -> None:
    if not (math.isfinite(value) and value > bound):
        raise ValueError(
            f"{name} is {_shown(value, unit)}; it has to be above {_shown(bound, unit)}"
        )


def at_least(name: str, value: float, bound: float, unit: str = "") -> None:
    if not (math.isfinite(value) and value >= bound):
        raise ValueError(
            f"{name} is {_shown(value, unit)}; it has to be {_shown(bound, unit)} or more"
        )


def below(name: str, value: float, bound: float, unit: str = "") -> None:
    if not (math.isfinite(value) and value < bound):
        raise ValueError(
            f"{name} is {_shown(value, unit)}; it has to be below {_shown(bound, unit)}"
        )


def within(name: str, value: float, low: float, high: float, unit: str = "") -> None:
    if not (math.isfinite(value) and low <= value <= high):
        raise ValueError(
            f"{name} is {_shown(value, unit)}; it has to lie from {low:.6g} to {_shown(high, unit)}"
        )


def ordered(low_name: str, low: float, high_name: str, high: float, unit: str = "") -> None:
    if not (math.isfinite(low) and math.isfinite(high) and low <= high):
        raise ValueError(
            f"{low_name} is {_shown(low, unit)} and {high_name} {_shown(high, unit)}; "
            f"{low_name} has to be the smaller"
        )


def temperature(name: str, value: float) -> None:
    above(name, value, ABSOLUTE_ZERO, "°C")

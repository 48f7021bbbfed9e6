"""Numbers as a reader sees them: rounded once, half to even, with a true minus sign."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, Decimal, localcontext

__all__ = ["decimals_for", "figure", "grouped", "money"]

_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{value!r} cannot be shown: a figure must be a finite number")
    return value


def figure(value: float, decimals: int = 3, *, signed: bool = False) -> str:
    """The value to so many decimals; from 10 million on as a power of ten."""
    _finite(value)
    if abs(value) >= 1e7:
        mantissa, exponent = f"{value:.2e}".split("e")
        text = f"{mantissa}×10{str(int(exponent)).translate(_SUPERSCRIPT)}"
    else:
        with localcontext() as context:
            context.prec = 60
            # repr is what was typed or computed; rounding it, not its binary neighbour, keeps
            # 0.125 and 2.675 on the side a person expects.
            exact = Decimal(repr(value)).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN)
        text = f"{exact:f}"
        if not any(digit in text for digit in "123456789"):
            text = text.lstrip("-")
    sign = "+" if signed and value > 0 and text.strip("0.") != "" else ""
    return (sign + text).replace("-", "−")


def grouped(value: float, decimals: int = 0) -> str:
    """The value with a thin space between thousands: neither comma nor point can be misread."""
    text = figure(value, decimals)
    if "×" in text:
        return text
    sign = "−" if text.startswith("−") else ""
    whole, _, rest = text.removeprefix("−").partition(".")
    parts = [whole[max(0, end - 3) : end] for end in range(len(whole), 0, -3)]
    joined = "\u202f".join(reversed(parts))
    return f"{sign}{joined}.{rest}" if rest else f"{sign}{joined}"


def money(value: float, currency: str, decimals: int = 0) -> str:
    """An amount with its currency in front: EUR 1 234."""
    return f"{currency}\u00a0{grouped(value, decimals)}" if currency else grouped(value, decimals)


def decimals_for(step: float) -> int:
    """How many decimals tell neighbours this far apart from each other."""
    if step <= 0 or not math.isfinite(step):
        return 0
    return max(0, min(9, -math.floor(math.log10(step) + 1e-9)))

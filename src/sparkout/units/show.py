"""Exact values as people read them, rounded once.

Half to even, on the exact fraction, in one stage (ISO 80000-1:2009, annex B, rule A: recalled from
memory). A shown value is for reading only: judging uses the exact one (the absolute method of
ASTM E29, not its rounding method).
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from sparkout.units.parse import default_unit
from sparkout.units.quantity import Gap, Quantity, QuantityError, Range
from sparkout.units.ranges import inward
from sparkout.units.table import Unit, known_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["rounded", "show", "show_gap", "show_quantity", "show_range"]

_INCH = Fraction(254, 10)
_MOST_PLACES = 9

# Shown unit and decimal places where the caller asks for neither: metric shop, then inch shop.
# Mass stays in grams in both, as pistons and rods are weighed (common practice).
_SHOWN: Mapping[str, tuple[tuple[str, int], tuple[str, int]]] = {
    "length": (("mm", 3), ("in", 4)),
    "force": (("N", 0), ("lbf", 1)),
    "torque": (("N·m", 1), ("lbf·ft", 1)),
    "pressure": (("MPa", 3), ("psi", 1)),
    "temperature": (("°C", 1), ("°F", 1)),
    "mass": (("g", 1), ("g", 1)),
    "angle": (("°", 2), ("°", 2)),
    "volume": (("cm³", 2), ("in³", 3)),
    "roughness": (("µm", 2), ("µin", 0)),
    "time": (("min", 1), ("min", 1)),
    "stiffness": (("N/mm", 2), ("lbf/in", 1)),
    "hardness": (("", 1), ("", 1)),
    "speed": (("rev/min", 0), ("rev/min", 0)),
    "expansion": (("µm/(m·K)", 2), ("µin/(in·°F)", 2)),
    "count": (("", 0), ("", 0)),
    "percent": (("%", 1), ("%", 1)),
}


def rounded(number: Fraction | float, places: int, signed: bool = False) -> str:
    """A number with that many decimal places, half to even, never a negative zero.

    >>> rounded(Fraction("2.00025"), 4), rounded(Fraction("-0.0004"), 3)
    ('2.0002', '0.000')
    """
    top, below = number.as_integer_ratio()
    # half to even, in whole numbers: a page shows hundreds
    scaled, rest = divmod(top * 10**places, below)
    if 2 * rest > below or (2 * rest == below and scaled % 2):
        scaled += 1
    digits = str(abs(scaled)).rjust(places + 1, "0")
    sign = "-" if scaled < 0 else "+" if signed and scaled > 0 else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"


def show(
    value_mm: Fraction | float,
    system: str = "mm",
    step: Fraction | None = None,
    signed: bool = False,
    form: str = "full",
) -> str:
    """A length with its unit, to the digits its step deserves.

    step [mm]: the smallest difference that means something; None shows 0.001 mm or 0.0001 in.
    form: 'full' (4.0046 in), 'short' (no unit; inches without the leading zero: .0046), 'thou'.

    >>> show(Fraction("101.71684"), "inch"), show(Fraction("0.0635"), form="thou")
    ('4.0046 in', '2.5 thou')
    """
    if form == "thou":
        return f"{_number(value_mm, known_unit('thou', 'length'), step, 1, signed)} thou"
    if form not in ("full", "short"):
        raise LookupError(f"form is 'full', 'short' or 'thou', not {form!r}")
    symbol, places = _SHOWN["length"][_column(system)]
    text = _number(value_mm, known_unit(symbol, "length"), step, places, signed)
    if form == "full":
        return f"{text} {symbol}"
    return _bare_point(text) if symbol == "in" else text


def show_quantity(
    value: Fraction | float,
    dimension: str,
    system: str = "mm",
    step: Fraction | None = None,
    unit: str | None = None,
) -> str:
    """A value in the base unit of its dimension, shown in a unit of the shop's system.

    unit: shows it in this one instead; a hardness needs it, as its scale.

    >>> show_quantity(95, "torque"), show_quantity(95, "torque", "inch")
    ('95.0 N·m', '70.1 lbf·ft')
    """
    default_unit(dimension, unit)
    symbol, places = _SHOWN[dimension][_column(system)]
    chosen = known_unit(unit if unit is not None else symbol, dimension)
    text = _number(value, chosen, step, places, False)
    glue = "" if chosen.symbol in ("", "°") else " "
    return f"{text}{glue}{chosen.symbol}"


def show_range(limits: Range, system: str = "mm", step: Fraction | None = None) -> str:
    """Limits in the shop's system; converted ones are rounded inwards, never outwards.

    >>> from sparkout.units.ranges import parse_range
    >>> show_range(parse_range("at most 0.05 mm", "length"), "inch")
    'at most 0.0019 in'
    """
    symbol, places = _SHOWN[limits.dimension][_column(system)]
    if limits.dimension == "hardness":
        symbol = limits.unit
    unit = known_unit(symbol, limits.dimension)
    if (
        step is None
        and limits.step
        and known_unit(limits.unit, limits.dimension).system == unit.system
    ):
        step = limits.step
    if step is not None:
        places = _places(step / unit.factor)
    ends = _converted(limits, unit, places)
    low, high = (None if end is None else rounded(end[0], end[1]) for end in ends)
    tail = symbol if symbol in ("", "°") else f" {symbol}"
    if low is None:
        return f"at most {high}{tail}" if high is not None else "no limit given"
    return f"at least {low}{tail}" if high is None else f"{low} to {high}{tail}"


def show_gap(gap: Gap, system: str = "mm") -> str:
    """A feeler interval in words; a converted end is rounded outwards, to claim no more.

    >>> from sparkout.units.feeler import parse_gap
    >>> show_gap(parse_gap("0.06 passes, 0.08 not", "mm"))
    'at least 0.06 mm, below 0.08 mm'
    """
    symbol, finest = _SHOWN["length"][_column(system)]
    unit = known_unit(symbol, "length")
    ends = [None if end is None else unit.from_base(end) for end in (gap.low, gap.high)]
    places = finest - 1
    if any(end is not None and (end * 10**places).denominator != 1 for end in ends):
        places = finest
    grid = Fraction(1, 10**places)
    parts = []
    if ends[0] is not None:
        parts.append(f"at least {rounded(ends[0] // grid * grid, places)} {symbol}")
    if ends[1] is not None:
        parts.append(f"below {rounded(-(-ends[1] // grid) * grid, places)} {symbol}")
    return ", ".join(parts) or "not measured"


def text_of(quantity: Quantity, system: str = "mm") -> str:
    """A typed quantity in the shop's system, to the digits it was typed with."""
    unit = quantity.unit if quantity.dimension == "hardness" else None
    return show_quantity(quantity.value, quantity.dimension, system, quantity.step, unit)


def _converted(
    limits: Range, unit: Unit, places: int
) -> tuple[tuple[Fraction, int] | None, tuple[Fraction, int] | None]:
    """Both ends in the unit, with as many places as keep them apart and inside."""
    low = None if limits.low is None else unit.from_base(limits.low)
    high = None if limits.high is None else unit.from_base(limits.high)
    shifted = Range(low, high, limits.typed, limits.unit, limits.step, limits.dimension)
    while True:
        try:
            inside = inward(shifted, Fraction(1, 10**places))
            break
        except QuantityError:
            places += 1
    return (
        None if inside.low is None else (inside.low, places),
        None if inside.high is None else (inside.high, places),
    )


def _number(
    value: Fraction | float, unit: Unit, step: Fraction | None, places: int, signed: bool
) -> str:
    if step is not None:
        places = _places(step / unit.factor)
    return rounded(unit.from_base(Fraction(value)), places, signed)


@cache
def _places(step: Fraction) -> int:
    """The fewest decimal places whose last digit is no coarser than the step."""
    if step <= 0:
        raise ValueError(f"step must be above zero, not {step}")
    places = 0
    while Fraction(1, 10**places) > step and places < _MOST_PLACES:
        places += 1
    return places


def _bare_point(text: str) -> str:
    """Inches on a drawing carry no zero before the point."""
    sign, digits = (text[0], text[1:]) if text[:1] in "+-" else ("", text)
    return sign + digits[1:] if digits.startswith("0.") else text


def _column(system: str) -> int:
    if system not in ("mm", "inch"):
        raise LookupError(f"system is 'mm' or 'inch', not {system!r}")
    return int(system == "inch")

"""One typed quantity to an exact value."""

from __future__ import annotations

from fractions import Fraction

from sparkout.units.quantity import Quantity, QuantityError, quoted
from sparkout.units.scan import Number, fold, scan
from sparkout.units.table import (
    Unit,
    article,
    base_unit,
    find_unit,
    known_unit,
    read_without_unit,
    system_of,
    unit_key,
    wanted,
)

__all__ = ["parse", "parse_deviation", "parse_length"]

_ABSOLUTE_ZERO = Fraction(-27315, 100)


def parse_length(text: str, unit: str = "mm") -> Quantity:
    """A length in mm, exact. unit: what a bare number is in, which also says mm or inch shop.

    >>> parse_length("2.5 thou").value
    Fraction(127, 2000)
    >>> parse_length("0,08 mm").step
    Fraction(1, 100)
    >>> float(parse_length("3 27/64", "in").value)
    86.915625
    """
    return parse(text, "length", unit)


def parse(text: str, dimension: str, unit: str | None = None) -> Quantity:
    """A quantity of the named dimension, exact, in its base unit.

    unit: what a bare number is in; None where the unit has to be typed. Angles, percentages and
    counts are read without one. Raises QuantityError for typed text that is not this, LookupError
    for a dimension or default unit that does not exist.
    """
    default = default_unit(dimension, unit)
    typed = text.strip()
    parts = tokens(text, dimension)
    if dimension == "hardness":
        parts = _scale_joined(parts)
    value, step, read, bare = compound(parts, dimension, default, unit, typed)
    _refuse_impossible(value, dimension, typed)
    return Quantity(value, typed, read.symbol, step, dimension, bare)


def parse_deviation(text: str, unit: str, larger_is_plus: bool = True) -> Quantity:
    """How far a size lies from the master a gauge was set to; above zero means larger.

    unit: what one division of the dial is called (tenth, thou, µm, hundredth, mm, in).
    larger_is_plus: False for a dial whose reading grows as the size gets smaller.
    The sign has to be typed, because a bare number is how a whole size is typed; only zero
    needs none.

    >>> float(parse_deviation("+5 tenths", "tenth").value)
    0.0127
    >>> float(parse_deviation("+5 tenths", "tenth", larger_is_plus=False).value)
    -0.0127
    """
    read = parse(text, "length", unit)
    if fold(text)[:1] not in ("+", "-") and read.value != 0:
        raise QuantityError(
            f"{quoted(read.typed)} without a sign",
            "a deviation from the master, beginning with + or -",
            f"Type +{read.typed} or -{read.typed} as the dial shows it.",
        )
    value = read.value if larger_is_plus else -read.value
    return Quantity(value, read.typed, read.unit, read.step, "length", read.bare)


def default_unit(dimension: str, unit: str | None) -> Unit | None:
    """The unit of a bare number, None where one has to be typed."""
    base = base_unit(dimension)
    if unit is not None:
        return known_unit(unit, dimension)
    return known_unit(base, dimension) if read_without_unit(dimension) else None


def tokens(text: str, dimension: str) -> list[Number | str]:
    """Numbers and words of a text that has at least one number."""
    folded = fold(text)
    parts = scan(folded)
    if any(isinstance(part, Number) for part in parts):
        return parts
    if not folded:
        raise QuantityError("nothing", example(dimension), "Type the number and its unit.")
    raise QuantityError(f"{quoted(text.strip())}, which has no number", example(dimension))


def compound(
    parts: list[Number | str],
    dimension: str,
    default: Unit | None,
    place: str | None,
    typed: str,
) -> tuple[Fraction, Fraction, Unit, bool]:
    """Value, step, unit and whether it was bare, of 'number unit' or '4 thou 5 tenths'."""
    first = parts[0]
    if not isinstance(first, Number):
        raise QuantityError(
            f"{quoted(first)} before the number in {quoted(typed)}", example(dimension)
        )
    head, word, rest = first, "", parts[1:]
    if rest and isinstance(rest[0], str):
        word, rest = rest[0], rest[1:]
    value, step, unit, bare = single(head, word, dimension, default, place, typed)
    if not rest:
        return value, step, unit, bare
    following = rest[0]
    if bare or not isinstance(following, Number) or following.sign or not head.whole:
        raise QuantityError(f"more than one number in {quoted(typed)}", example(dimension))
    more, fine, inner, unsaid = compound(rest, dimension, None, place, typed)
    smaller = inner.factor < unit.factor and inner.system == unit.system and not unit.offset
    if unsaid or not smaller or abs(more) >= unit.factor:
        raise QuantityError(
            f"{quoted(typed)}, whose parts do not make one size",
            "one number with one unit, or a smaller unit after a whole number",
            "Type it like 45.5 thou, 44°30' or 1 h 30 min.",
        )
    return (value - more if head.sign == "-" else value + more), fine, unit, False


def single(
    number: Number, word: str, dimension: str, default: Unit | None, place: str | None, typed: str
) -> tuple[Fraction, Fraction, Unit, bool]:
    """Value, step, unit and whether it was bare, of one number with at most one unit."""
    _refuse_thousands(number, word, dimension, typed)
    if word:
        unit = find_unit(word, dimension, system_of(place), typed)
    elif default is None:
        raise QuantityError(
            f"{quoted(typed)} without a unit",
            wanted(dimension),
            "Type the unit behind the number.",
        )
    elif number.fraction and dimension == "length" and default.system != "inch":
        raise QuantityError(
            f"{quoted(typed)}, a fraction without a unit where bare numbers are {default.symbol}",
            "a fraction with its unit",
            "Type in or mm behind it.",
        )
    else:
        unit = default
    if dimension == "count" and (not number.whole or number.sign):
        raise QuantityError(quoted(typed), "a whole number such as 4")
    return unit.to_base(number.value), number.step * unit.factor, unit, not word


def example(dimension: str) -> str:
    return {
        "length": "a length such as 0.08 mm, 2.5 thou or 3 27/64 in",
        "force": "a force such as 260 N or 85 lbf",
        "torque": "a torque such as 95 N·m or 70 lbf·ft",
        "pressure": "a pressure such as 2.8 bar, 70 kPa or 40 psi",
        "temperature": "a temperature such as 20 °C or 68 °F",
        "mass": "a mass such as 612.5 g",
        "angle": "an angle such as 45 or 44°30'",
        "volume": "a volume such as 46.2 cm³ or 2.8 cu in",
        "roughness": "a roughness such as 0.8 µm or 32 µin",
        "time": "a time such as 1.5 h or 20 min",
        "stiffness": "a stiffness such as 35 N/mm or 200 lbf/in",
        "hardness": "a hardness with its scale such as 52 HRC",
        "speed": "a speed such as 2100 rpm",
        "expansion": "an expansion coefficient such as 11.5 µm/(m·K)",
        "count": "a whole number such as 4",
        "percent": "a percentage such as 5 %",
    }[dimension]


def _scale_joined(parts: list[Number | str]) -> list[Number | str]:
    """'HRC 52' and '600 HV 10' the usual way round: number, then scale."""
    if len(parts) == 2 and isinstance(parts[0], str) and isinstance(parts[1], Number):
        return [parts[1], parts[0]]
    if len(parts) == 3 and isinstance(parts[1], str) and unit_key(parts[1]) == "hv":
        load = parts[2]
        if isinstance(load, Number) and load.whole and not load.sign:
            return [parts[0], f"HV{load.value.numerator}"]
    return parts


def _refuse_thousands(number: Number, word: str, dimension: str, typed: str) -> None:
    """'1,998 cc' is read as about two by half the world; only lengths keep three-digit commas."""
    if number.comma and number.step == Fraction(1, 1000) and abs(number.value) >= 1:
        if dimension == "length":
            return
        one, thousand = typed.replace(",", ".", 1), typed.replace(",", "", 1)
        raise QuantityError(
            f"{quoted(typed)}, where the comma may part thousands",
            f"{article(dimension)} that can be read one way only",
            f"Type {one} or {thousand}.",
        )


def _refuse_impossible(value: Fraction, dimension: str, typed: str) -> None:
    if dimension == "temperature" and value < _ABSOLUTE_ZERO:
        raise QuantityError(quoted(typed), "a temperature above absolute zero (-273.15 °C)")
    if dimension in ("mass", "roughness", "hardness", "speed") and value < 0:
        raise QuantityError(f"{quoted(typed)}, below zero", f"{article(dimension)} above zero")

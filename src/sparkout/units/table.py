"""The closed list of units, with exact factors to the base unit of each dimension.

Sources. 1 in = 25.4 mm exactly (international inch, 1959; NIST SP 811, 2008 edition, appendix B).
1 lb = 0.45359237 kg exactly (international pound, 1959). Standard gravity 9.80665 m/s² exactly
(3rd CGPM, 1901), so 1 lbf = 0.45359237 × 9.80665 N and 1 kgf = 9.80665 N, both exact.
Conventional inch of mercury: 25.4 mm of mercury of 13 595.1 kg/m³ at standard gravity
= 3386.388640341 Pa exactly; NIST SP 811 appendix B.8 prints 3.386 389 E+03 Pa.
°C = (°F − 32) × 5/9 exactly (NIST SP 811, B.8).
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from sparkout.units.quantity import QuantityError, quoted

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["DIMENSIONS", "Unit", "dimension_of", "find_unit", "spellings", "system_of", "unit_key"]

METRIC, INCH, EITHER = "mm", "inch", ""

# Newtons in one pound-force: 45359237e-8 × 980665e-5.
_LBF = (45359237 * 980665, 10**13)

# dimension: the base unit first; each row is symbol, numerator, denominator, system, spellings.
# A spelling is matched without case, spaces, dots and hyphens: "ft-lb", "ft lb" and "ft.lb" are
# one. Dimensions of one kind of unit only (angle, percent, count) are read without a unit too.
_ROWS: Mapping[str, tuple[tuple[str, int, int, str, str], ...]] = {
    "length": (
        ("mm", 1, 1, METRIC, "mm millimetre millimetres millimeter millimeters"),
        ("cm", 10, 1, METRIC, "cm centimetre centimetres centimeter centimeters"),
        ("m", 1000, 1, METRIC, "m metre metres meter meters"),
        ("µm", 1, 1000, METRIC, "µm um µ micron microns micrometre micrometres micrometer"),
        ("in", 254, 10, INCH, 'in inch inches "'),
        (
            "thou",
            254,
            10**4,
            INCH,
            "thou thous mil mils thousandth thousandths thousandthsofaninch",
        ),
        ("tenth", 254, 10**5, INCH, "tenth tenths tenthsofathou tenthofathou"),
        ("hundredth", 1, 100, METRIC, "hundredth hundredths hundredthsofamm hundredthofamm"),
        ("tenth of a mm", 1, 10, METRIC, "tenthofamm tenthsofamm"),
        ("µin", 254, 10**7, INCH, "µin uin microinch microinches"),
    ),
    "force": (
        ("N", 1, 1, METRIC, "n newton newtons"),
        ("kN", 1000, 1, METRIC, "kn"),
        ("daN", 10, 1, METRIC, "dan"),
        ("kgf", 980665, 10**5, METRIC, "kgf kg kp"),
        ("lbf", *_LBF, INCH, "lbf lb lbs pound pounds"),
    ),
    "torque": (
        ("N·m", 1, 1, METRIC, "nm newtonmetre newtonmetres"),
        ("daN·m", 10, 1, METRIC, "danm"),
        ("kgf·m", 980665, 10**5, METRIC, "kgfm kgm mkg mkgf kpm mkp"),
        ("kgf·cm", 980665, 10**7, METRIC, "kgfcm kgcm"),
        ("lbf·ft", _LBF[0] * 3048, _LBF[1] * 10**4, INCH, "lbfft lbft ftlb ftlbf ftlbs lbsft"),
        ("lbf·in", _LBF[0] * 254, _LBF[1] * 10**4, INCH, "lbfin lbin inlb inlbf inlbs lbsin"),
    ),
    "pressure": (
        ("MPa", 1, 1, METRIC, "mpa n/mm2"),
        ("kPa", 1, 10**3, METRIC, "kpa"),
        ("Pa", 1, 10**6, METRIC, "pa"),
        ("GPa", 1000, 1, METRIC, "gpa"),
        ("bar", 1, 10, METRIC, "bar"),
        ("mbar", 1, 10**4, METRIC, "mbar"),
        ("kgf/cm²", 980665, 10**7, METRIC, "kgf/cm2 kg/cm2"),
        ("mmHg", 133322387415, 10**15, METRIC, "mmhg"),
        ("psi", _LBF[0] * 100, _LBF[1] * 64516, INCH, "psi lbf/in2 lb/in2"),
        ("ksi", _LBF[0] * 10**5, _LBF[1] * 64516, INCH, "ksi"),
        ("inHg", 3386388640341, 10**15, INCH, 'inhg "hg inchhg incheshg'),
    ),
    "temperature": (
        ("°C", 1, 1, METRIC, "°c c degc celsius"),
        ("°F", 5, 9, INCH, "°f f degf fahrenheit"),
        ("K", 1, 1, METRIC, "k kelvin"),
    ),
    "mass": (
        ("g", 1, 1, METRIC, "g gram grams gramme grammes"),
        ("kg", 1000, 1, METRIC, "kg kilo kilos kilogram kilograms"),
        ("mg", 1, 1000, METRIC, "mg"),
        ("lb", 45359237, 10**5, INCH, "lb lbs pound pounds"),
        ("oz", 45359237, 16 * 10**5, INCH, "oz ounce ounces"),
    ),
    "angle": (
        ("°", 1, 1, EITHER, "° deg degree degrees"),
        ("′", 1, 60, EITHER, "' arcmin"),
        ("″", 1, 3600, EITHER, '" arcsec'),
    ),
    "volume": (
        ("mm³", 1, 1, METRIC, "mm3"),
        ("cm³", 1000, 1, METRIC, "cm3 cc ccm ml millilitre millilitres"),
        ("l", 10**6, 1, METRIC, "l litre litres liter liters dm3"),
        ("in³", 254**3, 10**3, INCH, "in3 cuin cubicinch cubicinches"),
    ),
    "roughness": (
        ("µm", 1, 1, METRIC, "µm um micron microns"),
        ("µin", 254, 10**4, INCH, "µin uin microinch microinches"),
    ),
    "time": (
        ("s", 1, 1, EITHER, "s sec secs second seconds"),
        ("min", 60, 1, EITHER, "min mins minute minutes"),
        ("h", 3600, 1, EITHER, "h hr hrs hour hours"),
    ),
    "stiffness": (
        ("N/mm", 1, 1, METRIC, "n/mm"),
        ("N/m", 1, 1000, METRIC, "n/m"),
        ("kN/mm", 1000, 1, METRIC, "kn/mm"),
        ("kgf/mm", 980665, 10**5, METRIC, "kgf/mm kg/mm"),
        ("lbf/in", _LBF[0] * 10, _LBF[1] * 254, INCH, "lbf/in lb/in lbs/in"),
    ),
    # Scales are not converted into each other: the tables that do so depend on the material.
    "hardness": tuple(
        (scale, 1, 1, EITHER, scale.casefold())
        for scale in ("HRC", "HRB", "HRA", "HV", "HV1", "HV5", "HV10", "HV30", "HB", "HBW")
    ),
    "speed": (("rev/min", 1, 1, EITHER, "rev/min rpm r/min"),),
    "expansion": (
        ("µm/(m·K)", 1, 1, METRIC, "µm/(mk) um/(mk) µm/mk ppm/k ppm/°c"),
        ("µin/(in·°F)", 9, 5, INCH, "µin/(in°f) uin/(in°f) ppm/°f"),
    ),
    "count": (("", 1, 1, EITHER, ""),),
    "percent": (("%", 1, 1, EITHER, "% percent"),),
}

# What is typed is (value + offset) × factor in the base unit.
_OFFSETS: Mapping[str, tuple[int, int]] = {"°F": (-32, 1), "K": (-27315, 100)}

# Words that name another size in the other kind of shop: read only where the place says which.
_SHOP_WORDS: Mapping[str, str] = {
    "tenth": INCH,
    "tenths": INCH,
    "thousandth": INCH,
    "thousandths": INCH,
    "hundredth": METRIC,
    "hundredths": METRIC,
}

DIMENSIONS: tuple[str, ...] = tuple(_ROWS)

# What a sentence offers where the whole list would bury the hint.
_USUAL: Mapping[str, str] = {
    "length": "mm µm in thou",
    "force": "N kN lbf",
    "torque": "N·m lbf·ft lbf·in",
    "pressure": "MPa kPa bar psi inHg",
    "hardness": "HRC HRB HV HBW",
}

_ARTICLES: Mapping[str, str] = {
    "angle": "an angle",
    "expansion": "an expansion coefficient",
    "mass": "a mass",
    "percent": "a percentage",
    "hardness": "a hardness with its scale",
    "time": "a time",
    "stiffness": "a stiffness",
    "roughness": "a roughness",
    "speed": "a speed",
}


class Unit:
    """One unit: base value = (typed value + offset) × factor."""

    __slots__ = ("dimension", "factor", "offset", "symbol", "system")

    def __init__(
        self, symbol: str, factor: Fraction, offset: Fraction, system: str, dimension: str
    ) -> None:
        self.symbol = symbol
        self.factor = factor
        self.offset = offset
        self.system = system
        self.dimension = dimension

    def to_base(self, number: Fraction) -> Fraction:
        return (number + self.offset) * self.factor

    def from_base(self, value: Fraction) -> Fraction:
        scaled = value if self.factor == 1 else value / self.factor
        return scaled - self.offset if self.offset else scaled


def article(dimension: str) -> str:
    """'a length', 'an angle': how a sentence names something of this dimension."""
    return _ARTICLES.get(dimension, f"a {dimension}")


def unit_key(text: str) -> str:
    """A spelling as it is looked up. Case folding also makes the two µ of Unicode one."""
    key = text.strip().casefold().rstrip(".")
    if key[:1] == "-" and key[1:2].isalpha():  # "0.011-inch"
        key = key[1:]
    if key[:1] in ("-", "·", "*") or key[-1:] in ("-", "·", "*"):
        return "?"
    for mark in (" ", ".", "-", "·", "*"):
        key = key.replace(mark, "")
    return key


@cache
def _index(dimension: str) -> dict[str, Unit]:
    index: dict[str, Unit] = {}
    for symbol, numerator, denominator, system, names in _ROWS[dimension]:
        offset = Fraction(*_OFFSETS.get(symbol, (0, 1)))
        unit = Unit(symbol, Fraction(numerator, denominator), offset, system, dimension)
        for name in names.split() or [""]:
            index[name.casefold()] = unit
        index[unit_key(symbol)] = unit
    return index


def spellings(dimension: str) -> tuple[str, ...]:
    """Every spelling read for a dimension, in look-up form."""
    return tuple(_index(dimension))


def base_unit(dimension: str) -> str:
    if dimension not in _ROWS:
        raise LookupError(f"unknown dimension {dimension!r}")
    return _ROWS[dimension][0][0]


def read_without_unit(dimension: str) -> bool:
    return dimension in ("angle", "count", "percent")


def wanted(dimension: str) -> str:
    """'a torque in N·m, lbf·ft or lbf·in': what a sentence asks for."""
    names = _USUAL.get(dimension, "").split() or [row[0] for row in _ROWS[dimension] if row[0]]
    if not names:
        return "a whole number without a unit"
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
    return f"{article(dimension)} in {listed}"


def dimension_of(spelling: str) -> str | None:
    """The dimension a unit belongs to; the first in table order where two share a spelling."""
    key = unit_key(spelling)
    if not key:
        return None
    return next((dimension for dimension in DIMENSIONS if key in _index(dimension)), None)


def system_of(unit: str | None) -> str:
    """'mm' or 'inch' by the unit a place is kept in; '' where it says neither."""
    if unit is None:
        return EITHER
    found = _index("length").get(unit_key(unit))
    return found.system if found else EITHER


def known_unit(unit: str, dimension: str) -> Unit:
    """A unit named by code, not typed by a person: unknown means a mistake of the caller."""
    base_unit(dimension)
    found = _index(dimension).get(unit_key(unit))
    if found is None:
        raise LookupError(f"{unit!r} is not a unit of {dimension}")
    return found


def find_unit(spelling: str, dimension: str, system: str, whole: str) -> Unit:
    """The unit a person typed. whole: everything typed, for the sentence when it is refused."""
    key = unit_key(spelling)
    # mPa folds to MPa, but it is a thousand million times less.
    found = None if spelling.strip() == "mPa" else _index(dimension).get(key)
    if found is None:
        other = dimension_of(spelling)
        if other is not None and other != dimension and spelling.strip() != "mPa":
            raise QuantityError(
                f"{quoted(whole)}, {article(other)}",
                wanted(dimension),
                "Check that it stands in the right place.",
            )
        raise QuantityError(
            f"{quoted(spelling.strip())} as the unit of {quoted(whole)}"
            if spelling.strip() != whole
            else quoted(whole),
            wanted(dimension),
            "Type the number, then one of these units.",
        )
    meant = _SHOP_WORDS.get(key)
    if meant is not None and meant != system and dimension == "length":
        raise _which(key, whole)
    return found


def _which(word: str, whole: str) -> QuantityError:
    stem = word.rstrip("s")
    inch = {"tenth": "0.0001 in", "hundredth": "0.01 in", "thousandth": "0.001 in"}[stem]
    metric = {"tenth": "0.1 mm", "hundredth": "0.01 mm", "thousandth": "0.001 mm"}[stem]
    return QuantityError(
        f"{quoted(whole)}, where one {stem} can mean {inch} or {metric}",
        "a length that says which",
        f"Type it with its unit, like {inch} or {metric}.",
    )

"""Field types for files that people write: every value arrives as its raw text and keeps it.

Use them as annotations of a `Section` (see reading): `bore_diameter: LengthRange`. A unit that a
file states once for all its bare lengths reaches them through the validation context.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any

from pydantic_core import PydanticCustomError, core_schema

from sparkout.units import Quantity, QuantityError, Range, parse, parse_range, quoted
from sparkout.units.scan import Number, fold, scan

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo

__all__ = [
    "Angle",
    "AngleRange",
    "Count",
    "Expansion",
    "Flag",
    "Force",
    "ForceRange",
    "Hardness",
    "HardnessRange",
    "Length",
    "LengthRange",
    "Mass",
    "MassRange",
    "Money",
    "MoneyAmount",
    "Percent",
    "Pressure",
    "PressureRange",
    "Roughness",
    "RoughnessRange",
    "Speed",
    "Stiffness",
    "StiffnessRange",
    "Temperature",
    "TemperatureRange",
    "Text",
    "Time",
    "Torque",
    "TorqueRange",
    "Typed",
    "Volume",
    "VolumeRange",
    "Words",
    "parse_money",
]

# What a quantity's text looks like, loosely: an editor must never complain of a text that is read.
_STARTS_WITH_NUMBER = r"^\s*[-+−–—±]?\s*([0-9]|[.,][0-9]|[½¼¾⅛⅜⅝⅞])"
_HAS_DIGIT = r"[0-9½¼¾⅛⅜⅝⅞]"

_EXAMPLES = {
    "length": ("0.08 mm", "2.5 thou", "3 27/64 in"),
    "force": ("260 N", "85 lbf"),
    "torque": ("95 N·m", "70 lbf·ft"),
    "pressure": ("2.8 bar", "40 psi"),
    "temperature": ("20 °C", "68 °F"),
    "mass": ("612.5 g",),
    "angle": ("45", "44°30'"),
    "volume": ("46.2 cm³", "2.8 cu in"),
    "roughness": ("0.8 µm", "32 µin"),
    "time": ("1.5 h", "20 min"),
    "stiffness": ("35 N/mm", "200 lbf/in"),
    "hardness": ("52 HRC", "600 HV10"),
    "speed": ("2100 rpm",),
    "expansion": ("11.5 µm/(m·K)",),
    "percent": ("5 %",),
}
_RANGE_EXAMPLES = {
    "length": ("100.000 to 100.020 mm", "at most 0.05 mm", "38.0 ± 0.2 mm", "0.03-0.08 mm"),
    "angle": ("44.5 to 45.5", "45 ± 0.5"),
}


class _Kind:
    """A way to read raw text, known to pydantic and to whoever words a missing value."""

    words = ""
    examples: tuple[str, ...] = ()

    def read(self, value: Any, info: ValidationInfo) -> Any:
        raise NotImplementedError

    def schema(self) -> dict[str, Any]:
        raise NotImplementedError

    def dump(self, value: Any) -> Any:
        return value

    def _validate(self, value: Any, info: ValidationInfo) -> Any:
        try:
            return self.read(value, info)
        except QuantityError as refused:
            raise misread(refused) from None

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.with_info_plain_validator_function(
            self._validate,
            serialization=core_schema.plain_serializer_function_ser_schema(
                self.dump, when_used="json"
            ),
        )

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        described = {**self.schema(), "description": self.words}
        return {**described, "examples": list(self.examples)} if self.examples else described


def misread(refused: QuantityError) -> PydanticCustomError:
    """A refusal on its way through pydantic, its three parts kept apart."""
    parts = {"found": refused.found, "expected": refused.expected, "remedy": refused.remedy}
    return PydanticCustomError("misread", "{found}; expected {expected}", parts)


def _text(value: Any, words: str) -> str:
    if isinstance(value, str):
        return value.strip()
    kind = "a list" if isinstance(value, list | tuple) else "further entries"
    if not isinstance(value, list | tuple | dict):
        kind = quoted(str(value))
    raise QuantityError(kind, f"{words} on the same line")


class Typed(_Kind):
    """A quantity, or with `limits` a range, of one dimension."""

    def __init__(self, dimension: str, limits: bool = False) -> None:
        self.dimension = dimension
        self.limits = limits
        one = _EXAMPLES[dimension]
        some = tuple(f"at most {example}" for example in one) + tuple(
            f"at least {example}" for example in one
        )
        self.examples = _RANGE_EXAMPLES.get(dimension, some) if limits else one
        noun = "limits of" if limits else "a"
        name = {"expansion": "expansion coefficient", "percent": "percentage"}.get(
            dimension, dimension
        )
        article = "an" if name[0] in "ae" else "a"
        self.words = f"{noun} {article} {name}" if limits else f"{article} {name}"

    def read(self, value: Any, info: ValidationInfo) -> Quantity | Range:
        if isinstance(value, Range if self.limits else Quantity):
            if value.dimension != self.dimension:
                raise QuantityError(f"a {value.dimension}", self.words)
            return value
        unit = default_unit(info.context, self.dimension)
        text = _text(value, self.words)
        if self.limits:
            return parse_range(text, self.dimension, unit)
        return parse(text, self.dimension, unit)

    def schema(self) -> dict[str, Any]:
        scaled = self.limits or self.dimension == "hardness"
        pattern = _HAS_DIGIT if scaled else _STARTS_WITH_NUMBER
        # A bare number is a number to an editor, and text to us.
        return {"type": ["string", "number"], "pattern": pattern}

    def dump(self, value: Quantity | Range) -> str:
        return value.text


def default_unit(context: Any, dimension: str) -> str | None:
    """The unit the file states for bare numbers of a dimension, None where it states none."""
    units = getattr(context, "units", None)
    return units.get(dimension) if units else None


class _Count(_Kind):
    words = "a whole number"
    examples = ("4",)

    def read(self, value: Any, info: ValidationInfo) -> int:
        if isinstance(value, int) and not isinstance(value, bool) and value >= 0:
            return value
        return int(parse(_text(value, self.words), "count").value)

    def schema(self) -> dict[str, Any]:
        return {"type": ["integer", "string"], "minimum": 0, "pattern": r"^\s*[0-9]+\s*$"}


class _Flag(_Kind):
    words = "yes or no"
    examples = ("yes", "no")

    def read(self, value: Any, info: ValidationInfo) -> bool:
        if isinstance(value, bool):
            return value
        text = _text(value, self.words)
        if text.casefold() in ("yes", "true"):
            return True
        if text.casefold() in ("no", "false"):
            return False
        raise QuantityError(quoted(text), "yes or no")

    def schema(self) -> dict[str, Any]:
        # Editors of YAML 1.1 habits take yes for a truth value, those of 1.2 for a word.
        return {"enum": ["yes", "no", "Yes", "No", True, False]}

    def dump(self, value: bool) -> str:
        return "yes" if value else "no"


class _Text(_Kind):
    words = "text"

    def read(self, value: Any, info: ValidationInfo) -> str:
        return _text(value, self.words)

    def schema(self) -> dict[str, Any]:
        return {"type": ["string", "number", "boolean"]}


class _Words(_Kind):
    """Words parted by commas in one line, or one per '- ' line; each stays as typed."""

    words = "words parted by commas, or one below the other"
    examples = ("left, right", "1-3-4-2")

    def read(self, value: Any, info: ValidationInfo) -> tuple[str, ...]:
        if isinstance(value, list | tuple):
            listed = [_text(item, "one word") for item in value]
        else:
            listed = [word.strip() for word in _text(value, self.words).split(",")]
        if not all(listed):
            raise QuantityError(quoted(str(value)), self.words, "Take out the comma too many.")
        return tuple(listed)

    def schema(self) -> dict[str, Any]:
        return {
            "type": ["string", "number", "array"],
            "items": {"type": ["string", "number"]},
        }

    def dump(self, value: tuple[str, ...]) -> list[str]:
        return list(value)


@dataclass(frozen=True, slots=True)
class Money:
    """An exact amount; currency is its three-letter code, '' where the file's own is meant."""

    amount: Fraction
    currency: str
    typed: str


def parse_money(text: str) -> Money:
    """'56', '56.50 EUR', 'EUR 56,50' to an exact amount.

    >>> parse_money("EUR 56,50").amount
    Fraction(113, 2)
    """
    typed = text.strip()
    expected = "an amount such as 56.50 or 56.50 EUR"
    parts = scan(fold(typed))
    numbers = [part for part in parts if isinstance(part, Number)]
    codes = [part for part in parts if isinstance(part, str)]
    if len(numbers) != 1 or len(codes) > 1:
        raise QuantityError(quoted(typed) if typed else "nothing", expected)
    number, code = numbers[0], codes[0] if codes else ""
    if code and not (len(code) == 3 and code.isascii() and code.isalpha() and code.isupper()):
        raise QuantityError(
            f"{quoted(code)} beside the amount in {quoted(typed)}",
            expected,
            "Name a currency by its three capital letters; signs such as $ mean several.",
        )
    if number.fraction or number.step < Fraction(1, 1000):
        raise QuantityError(quoted(typed), expected)
    if number.comma and number.step == Fraction(1, 1000):
        one, thousand = typed.replace(",", ".", 1), typed.replace(",", "", 1)
        raise QuantityError(
            f"{quoted(typed)}, where the comma may part thousands",
            "an amount that can be read one way only",
            f"Type {one} or {thousand}.",
        )
    return Money(number.value, code, typed)


class _Money(_Kind):
    words = "an amount of money"
    examples = ("56.50", "56.50 EUR")

    def read(self, value: Any, info: ValidationInfo) -> Money:
        return value if isinstance(value, Money) else parse_money(_text(value, self.words))

    def schema(self) -> dict[str, Any]:
        return {"type": ["string", "number"], "pattern": _HAS_DIGIT}

    def dump(self, value: Money) -> str:
        return value.typed


Length = Annotated[Quantity, Typed("length")]
Force = Annotated[Quantity, Typed("force")]
Torque = Annotated[Quantity, Typed("torque")]
Pressure = Annotated[Quantity, Typed("pressure")]
Temperature = Annotated[Quantity, Typed("temperature")]
Mass = Annotated[Quantity, Typed("mass")]
Angle = Annotated[Quantity, Typed("angle")]
Volume = Annotated[Quantity, Typed("volume")]
Roughness = Annotated[Quantity, Typed("roughness")]
Time = Annotated[Quantity, Typed("time")]
Stiffness = Annotated[Quantity, Typed("stiffness")]
Hardness = Annotated[Quantity, Typed("hardness")]
Speed = Annotated[Quantity, Typed("speed")]
Expansion = Annotated[Quantity, Typed("expansion")]
Percent = Annotated[Quantity, Typed("percent")]

LengthRange = Annotated[Range, Typed("length", limits=True)]
ForceRange = Annotated[Range, Typed("force", limits=True)]
TorqueRange = Annotated[Range, Typed("torque", limits=True)]
PressureRange = Annotated[Range, Typed("pressure", limits=True)]
TemperatureRange = Annotated[Range, Typed("temperature", limits=True)]
MassRange = Annotated[Range, Typed("mass", limits=True)]
AngleRange = Annotated[Range, Typed("angle", limits=True)]
VolumeRange = Annotated[Range, Typed("volume", limits=True)]
RoughnessRange = Annotated[Range, Typed("roughness", limits=True)]
StiffnessRange = Annotated[Range, Typed("stiffness", limits=True)]
HardnessRange = Annotated[Range, Typed("hardness", limits=True)]

Count = Annotated[int, _Count()]
Flag = Annotated[bool, _Flag()]
Text = Annotated[str, _Text()]
Words = Annotated[tuple[str, ...], _Words()]
MoneyAmount = Annotated[Money, _Money()]

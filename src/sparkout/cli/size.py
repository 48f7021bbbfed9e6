"""sparkout size: what a typed size is, exactly."""

from __future__ import annotations

from fractions import Fraction

from sparkout.cli.output import add_json, envelope, exact, number, refuse, show_json
from sparkout.units.parse import parse_length
from sparkout.units.quantity import Quantity, QuantityError
from sparkout.units.show import rounded
from sparkout.units.table import known_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = "What a typed size is, exactly, in millimetres, inches and thou."

_NUMBER = {"type": "number"}
SCHEMA = envelope(
    "size",
    {
        "typed": {"type": "string"},
        "unit": {"type": "string", "description": "the unit it was read in"},
        "unit_typed": {"type": "boolean"},
        "mm": _NUMBER,
        "in": _NUMBER,
        "thou": _NUMBER,
        "exact_mm": {"type": "string", "description": "a fraction, or a whole number"},
        "step_mm": {"type": "number", "description": "one unit of the last digit typed"},
    },
)

# Decimal places that still show a size whole; beyond them it is shown rounded and said to be.
_LONGEST = 12


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("size", nargs="+", help="a size as typed, quoted or not")
    p.add_argument(
        "--unit",
        choices=("mm", "in", "thou"),
        default="mm",
        help="what a bare number is in (default mm); in and thou also let tenths be read",
    )
    add_json(p)
    p.epilog = 'examples:\n  sparkout size 3 27/64 in\n  sparkout size "0,08 mm"\n'
    p.epilog += "  sparkout size 5 tenths --unit in"


def main(args: argparse.Namespace) -> int:
    typed = " ".join(args.size)
    try:
        size = parse_length(typed, args.unit)
    except QuantityError as error:
        return refuse("size", error, args.json)
    inches = size.value / known_unit("in", "length").factor
    if args.json:
        show_json(
            "size",
            {
                "typed": size.typed,
                "unit": size.unit,
                "unit_typed": not size.bare,
                "mm": number(size.value),
                "in": number(inches),
                "thou": number(inches * 1000),
                "exact_mm": exact(size.value),
                "step_mm": number(size.step),
            },
        )
        return 0
    print(f"{size.typed}, read as {size.unit}" if size.bare else size.typed)
    print(table([(size.value, "mm"), (inches, "in"), (inches * 1000, "thou")]))
    print(_step(size))
    return 0


def table(rows: list[tuple[Fraction, str]]) -> str:
    """Values under each other with their decimal points in line."""
    texts = [(*_written(value), unit) for value, unit in rows]
    heads = max(len(text.partition(".")[0]) for text, _, _ in texts)
    tails = max(len(text.partition(".")[2]) for text, _, _ in texts)
    lines = []
    for text, whole, unit in texts:
        head, point, tail = text.partition(".")
        after = f"{point or ' '}{tail:<{tails}}" if tails else ""
        lines.append(f"  {head:>{heads}}{after} {unit}{'' if whole else '  (rounded)'}")
    return "\n".join(lines)


def _written(value: Fraction) -> tuple[str, bool]:
    """A decimal number, and whether it is all of it."""
    for places in range(_LONGEST + 1):
        if (value * 10**places).denominator == 1:
            return rounded(value, places), True
    return rounded(value, 7), False


def _step(size: Quantity) -> str:
    in_unit = size.step / known_unit(size.unit, "length").factor
    text, whole = _written(in_unit)
    fraction = "/" in size.typed or not whole
    step = f"{in_unit.numerator}/{in_unit.denominator}" if fraction else text
    return f"typed to the nearest {step} {size.unit}"

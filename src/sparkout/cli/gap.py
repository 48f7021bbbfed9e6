"""sparkout gap: what feeler blades say of a gap."""

from __future__ import annotations

from sparkout.cli.output import add_json, envelope, exact, number, refuse, say, show_json
from sparkout.units.feeler import parse_gap
from sparkout.units.quantity import QuantityError
from sparkout.units.show import show_gap
from sparkout.units.table import known_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from fractions import Fraction

HELP = """\
What feeler blades say of a gap: at least the thickest blade that fits, below
the thinnest that does not. An interval, not a number."""

_END = {"type": ["number", "null"]}
_EXACT = {"type": ["string", "null"]}
SCHEMA = envelope(
    "gap",
    {
        "typed": {"type": "string"},
        "system": {"enum": ["mm", "inch"]},
        "low_mm": {**_END, "description": "included; null where no blade fitted"},
        "high_mm": {**_END, "description": "not included; null where every blade fitted"},
        "low_in": _END,
        "high_in": _END,
        "exact_low_mm": _EXACT,
        "exact_high_mm": _EXACT,
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("blades", nargs="+", help="which blades fit and which do not")
    p.add_argument(
        "--system",
        choices=("mm", "inch"),
        default="mm",
        help="bare whole numbers are hundredths of a mm (default) or thousandths of an inch",
    )
    add_json(p)
    p.epilog = 'examples:\n  sparkout gap "12 fits, 13 does not"\n'
    p.epilog += '  sparkout gap ".011 in fits .013 in does not"'


def main(args: argparse.Namespace) -> int:
    typed = " ".join(args.blades)
    try:
        gap = parse_gap(typed, args.system)
    except QuantityError as error:
        return refuse("gap", error, args.json)
    if args.json:
        show_json(
            "gap",
            {
                "typed": gap.typed,
                "system": args.system,
                "low_mm": number(gap.low),
                "high_mm": number(gap.high),
                "low_in": number(_inches(gap.low)),
                "high_in": number(_inches(gap.high)),
                "exact_low_mm": exact(gap.low),
                "exact_high_mm": exact(gap.high),
            },
        )
        return 0
    if _depends_on_system(typed, args.system):
        blades = "mm blades" if args.system == "mm" else "inch blades"
        say(f"Bare numbers were read as {blades} (--system {args.system}).")
    print(gap.typed)
    print(f"  {show_gap(gap, 'mm')}")
    print(f"  {show_gap(gap, 'inch')}")
    return 0


def _inches(value: Fraction | None) -> Fraction | None:
    return None if value is None else value / known_unit("in", "length").factor


def _depends_on_system(typed: str, system: str) -> bool:
    other = "inch" if system == "mm" else "mm"
    try:
        return parse_gap(typed, other) != parse_gap(typed, system)
    except QuantityError:
        return False

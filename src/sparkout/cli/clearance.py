"""sparkout clearance: one fit from its sizes."""

from __future__ import annotations

from sparkout.cli.output import add_json, envelope, exact, number, refuse, show_json
from sparkout.units.parse import parse_length
from sparkout.units.quantity import Quantity, QuantityError, quoted
from sparkout.units.show import show
from sparkout.units.table import known_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Clearance on diameter = hole - 2 x wall - shaft. The wall is that of one bearing
shell; leave it out where there is none. Below zero it is an interference."""

SCHEMA = envelope(
    "clearance",
    {
        "hole": {"type": "string"},
        "shaft": {"type": "string"},
        "wall": {"type": ["string", "null"]},
        "kind": {"enum": ["clearance", "interference"]},
        "diametral_mm": {"type": "number", "description": "below zero for an interference"},
        "diametral_in": {"type": "number"},
        "exact_mm": {"type": "string"},
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("--hole", required=True, help="diameter of the housing or bore")
    p.add_argument("--shaft", required=True, help="diameter of the journal, pin or piston")
    p.add_argument("--wall", help="wall thickness of one shell or bush")
    p.add_argument(
        "--unit", choices=("mm", "in"), default="mm", help="what bare numbers are in (default mm)"
    )
    add_json(p)
    p.epilog = "example:\n  sparkout clearance --hole 80.010 --shaft 74.962 --wall 2.478"


def main(args: argparse.Namespace) -> int:
    sizes: dict[str, Quantity] = {}
    for option, typed in (("--hole", args.hole), ("--shaft", args.shaft), ("--wall", args.wall)):
        if typed is None:
            continue
        try:
            sizes[option] = _above_zero(typed, args.unit)
        except QuantityError as error:
            return refuse(option, error, args.json)
    hole, shaft, wall = sizes["--hole"], sizes["--shaft"], sizes.get("--wall")
    walls = 2 * wall.value if wall is not None else 0
    diametral = hole.value - walls - shaft.value
    kind = "interference" if diametral < 0 else "clearance"
    if args.json:
        show_json(
            "clearance",
            {
                "hole": hole.typed,
                "shaft": shaft.typed,
                "wall": None if wall is None else wall.typed,
                "kind": kind,
                "diametral_mm": number(diametral),
                "diametral_in": number(diametral / known_unit("in", "length").factor),
                "exact_mm": exact(diametral),
            },
        )
        return 0
    step = min(size.step for size in sizes.values())
    system = "inch" if known_unit(hole.unit, "length").system == "inch" else "mm"
    other = "mm" if system == "inch" else "inch"
    print(f"{kind} on diameter {show(abs(diametral), system, step)}", end="")
    print(f" ({show(abs(diametral), other)})")
    middle = f" - 2 x {wall.text}" if wall is not None else ""
    print(f"  {hole.text}{middle} - {shaft.text}")
    return 0


def _above_zero(typed: str, unit: str) -> Quantity:
    size = parse_length(typed, unit)
    if size.value <= 0:
        raise QuantityError(quoted(size.typed), "a size above zero")
    return size

"""sparkout between: one reading against one limit."""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.cli.output import add_json, envelope, exact, number, refuse, say, show_json
from sparkout.units.parse import default_unit, parse
from sparkout.units.quantity import Quantity, QuantityError, Range, quoted
from sparkout.units.ranges import parse_range
from sparkout.units.show import show_quantity
from sparkout.units.table import DIMENSIONS, known_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Is a reading within its limit? Compared exactly, as it stands; and, where its
standard uncertainty is given, with the chance that the true value is within:
within or out is only said at 95 % (the default of ISO 14253-1),
else not proven."""

# The default probability of ISO 14253-1:2017, recalled from memory.
PROOF = 0.95

_END = {"type": ["number", "null"]}
SCHEMA = envelope(
    "between",
    {
        "reading": {"type": "string"},
        "limit": {"type": "string"},
        "dimension": {"enum": list(DIMENSIONS)},
        "unit": {"type": "string", "description": "of every number below"},
        "value": {"type": "number"},
        "exact_value": {"type": "string", "description": "in the base unit of the dimension"},
        "low": _END,
        "high": _END,
        "margin": {"type": "number", "description": "to the nearest end; below zero outside"},
        "plain": {"enum": ["within", "out"]},
        "standard_uncertainty": _END,
        "chance_within": {"type": ["number", "null"], "minimum": 0, "maximum": 1},
        "guarded": {"enum": ["within", "out", "not proven", None]},
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("reading", nargs="+", help="the reading as typed")
    p.add_argument("--limit", required=True, help='such as "at most 100.20 mm"')
    p.add_argument("--u", metavar="U", help="standard uncertainty of the reading (one, not two)")
    p.add_argument(
        "--dimension", choices=DIMENSIONS, default="length", metavar="KIND",
        help="length (default), torque, force, pressure and so on",
    )  # fmt: skip
    p.add_argument("--unit", help="what bare numbers are in (default: the limit's, or mm)")
    add_json(p)
    p.epilog = 'examples:\n  sparkout between 100.246 --limit "at most 100.20 mm"\n'
    p.epilog += '  sparkout between 0.092 --limit "0.055 to 0.100 mm" --u 0.003'


def main(args: argparse.Namespace) -> int:
    what = "limit"
    try:
        unit = _bare_unit(args.unit, args.dimension)
        limit = parse_range(args.limit, args.dimension, unit)
        unit = args.unit or limit.unit or unit
        what = "reading"
        reading = parse(" ".join(args.reading), args.dimension, unit)
        what = "--u"
        u = None if args.u is None else _uncertainty(args.u, args.dimension, unit)
    except QuantityError as error:
        return refuse(what, error, args.json)
    except LookupError:
        say(f"sparkout between: --unit: '{args.unit}' is no unit of {args.dimension}.")
        return 2
    plain = "within" if reading.value in limit else "out"
    chance = None if u is None else chance_within(reading.value, u, limit)
    guarded = None if chance is None else _guarded(chance)
    if args.json:
        _show_json(reading, limit, plain, u, chance, guarded)
    else:
        _show_lines(reading, limit, plain, u, chance, guarded)
    return int("out" in (plain, guarded))


def chance_within(value: Fraction, u: Fraction, limit: Range) -> float:
    """Probability that the true value is within, the reading being normal with u about it.

    JCGM 106:2012, 7.3 and 7.4.
    """
    below = 0.0 if limit.low is None else _beyond(float((value - limit.low) / u))
    above = 0.0 if limit.high is None else _beyond(float((limit.high - value) / u))
    return max(0.0, 1.0 - below - above)


def _beyond(distance: float) -> float:
    """Share of a normal distribution further than so many standard deviations on one side."""
    return 0.5 * math.erfc(distance / math.sqrt(2))


def _guarded(chance: float) -> str:
    if chance >= PROOF:
        return "within"
    return "out" if chance <= 1 - PROOF else "not proven"


def _bare_unit(unit: str | None, dimension: str) -> str | None:
    if unit is not None:
        known_unit(unit, dimension)
        return unit
    return "mm" if dimension == "length" else None


def _uncertainty(text: str, dimension: str, unit: str | None) -> Fraction:
    read = parse(text, dimension, unit)
    # An uncertainty is a difference: without the offset that °F and K have.
    u = read.value - parse("0", dimension, read.unit).value
    if u <= 0:
        raise QuantityError(quoted(read.typed), "a standard uncertainty above zero")
    return u


def _margin(value: Fraction, limit: Range) -> Fraction:
    ends = [] if limit.low is None else [value - limit.low]
    if limit.high is not None:
        ends.append(limit.high - value)
    return min(ends)


def _show_lines(
    reading: Quantity,
    limit: Range,
    plain: str,
    u: Fraction | None,
    chance: float | None,
    guarded: str | None,
) -> None:
    def shown(difference: Fraction) -> str:
        # Differences: shown about zero of the unit, so that °F keeps its size and not its offset.
        unit = known_unit(reading.unit, reading.dimension)
        step = min(reading.step, limit.step)
        return show_quantity(
            difference + unit.to_base(Fraction(0)), reading.dimension, "mm", step, unit.symbol
        )

    print(f"{reading.text} against {limit.text}")
    margin = _margin(reading.value, limit)
    if plain == "within":
        print(f"  plain    within, {shown(margin)} inside the nearest end")
    else:
        print(f"  plain    OUT by {shown(-margin)}")
    if chance is None or u is None:
        say("No uncertainty given (--u): near the limit this proves nothing.")
        return
    word = "OUT" if guarded == "out" else guarded
    print(f"  guarded  {word}: {percent(chance)} chance that the true value is within")
    if guarded == "not proven":
        print("           a smaller uncertainty, or several readings, can settle it")


def percent(chance: float) -> str:
    """A probability that never claims certainty."""
    if chance > 0.9999:
        return "over 99.99 %"
    if chance < 0.0001:
        return "under 0.01 %"
    return f"{chance * 100:.2f} %" if chance < 0.01 or chance > 0.99 else f"{chance * 100:.1f} %"


def _show_json(
    reading: Quantity,
    limit: Range,
    plain: str,
    u: Fraction | None,
    chance: float | None,
    guarded: str | None,
) -> None:
    unit = default_unit(reading.dimension, reading.unit)
    assert unit is not None

    def there(value: Fraction | None) -> float | int | None:
        return None if value is None else number(unit.from_base(value))

    show_json(
        "between",
        {
            "reading": reading.typed,
            "limit": limit.typed,
            "dimension": reading.dimension,
            "unit": reading.unit,
            "value": there(reading.value),
            "exact_value": exact(reading.value),
            "low": there(limit.low),
            "high": there(limit.high),
            "margin": number(_margin(reading.value, limit) / unit.factor),
            "plain": plain,
            "standard_uncertainty": None if u is None else number(u / unit.factor),
            "chance_within": chance,
            "guarded": guarded,
        },
    )

"""What a machinist types to exact fractions, and exact fractions to what a machinist reads.

Inside: mm, N, N·m, MPa, °C, g, °, mm³, µm for roughness, s, N/mm. Nothing here imports anything
heavy: one-figure commands start in the time of a few of Python's own modules.
"""

from sparkout.units.feeler import parse_gap
from sparkout.units.pairs import PairCheck, unit_pair_agrees
from sparkout.units.parse import parse, parse_deviation, parse_length
from sparkout.units.quantity import Gap, Quantity, QuantityError, Range, quoted
from sparkout.units.ranges import inward, parse_range
from sparkout.units.show import rounded, show, show_gap, show_quantity, show_range, text_of
from sparkout.units.table import DIMENSIONS, system_of

__all__ = [
    "DIMENSIONS",
    "Gap",
    "PairCheck",
    "Quantity",
    "QuantityError",
    "Range",
    "inward",
    "parse",
    "parse_deviation",
    "parse_gap",
    "parse_length",
    "parse_range",
    "quoted",
    "rounded",
    "show",
    "show_gap",
    "show_quantity",
    "show_range",
    "system_of",
    "text_of",
    "unit_pair_agrees",
]

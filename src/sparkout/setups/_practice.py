"""Depths and allowances of common practice, each marked as the rule of thumb it is.

None of them is a limit. Whatever the shop or the maker says goes first; what is taken from here
says so on the line it stands on. Figures are common practice in both systems, not conversions.
"""

from __future__ import annotations

from fractions import Fraction as F
from typing import NamedTuple

from sparkout.engine.characteristics import Sense
from sparkout.setups.number import RULE_OF_THUMB, Given, Plain
from sparkout.setups.passes import split_stock
from sparkout.setups.record import Pass
from sparkout.sheet.practice import PassDepths

__all__ = ["CUTS", "THUMBS", "Cuts", "Thumb", "cuts_of", "passes_by_habit", "thumb"]

_INCH = F(254, 10)


class Thumb(NamedTuple):
    """An allowance: in millimetres, in inches, and what it is."""

    mm: str
    inch: str
    words: str


class Cuts(NamedTuple):
    """Depth of a roughing pass, of a finishing pass, how many of those, and how it ends."""

    rough: Thumb
    finish: Thumb
    finishes: int = 1
    ends: str = ""


THUMBS = {
    "hone stock": Thumb("0.06", ".0025", "left for honing"),
    "deglaze stock": Thumb("0.02", ".0010", "most that deglazing takes"),
    "bush hone stock": Thumb("0.01", ".0005", "left for honing"),
    "guide hone stock": Thumb("0.02", ".0010", "left for honing"),
    "polish stock": Thumb("0.008", ".0003", "left for polishing"),
    "housing hone stock": Thumb("0.02", ".0010", "least stock for the hone"),
    "face cut step": Thumb("0.01", ".0005", "step of the face cut"),
    "centre offset": Thumb("0.10", ".004", "farthest off the true centre"),
    "thin shell": Thumb("0.50", ".020", "wall of the shell left"),
    "stop short": Thumb("2.00", ".080", "above the end of the old liner"),
    "sleeve interference": Thumb("0.065", ".0025", "interference of a sleeve"),
    "insert interference": Thumb("0.08", ".0030", "interference of a seat insert"),
    "drop-in gap": Thumb("0.03", ".0012", "gap to drop it in with"),
    "witness skim": Thumb("0.01", ".0005", "skim to look at"),
    "trial cut": Thumb("5.0", ".200", "length of the trial cut"),
}

CUTS = {
    "grind journals": Cuts(
        Thumb("0.05", ".002", "infeed"), Thumb("0.01", ".0005", "infeed"), 2,
        "spark out until no sparks are seen",
    ),
    "bore cylinder": Cuts(
        Thumb("0.50", ".020", "on diameter"), Thumb("0.15", ".006", "on diameter")
    ),
    "hone cylinder": Cuts(
        Thumb("0.05", ".002", "on diameter, stone 150 to 220"),
        Thumb("0.01", ".0005", "on diameter, stone 280 to 400, in small bites"), 1,
        "a few plateau strokes where the rings ask for it",
    ),
    "surface": Cuts(Thumb("0.05", ".002", "depth"), Thumb("0.02", ".001", "depth")),
    "recut ledge": Cuts(Thumb("0.02", ".001", "depth"), Thumb("0.01", ".0005", "depth")),
    "hone housing": Cuts(
        Thumb("0.02", ".0008", "on diameter, stone 120 to 220"),
        Thumb("0.005", ".0002", "on diameter"),
    ),
    "grind tips": Cuts(Thumb("0.05", ".002", "depth"), Thumb("0.02", ".001", "depth")),
    "cut seat": Cuts(Thumb("0.05", ".002", "feed"), Thumb("0.02", ".001", "feed"), 1,
        "two turns without feed",
    ),
    "reface valve": Cuts(Thumb("0.05", ".002", "infeed"), Thumb("0.02", ".001", "infeed"), 1,
        "spark out, then lift the wheel off, never across the edge",
    ),
    "mill manifold": Cuts(Thumb("0.30", ".012", "depth"), Thumb("0.05", ".002", "depth")),
}  # fmt: skip


def _length(text: Thumb, system: str) -> F:
    return F(text.inch) * _INCH if system == "inch" else F(text.mm)


def thumb(name: str, system: str = "mm") -> Given:
    """An allowance of common practice, marked as such."""
    row = THUMBS[name]
    return Given(_length(row, system), row.words, marks=(RULE_OF_THUMB,))


def depth(row: Thumb, system: str) -> F:
    """A depth of cut in the shop's own system [mm]."""
    return _length(row, system)


def cuts_of(work: str, own: PassDepths) -> Cuts:
    """The shop's own depths, in the sense in which common practice gives its depths."""
    usual = CUTS[work]

    def row(value: F, words: str) -> Thumb:
        return Thumb(str(value), str(value / _INCH), words.partition(",")[0])

    return Cuts(
        row(own.rough, usual.rough.words),
        row(own.finish, usual.finish.words),
        own.finishes,
        own.ends,
    )


def passes_by_habit(
    work: str, stock: Plain, system: str = "mm", sense: Sense = Sense.NONE, cuts: Cuts | None = None
) -> tuple[Pass, ...]:
    """Cuts of common practice for a kind of work, marked so; with `cuts`, the shop's own."""
    row = cuts if cuts is not None else CUTS[work]
    return split_stock(
        stock,
        depth(row.rough, system),
        depth(row.finish, system),
        row.finishes,
        row.ends,
        sense,
        (RULE_OF_THUMB,) if cuts is None else (),
        (row.rough.words, row.finish.words),
    )

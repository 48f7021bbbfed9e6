"""A stock split into cuts that add up to it exactly: rough, finish, spark out."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.setups._build import given
from sparkout.setups.number import Plain
from sparkout.setups.record import Pass

__all__ = ["split_stock"]


def split_stock(
    stock: Plain,
    rough: Plain,
    finish: Plain,
    finishes: int = 1,
    ends: str = "",
    sense: Sense = Sense.NONE,
    marks: tuple[str, ...] = (),
    notes: tuple[str, str] = ("", ""),
) -> tuple[Pass, ...]:
    """Cuts that take a stock off and no more: full roughing cuts, the rest, finishing cuts, dwell.

    Σ each × count = stock. Finishing comes off the stock first, so it is never skipped; what is
    left is roughed in full cuts and one smaller one.

    stock: what has to come off [mm], zero or more.
    rough: one roughing cut [mm], above zero.
    finish: one finishing cut [mm], above zero, at most the roughing cut.
    finishes: finishing cuts wanted [-], zero or more.
    ends: how it ends without feed (spark out, plateau strokes) [-].
    sense: whether the depths are on diameter, per side or along an axis [-].
    marks: where the depths come from, unless the shop's own [-].
    notes: words for a roughing and a finishing cut [-].
    Returns the cuts in order [mm]; with too little stock, fewer and smaller ones.
    Holds for any stock; a machine's dial may ask for rounder cuts, the sum stays.
    Source: arithmetic; the depths are the caller's.
    Raises ValueError naming the number when one is out of range.

    >>> [(p.name, float(p.each), p.count) for p in split_stock(0.22, 0.05, 0.02, 2)]
    [('rough', 0.05, 3), ('rough, last', 0.03, 1), ('finish', 0.02, 2)]
    """
    whole, deep, fine = (given(value, "").value for value in (stock, rough, finish))
    if whole < 0:
        raise ValueError(f"stock is {float(whole):.6g} mm; it has to be 0 mm or more")
    if not deep >= fine > 0:
        raise ValueError(
            f"rough is {float(deep):.6g} mm and finish {float(fine):.6g} mm; finish has to be "
            "above 0 mm and at most rough"
        )
    if finishes < 0:
        raise ValueError(f"finishes is {finishes}; it has to be 0 or more")
    cuts: list[Pass] = []
    last = min(whole, fine * finishes)
    rest = whole - last
    full = rest // deep
    if full:
        cuts.append(Pass("rough", deep, int(full), sense, notes[0], marks))
    if rest - full * deep:
        name = "rough, last" if full else "rough"
        cuts.append(Pass(name, rest - full * deep, 1, sense, notes[0], marks))
    if last == fine * finishes and finishes:
        cuts.append(Pass("finish", fine, finishes, sense, notes[1], marks))
    elif last:
        cuts.append(Pass("finish", last, 1, sense, notes[1], marks))
    if ends and cuts:
        cuts.append(Pass("without feed", Fraction(0), 1, sense, ends, marks))
    return tuple(cuts)

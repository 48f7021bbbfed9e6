"""Texture in a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.report.measuring.texture import Texture, blind_words, hatch_words, lower_cutoff
from sparkout.report.measuring.words import bulleted, count_of
from sparkout.report.text.layout import heading, table, wrapped

__all__ = ["INCH", "METRIC", "Demand", "Scale", "texture_text"]


@dataclass(frozen=True, slots=True)
class Demand:
    """A limit on one height [µm] and what was found. most: it is an upper one."""

    symbol: str
    most: bool
    limit: float
    found: float

    @property
    def held(self) -> bool:
        return self.found <= self.limit if self.most else self.found >= self.limit


@dataclass(frozen=True, slots=True)
class Scale:
    """Heights: unit and µm of one; lengths: unit and mm of one."""

    unit: str
    um: float
    length: str
    mm: float

    def height(self, value_um: float) -> str:
        value = value_um / self.um
        digits = 3 if value < 1 else 2 if value < 100 else 1
        return figure(value, digits)

    def along(self, value: float) -> str:
        return f"{figure(value / self.mm, 2 if self.mm == 1 else 4)} {self.length}"


METRIC = Scale("µm", 1.0, "mm", 1.0)
INCH = Scale("µin", 0.0254, "in", 25.4)


def texture_text(
    name: str, found: Texture, scale: Scale, demands: Sequence[Demand] = ()
) -> list[str]:
    r = found.heights
    row = f", row {found.row} of the map" if found.row else ""
    lines = wrapped(f"{name}{row}: trace of {scale.along(found.trace.length)}, one height every "
                    f"{figure(1000 * found.trace.spacing, 2)} µm")  # fmt: skip
    for demand in demands:
        mark = "✓" if demand.held else "✕"
        word = "at most" if demand.most else "at least"
        lines += wrapped(
            f"{demand.symbol} {scale.height(demand.found)} {scale.unit}, {word} "
            f"{scale.height(demand.limit)} asked, on this one trace", f"  {mark} ")  # fmt: skip
    lines += heading("Heights")
    symbols = (("Ra", r.ra), ("Rq", r.rq), ("Rz", r.rz), ("Rz max", r.rz_max), ("Rp", r.rp),
               ("Rv", r.rv), ("Rt", r.rt))  # fmt: skip
    rows = [
        ["", *(symbol for symbol, _ in symbols)],
        [scale.unit, *(scale.height(value) for _, value in symbols)],
    ]
    lines += [f"  {line}" for line in table(rows, right=range(1, 8))]
    lines += wrapped(f"Rsk {figure(r.rsk, 2)} (below zero: grooves in a plateau), Rku "
                     f"{figure(r.rku, 2)}", "  ")  # fmt: skip
    lines += wrapped(_filter_words(found), "  ")
    if found.rk is not None:
        lines += heading("Plateau")
        k = found.rk
        core = [scale.height(value) for value in (k.rpk, k.rk, k.rvk)]
        shares = [f"{figure(value, 1)} %" for value in (k.mr1, k.mr2)]
        rows = [
            ["", "Rpk", "Rk", "Rvk", "Mr1", "Mr2", "oil volume"],
            [scale.unit, *core, *shares, f"{figure(k.oil_volume, 4)} mm³/cm²"],
        ]
        lines += [f"  {line}" for line in table(rows, right=range(1, 7))]
        lines += wrapped("Rpk wears off in running in, Rk carries, Rvk holds oil. Filtered twice "
                         "by ISO 13565-1, read off the material ratio curve by ISO 13565-2.",
                         "  ")  # fmt: skip
    if found.hatch is not None:
        lines += heading("Cross-hatch")
        lines += wrapped(hatch_words(found.hatch.hatch), "  ▸ ")
        lines += wrapped(
            f"{figure(found.hatch.rising, 1)}° one way and {figure(found.hatch.falling, 1)}° the "
            "other from the circumference, by the direction of the map's waves.",
            "    ",
        )
    if found.rows is not None:
        low, high, count = found.rows
        lines += wrapped(f"Ra over {count_of(count, 'row')} of the map: {scale.height(low)} to "
                         f"{scale.height(high)} {scale.unit}.", "  · ")  # fmt: skip
    lines += [text for note in found.warnings for text in wrapped(note, "  ! ")]
    lines += [*heading("What this trace cannot show"), *bulleted(blind_words(found))]
    return lines


def _filter_words(found: Texture) -> str:
    r = found.heights
    short = lower_cutoff(found)
    lower = f" and {figure(1000 * short, 1)} µm" if short is not None else ""
    return (
        f"Gaussian filter (ISO 16610-21), cut-off {figure(r.cutoff, 2)} mm{lower}, "
        f"{count_of(r.sections, 'sampling length')} used; {r.ends.value}."
    )

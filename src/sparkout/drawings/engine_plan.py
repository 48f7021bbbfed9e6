"""The engine seen from above: which cylinder is where, and how each stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from sparkout.drawings.marks import arrow, circle, legend, line, rect, snug, symbol
from sparkout.drawings.palette import Verdict, colour_of
from sparkout.drawings.strip import Spot, spot_words, strip, strip_height, upright, upright_height
from sparkout.drawings.svg import Svg, group, label, picture
from sparkout.drawings.text import clip, shrink, width, wrap

__all__ = ["Bank", "EnginePlan", "Layout", "engine_plan"]


class Layout(StrEnum):
    SINGLE = "single cylinder"
    INLINE = "in line"
    V = "V"
    FLAT = "flat"


@dataclass(frozen=True, slots=True)
class Bank:
    """Cylinders of one row from the front to the flywheel end."""

    name: str
    cylinders: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class EnginePlan:
    """banks: first the one drawn at the top of the page (the right-hand one seen from the flywheel
    end, as the front is on the left of the page). mains, pins: from the front."""

    layout: Layout
    banks: tuple[Bank, ...]
    mains: tuple[Spot, ...] = ()
    pins: tuple[Spot, ...] = ()
    firing_order: tuple[str, ...] = ()
    rotation: str = ""
    numbering: str = ""
    figure_name: str = ""


_WIDTH = 720.0
_LEFT, _RIGHT = 112.0, 640.0


def _bore(spot: Spot, x: float, y: float, r: float, pitch: float, barrel: float) -> Svg:
    """One cylinder: a circle from above, or a barrel where it lies flat."""
    colour = colour_of(spot.verdict)
    dash = "5 4" if spot.verdict in {Verdict.NOT_MEASURED, Verdict.STALE} else None
    if barrel:
        shape = rect(
            x - r, y - barrel / 2, 2 * r, barrel, fill=colour, opacity=0.13, stroke=colour,
            stroke_width=2.5, dash=dash, round_=4,
        )  # fmt: skip
        room, high = 2 * r - 6, barrel / 2
    else:
        shape = circle(
            x, y, r, fill=colour, opacity=0.13, stroke=colour, stroke_width=2.5, dash=dash
        )
        room, high = 1.62 * r, r
    inside = r >= 27
    parts = [shape]
    figure_fits = inside and shrink(spot.figure, room, 11, 1) >= 9
    parts.append(symbol(spot.verdict, x, y, min(12.0, r * (0.36 if inside else 0.55))))
    if inside:
        parts.append(
            snug(x, y - high * 0.6, spot.name, room * 0.8, size=13, anchor="middle", bold=True)
        )
    else:
        parts.append(
            snug(x, y - high - 9, spot.name, pitch - 2, size=12, anchor="middle", bold=True)
        )
    if figure_fits:
        parts.append(snug(x, y + high * 0.6, spot.figure, room, anchor="middle"))
    elif spot.figure:
        below = y + high + 10
        if width(spot.figure, 9) <= pitch - 2:
            parts.append(snug(x, below, spot.figure, pitch - 2, anchor="middle"))
        else:
            parts.append(upright(x, below - 5, spot.figure, 128, min(10.0, pitch * 0.75)))
    return group(*parts)


def _below(bank: Bank, r: float, pitch: float) -> float:
    """Room needed under a row for figures that do not fit in their bores."""
    if not any(spot.figure for spot in bank.cylinders):
        return 8
    if r >= 27 and all(shrink(s.figure, 1.62 * r, 11, 1) >= 9 for s in bank.cylinders):
        return 8
    level = all(width(spot.figure, 9) <= pitch - 2 for spot in bank.cylinders)
    return 22 if level else 12 + upright_height([spot.figure for spot in bank.cylinders])


def _ends(top: float, bottom: float) -> Svg:
    """Pulley and flywheel, so that nobody counts from the wrong end."""
    middle = (top + bottom) / 2
    reach = min(34.0, (bottom - top) / 2)
    front, back = _LEFT - 30, _RIGHT + 12
    return group(
        rect(front + 10, middle - reach * 0.55, 8, reach * 1.1, fill="currentColor", opacity=0.25),
        line(front + 18, middle, _LEFT - 8, middle, stroke_width=4, opacity=0.4),
        line(_RIGHT + 8, middle, back + 2, middle, stroke_width=4, opacity=0.4),
        rect(back, middle - reach, 12, 2 * reach, fill="currentColor", opacity=0.25),
        arrow(front - 22, middle, front - 44, middle, stroke_width=2.5, size=11),
        label(front - 8, middle, "FRONT", size=11, bold=True, anchor="middle", turn=-90),
        label(back + 26, middle, "FLYWHEEL END", size=11, bold=True, anchor="middle", turn=90),
    )


def _firing(order: Sequence[str], rotation: str, y: float) -> tuple[Svg, float]:
    words = "–".join(order)
    text = f"Firing order {words}" if order else ""
    text = " · ".join(part for part in (text, f"Rotation: {rotation}" if rotation else "") if part)
    lines = wrap(text, _WIDTH - 24, 12, True, 4)
    parts = [label(12, y + 16 * k, part, size=12, bold=True) for k, part in enumerate(lines)]
    return group(*parts), 16.0 * len(lines)


def _desc(plan: EnginePlan, count: int) -> str:
    parts = [
        f"{count} cylinder{'' if count == 1 else 's'}, {plan.layout.value}, seen from above, "
        "front on the left, flywheel end on the right."
    ]
    for bank in plan.banks:
        parts.append(spot_words(bank.name or "Cylinders from the front", bank.cylinders))
    parts.append(spot_words("Main journals from the front", plan.mains))
    parts.append(spot_words("Rod journals from the front", plan.pins))
    if plan.firing_order:
        parts.append(f"Firing order {'-'.join(plan.firing_order)}.")
    parts.extend(f"{text}." for text in (plan.rotation, plan.numbering) if text)
    return " ".join(part for part in parts if part)


def engine_plan(plan: EnginePlan) -> str:
    """Plan view with banks, numbering, ends, firing order and the verdict of every bore."""
    longest = max((len(bank.cylinders) for bank in plan.banks), default=0)
    count = sum(len(bank.cylinders) for bank in plan.banks)
    title = "Engine seen from above"
    if count == 0:
        note = label(_WIDTH / 2, 30, "No cylinders recorded", size=13, anchor="middle")
        return picture(title, "No cylinders recorded.", _WIDTH, 60, note)
    span = _RIGHT - _LEFT
    pitch = span / longest if longest >= 4 else 150.0
    r = min(40.0, pitch * 0.42)
    barrel = 96.0 if plan.layout is Layout.FLAT else 0.0
    half = barrel / 2 if barrel else r
    y = 14.0
    heading = " · ".join(part for part in (plan.numbering, plan.figure_name) if part)
    parts: list[Svg] = []
    for text in wrap(heading, _WIDTH - 24, 11, False, 3):
        parts.append(label(12, y, text, size=11))
        y += 15
    top = y + 4
    y = top + (6 if r >= 27 else 20)
    inner: list[Svg] = []
    middles = []
    for index, bank in enumerate(plan.banks):
        if bank.name:
            inner.append(label(_LEFT + 2, y + 8, clip(bank.name, span - 8, 11, True), bold=True))
            y += 20
        if r < 27:
            y += 16
        row = y + half
        middles.append(row)
        start = (_LEFT + _RIGHT) / 2 - pitch * (longest - 1) / 2
        for place, spot in enumerate(bank.cylinders):
            inner.append(_bore(spot, start + place * pitch, row, r, pitch, barrel))
        y = row + half + _below(bank, r, pitch)
        if index + 1 < len(plan.banks):
            y += 16 if plan.layout is Layout.FLAT else 4
    bottom = y + 4
    outline = rect(
        _LEFT - 8, top, span + 16, bottom - top, fill="currentColor", opacity=0.04,
        stroke_width=1.5, round_=8,
    )  # fmt: skip
    crank = line(
        _LEFT - 8, (top + bottom) / 2, _RIGHT + 8, (top + bottom) / 2, dash="14 4 3 4", opacity=0.35
    )
    parts += [outline, crank if len(plan.banks) > 1 else group(), *inner, _ends(top, bottom)]
    y = bottom + 16
    for words, spots in (("Main journals", plan.mains), ("Rod journals", plan.pins)):
        if spots:
            parts.append(strip(words, spots, _LEFT, y, span, _LEFT - 12))
            y += strip_height(spots, span) + 8
    if plan.firing_order or plan.rotation:
        firing, used = _firing(plan.firing_order, plan.rotation, y + 8)
        parts.append(firing)
        y += used + 8
    every = [s.verdict for bank in plan.banks for s in bank.cylinders]
    every += [s.verdict for s in (*plan.mains, *plan.pins)]
    parts.append(legend(12, y + 10, every))
    return picture(title, _desc(plan, count), _WIDTH, y + 26, *parts)

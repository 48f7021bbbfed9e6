"""A flanged liner in its counterbore, in section: what stands up above the deck and why."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.drawings.figures import figure
from sparkout.drawings.hatch import hatch
from sparkout.drawings.marks import badge, dimension, line, polygon, polyline, rect, snug
from sparkout.drawings.palette import ORANGE, Verdict
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import clip, wrap

__all__ = ["LinerSection", "liner_section"]


@dataclass(frozen=True, slots=True)
class LinerSection:
    """protrusion = flange + shim − ledge depth, above the deck positive. None: not measured.

    low, high: limits of the protrusion."""

    name: str
    flange: float | None
    depth: float | None
    shim: float | None = None
    protrusion: float | None = None
    low: float | None = None
    high: float | None = None
    verdict: Verdict = Verdict.NOT_MEASURED
    unit: str = "mm"
    decimals: int = 3


_WIDTH, _HIGH = 720.0, 330.0
_DECK = 110.0  # height of the deck on the page
_LEDGE = 216.0
_BORE, _WALL, _FLANGE, _SIDE = 96.0, 172.0, 262.0, 372.0


def _standing(section: LinerSection) -> float:
    """Drawn height of the flange over the deck: the right side, never too small to see."""
    if section.protrusion is None or section.protrusion == 0:
        return 0.0
    seen = abs(section.protrusion) / max(abs(section.high or 0.0), abs(section.protrusion), 1e-12)
    return (14 + 16 * seen) * (1 if section.protrusion > 0 else -1)


def _parts(section: LinerSection) -> Svg:
    stand = _standing(section)
    shim = 11.0 if section.shim else 0.0
    top = _DECK - stand
    foot = _LEDGE - shim
    block = [
        (_FLANGE + 6, _DECK), (_SIDE, _DECK), (_SIDE, _HIGH - 14), (_WALL + 5, _HIGH - 14),
        (_WALL + 5, _LEDGE), (_FLANGE + 6, _LEDGE),
    ]  # fmt: skip
    liner = [
        (_BORE, top), (_FLANGE, top), (_FLANGE, foot), (_WALL, foot), (_WALL, _HIGH - 14),
        (_BORE, _HIGH - 14),
    ]  # fmt: skip
    drawn = [
        polygon(block, fill=INK, opacity=0.05, stroke=None),
        hatch(block, gap=10, stroke_width=0.6, opacity=0.4),
        polyline([block[3], block[4], block[5], block[0], block[1]], stroke_width=1.6),
        polygon(liner, fill=INK, opacity=0.14, stroke=None),
        hatch(liner, gap=7, lean=-1, stroke_width=0.6, opacity=0.4),
        polygon(liner, stroke_width=1.6),
        label(320, 290, "block", size=11, bold=True, anchor="middle"),
        label((_BORE + _WALL) / 2, 290, "liner", size=11, bold=True, anchor="middle"),
        label(_BORE - 14, 200, "bore", size=11, anchor="middle", turn=-90),
        line(_BORE - 40, _DECK, _BORE - 4, _DECK, dash="6 4", opacity=0.6),
    ]
    if shim:
        drawn.append(
            rect(_WALL + 6, foot, _FLANGE - _WALL - 6, shim, fill=ORANGE, stroke="#000000")
        )
    return group(*drawn)


def _dims(section: LinerSection) -> Svg:
    stand = _standing(section)
    top = _DECK - stand
    foot = _LEDGE - (11.0 if section.shim else 0.0)

    def text(value: float | None, signed: bool = False) -> str:
        return "not measured" if value is None else figure(value, section.decimals, signed=signed)

    x = _BORE - 30
    x_depth = _FLANGE + 34
    flange, depth = f"flange {text(section.flange)}", f"depth {text(section.depth)}"
    parts = [
        line(_BORE, top, 24, top, opacity=0.5),
        line(_WALL, foot, 24, foot, opacity=0.5),
        dimension(46, top, 46, foot, ""),
        snug(38, (top + foot) / 2, flange, foot - top, size=10, anchor="middle", turn=-90),
        line(_FLANGE + 6, _LEDGE, x_depth + 10, _LEDGE, opacity=0.5),
        dimension(x_depth, _DECK, x_depth, _LEDGE, ""),
        snug(x_depth + 9, (_DECK + _LEDGE) / 2, depth, _LEDGE - _DECK, size=10, anchor="middle",
             turn=90),
        line(_FLANGE, top, _FLANGE + 84, top, opacity=0.5),
        label(x + 4, 24, "PROTRUSION" if stand >= 0 else "RECESSED", size=11, bold=True),
        label(x + 4, 42, f"{text(section.protrusion, True)} {section.unit}"
              if section.protrusion is not None else "not measured", size=15, bold=True),
    ]  # fmt: skip
    if stand:
        parts.append(dimension(_FLANGE + 70, _DECK, _FLANGE + 70, top, ""))
        words = text(section.protrusion, True)
        parts.append(snug(_FLANGE + 78, (_DECK + top) / 2, words, 62, bold=True))
    if section.shim:
        parts.append(line(_FLANGE - 20, _LEDGE - 5, _FLANGE + 14, _LEDGE + 26, stroke_width=0.8))
        parts.append(label(_FLANGE + 17, _LEDGE + 30, f"shim {text(section.shim)}", size=10))
    return group(*parts)


def _beside(section: LinerSection) -> tuple[Svg, float]:
    x, y, room = 420.0, 22.0, _WIDTH - 432.0
    parts = []
    for part in wrap(section.name, room, 13, True, 3):
        parts.append(label(x, y, part, size=13, bold=True))
        y += 18
    y += 4
    rows = [
        ("flange", section.flange, " "),
        ("shim", section.shim, "+"),
        ("ledge depth", section.depth, "−"),
        ("protrusion", section.protrusion, "="),
    ]
    for name, value, sign in rows:
        if name == "shim" and not section.shim:
            continue
        last = name == "protrusion"
        if last:
            parts.append(line(x, y - 9, _WIDTH - 60, y - 9))
        text = "not measured" if value is None else figure(value, section.decimals, signed=last)
        parts.append(label(x, y, sign, size=12, bold=last))
        parts.append(label(x + 18, y, name, size=12, bold=last))
        parts.append(snug(_WIDTH - 62, y, text, room - 148, size=12, anchor="end", bold=last))
        y += 20
    ends = [
        f"at least {figure(section.low, section.decimals)}" if section.low is not None else "",
        f"at most {figure(section.high, section.decimals)}" if section.high is not None else "",
    ]
    given = ", ".join(part for part in ends if part)
    words = f"Limit: {given} {section.unit}" if given else "No limit given"
    for part in wrap(words, room, 11, False, 3):
        parts.append(label(x, y, part, size=11))
        y += 15
    parts.append(badge(section.verdict, x, y + 8, 13))
    y += 34
    note = (
        "Heights are drawn for their sign only, not to scale. Measured with the liner clamped down."
    )
    for part in wrap(note, room, 10, False, 3):
        parts.append(label(x, y, part, size=10))
        y += 13
    return group(*parts), y


def liner_section(section: LinerSection) -> str:
    """Flange, shim, ledge and protrusion, with the sum written out."""
    beside, y = _beside(section)

    def said(name: str, value: float | None) -> str:
        return f"{name} {'not measured' if value is None else figure(value, section.decimals)}"

    desc = (
        f"{clip(section.name, 2000)}: {said('flange', section.flange)}, "
        + (f"{said('shim', section.shim)}, " if section.shim else "")
        + f"{said('ledge depth', section.depth)}, {said('protrusion', section.protrusion)} "
        f"{section.unit}. {section.verdict.value}."
    )
    return picture(
        section.name, desc, _WIDTH, max(_HIGH, y + 4), _parts(section), _dims(section), beside
    )

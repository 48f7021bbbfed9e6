"""What each cut moves: operations against quantities, with sign and size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sparkout.drawings.marks import line, polygon, rect, snug
from sparkout.drawings.palette import BLUE, ORANGE
from sparkout.drawings.strip import upright, upright_height
from sparkout.drawings.svg import INK, Svg, group, label, picture
from sparkout.drawings.text import width, wrap

__all__ = ["Effect", "EffectTable", "Move", "effect_table"]


@dataclass(frozen=True, slots=True)
class Move:
    """How far one quantity moves: sign (1 up, −1 down) and words such as "c" or "0.13"."""

    sign: int
    text: str


@dataclass(frozen=True, slots=True)
class Effect:
    """One operation: what it moves, by quantity; a quantity not named is not moved."""

    operation: str
    amount: str
    moves: tuple[tuple[str, Move], ...]


@dataclass(frozen=True, slots=True)
class EffectTable:
    name: str
    quantities: tuple[str, ...]
    effects: tuple[Effect, ...]
    note: str = ""


_WIDTH = 720.0
_LEFT = 236.0


def _cell(move: Move, x: float, y: float, w: float, h: float) -> Svg:
    """A triangle up or down with the words, on a tint that is darker for up."""
    up = move.sign > 0
    colour = ORANGE if up else BLUE
    parts = [rect(x + 1, y + 1, w - 2, h - 2, fill=colour, opacity=0.16, stroke=colour, round_=3)]
    text = f"{'+' if up else '−'}{move.text}"
    tall = width(text, 9) > w - 4
    ty = y + (9 if tall or w < 34 else h / 2)
    tx = x + w / 2 if tall or w < 34 else x + 10
    way = -1 if up else 1
    r = min(4.5, w * 0.3)
    corners = ((tx, ty + way * r), (tx + r, ty - way * r * 0.8), (tx - r, ty - way * r * 0.8))
    parts.append(polygon(corners, fill=INK, stroke=None))
    if tall:
        parts.append(upright(x + w / 2, y + 17, text, h - 20, min(10.0, w * 0.8)))
    elif w < 34:
        parts.append(snug(x + w / 2, y + h / 2 + 5, text, w - 4, size=10, anchor="middle"))
    else:
        room = w - 20
        parts.append(snug(x + 17 + room / 2, y + h / 2, text, room, anchor="middle"))
    return group(*parts)


def _height(effect: Effect, cell: float) -> float:
    texts = [f"+{move.text}" for _, move in effect.moves]
    if any(width(text, 9) > cell - 4 for text in texts):
        return max(40.0, 22 + upright_height(texts, 10, 90))
    return 40.0


def _heads(quantities: Sequence[str], y: float, cell: float) -> tuple[Svg, float]:
    """Names of the columns in up to three lines; upright where a word is wider than its column."""
    for size in (10.0, 9.0):
        widest = max(width(word, size, True) for q in quantities for word in (q.split() or [""]))
        lines = [wrap(q, cell - 4, size, True, 9) for q in quantities]
        deep = max(len(made) for made in lines)
        if widest > cell - 4 or deep > 3:
            continue
        parts = [
            label(_LEFT + (k + 0.5) * cell, y + 8 + 12 * (j + deep - len(made)), text, size=size,
                  bold=True, anchor="middle")
            for k, made in enumerate(lines)
            for j, text in enumerate(made)
        ]  # fmt: skip
        return group(*parts), y + 8 + 12 * deep
    tall = upright_height(quantities, 10, 120)
    parts = [
        upright(_LEFT + (k + 0.5) * cell, y, q, tall, min(10.0, cell * 0.9))
        for k, q in enumerate(quantities)
    ]
    return group(*parts), y + tall + 6


def effect_table(table: EffectTable) -> str:
    """A row for each operation; blank where it moves nothing."""
    if not table.effects or not table.quantities:
        note = label(_WIDTH / 2, 30, "No operation moves anything here", size=13, anchor="middle")
        return picture(table.name, "No operation moves anything here.", _WIDTH, 60, note)
    cell = (_WIDTH - 12 - _LEFT) / len(table.quantities)
    parts: list[Svg] = []
    y = 12.0
    for text in wrap(table.name, _WIDTH - 24, 12, True, 2):
        parts.append(label(12, y, text, size=12, bold=True))
        y += 17
    heads, y = _heads(table.quantities, y, cell)
    parts.append(heads)
    said = []
    for effect in table.effects:
        tall = _height(effect, cell)
        parts.append(line(12, y, _WIDTH - 12, y, opacity=0.35))
        names = wrap(effect.operation, 148, 11, True, 2)
        for k, text in enumerate(names):
            parts.append(label(12, y + tall / 2 + 13 * (k - (len(names) - 1) / 2), text, bold=True))
        amount = effect.amount
        parts.append(snug(_LEFT - 6, y + tall / 2, amount, 62, anchor="end"))
        moves = dict(effect.moves)
        for k, quantity in enumerate(table.quantities):
            move = moves.get(quantity)
            if move is not None and move.sign != 0:
                parts.append(_cell(move, _LEFT + k * cell, y, cell, tall))
        told = ", ".join(
            f"{q} {'up' if m.sign > 0 else 'down'} {m.text}" for q, m in effect.moves if m.sign
        )
        said.append(f"{effect.operation} {amount}: {told or 'moves nothing listed'}.")
        y += tall
    for k in range(len(table.quantities) + 1):
        parts.append(line(_LEFT + k * cell, y - 4, _LEFT + k * cell, y, opacity=0.3))
    parts.append(line(12, y, _WIDTH - 12, y, opacity=0.35))
    y += 16
    key = "Triangle up and +: grows. Triangle down and −: shrinks. Blank: not moved."
    for text in wrap(f"{key} {table.note}".strip(), _WIDTH - 24, 10, False, 3):
        parts.append(label(12, y, text, size=10))
        y += 13
    return picture(table.name, " ".join(said), _WIDTH, y + 2, *parts)

"""SVG written from plain numbers: text escaped, numbers finite, the same bytes every time.

No identifiers, scripts or outside references are written, so several pictures can stand in one
page and none can be made to fetch or run anything.
"""

from __future__ import annotations

import math
import re
from typing import NewType

__all__ = ["FAMILY", "INK", "Svg", "el", "group", "label", "num", "picture", "plain"]

# Finished, escaped markup. Only this room makes it, so typed text cannot slip in unescaped.
Svg = NewType("Svg", str)

INK = "currentColor"  # whatever colour the page writes in: dark on paper, light on a dark screen
FAMILY = "Noto Sans, Noto Sans Math, Noto Sans Symbols, Noto Sans Symbols2, sans-serif"

# XML 1.0 cannot hold these even when escaped; they are shown as the replacement character.
_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_SPACES = re.compile("[\t\r\n\u2028\u2029]+")


def plain(text: str) -> str:
    """Text as one line that XML can hold."""
    return _UNPRINTABLE.sub("\ufffd", _SPACES.sub(" ", text))


def _escaped(text: str) -> str:
    return (
        plain(text)
        .replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace('"', "&quot;")
    )


def num(value: float) -> str:
    """A coordinate to a hundredth of a unit; raises ValueError when it is not a finite number."""
    if not math.isfinite(value):
        raise ValueError(f"{value!r} cannot be drawn: a coordinate must be a finite number")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def el(tag: str, *children: Svg, **attributes: str | float | None) -> Svg:
    """One element. Underscores in names become hyphens; an attribute that is None is left out."""
    written = "".join(
        f' {name.rstrip("_").replace("_", "-")}="'
        f'{_escaped(value) if isinstance(value, str) else num(value)}"'
        for name, value in attributes.items()
        if value is not None
    )
    if not children:
        return Svg(f"<{tag}{written}/>")
    return Svg(f"<{tag}{written}>{''.join(children)}</{tag}>")


def group(*children: Svg) -> Svg:
    """Elements one after another, with nothing round them."""
    return Svg("".join(children))


def label(
    x: float,
    y: float,
    text: str,
    *,
    size: float = 11,
    anchor: str = "start",
    bold: bool = False,
    fill: str = INK,
    turn: float = 0,
) -> Svg:
    """Text with its vertical middle at y. turn: degrees clockwise about the anchor point."""
    # 0.36 of the size is half the height of a capital in the bundled face; a baseline attribute
    # would be shorter but not every renderer knows it.
    base = y + 0.36 * size
    return el(
        "text",
        Svg(_escaped(text)),
        x=x,
        y=base,
        font_size=size,
        text_anchor=None if anchor == "start" else anchor,
        font_weight="700" if bold else None,
        fill=fill,
        transform=f"rotate({num(turn)} {num(x)} {num(y)})" if turn else None,
    )


def picture(title: str, desc: str, width: float, height: float, *children: Svg) -> str:
    """The whole drawing: an image with a name and a description in plain words."""
    return el(
        "svg",
        el("title", Svg(_escaped(title) or " ")),
        el("desc", Svg(_escaped(desc) or " ")),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {num(width)} {num(height)}",
        width=width,
        height=height,
        role="img",
        font_family=FAMILY,
        fill=INK,
        stroke_linejoin="round",
    )

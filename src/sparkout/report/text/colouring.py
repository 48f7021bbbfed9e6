"""Colour for a terminal: marks and headings, nothing that is not in words as well."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["coloured"]

_BOLD, _RED, _YELLOW, _BLUE = "1", "31", "33", "34"
_MARKS = {"✕": _RED, "!": _YELLOW, "?": _YELLOW, "↻": _YELLOW, "✓": _BLUE, "▸": _BOLD}


def coloured(lines: Iterable[str]) -> list[str]:
    """Lines as `findings_text` and `plan_text` make them, with escape sequences of ECMA-48."""
    return [_line(text) for text in lines]


def _line(text: str) -> str:
    if text and text == text.upper() and text[0].isalpha():
        return _paint(text, _BOLD)
    mark = text[2:3]
    if text.startswith("  ") and mark in _MARKS and text[3:4] == " ":
        return f"  {_paint(mark, _MARKS[mark])}{text[3:]}"
    if "│" in text:
        return text.replace("OUT", _paint("OUT", _RED))
    return text


def _paint(text: str, style: str) -> str:
    return f"\x1b[{style}m{text}\x1b[0m"

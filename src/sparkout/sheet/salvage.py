"""What can still be read of a file that has faults of form, so that all its faults come at once.

The record made of it is never used: it only lets the figures be read and checked beside the faults
of form. Where something is missing a blank stands in for it, and nothing is said about blanks.
"""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from sparkout.sheet.shaping import shape
from sparkout.sheet.yaml_tree import Mapping, Node

__all__ = ["salvage"]

M = TypeVar("M", bound=BaseModel)
_ROUNDS = 4


def salvage(root: Node | None, model: type[M]) -> tuple[M | None, frozenset[tuple[str | int, ...]]]:
    """The model with wrong and missing parts left blank, and where the blanks are (as words)."""
    if not isinstance(root, Mapping):
        return None, frozenset()
    raw, _ = shape(root, model)
    blanks: set[tuple[str | int, ...]] = set()
    for _ in range(_ROUNDS):
        try:
            return model.model_validate(raw), frozenset(blanks)
        except ValidationError as refused:
            for error in refused.errors():
                where = error["loc"]
                blanks.add(tuple(_words(part) for part in where))
                if not _mended(raw, where, drop=error["type"] == "extra_forbidden"):
                    return None, frozenset()
    return None, frozenset()


def _mended(raw: Any, where: tuple[str | int, ...], *, drop: bool) -> bool:
    """Take the wrong part out, or put a blank in its place; whether that could be done."""
    owner: Any = raw
    for part in where[:-1]:
        try:
            owner = owner[part]
        except (KeyError, IndexError, TypeError):
            return False
    if not where or not isinstance(owner, dict | list):
        return False
    last: Any = where[-1]
    if drop:
        del owner[last]
    else:
        owner[last] = ""
    return True


def _words(part: str | int) -> str | int:
    return part.replace("_", " ") if isinstance(part, str) else part

"""Cautions of an operation, as the shop's file has them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sparkout.cautions import SafetyMessage, messages_for

__all__ = ["cautions_of"]


def cautions_of(
    messages: Iterable[SafetyMessage], operations: Iterable[str], names: Iterable[str] = ()
) -> list[dict[str, Any]]:
    """What belongs to the operations, and what is asked for by name; gravest first."""
    known = tuple(messages)
    wanted = {message.name for message in messages_for(known, operations)} | set(names)
    return [
        {
            "signal": message.signal_word,
            "hazard": message.hazard,
            "consequence": message.consequence,
            "avoid": message.avoid,
        }
        for message in known
        if message.name in wanted
    ]

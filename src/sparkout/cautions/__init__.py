"""Cautions of the trade as data a shop edits: shown beside the work, never computed or left out.

Signal words follow the usage of ANSI Z535.6 and ISO 3864-2 (recalled from memory).
"""

from sparkout.cautions.messages import (
    SIGNAL_WORDS,
    SafetyMessage,
    messages_for,
    read_messages,
    shipped_messages,
    without_message,
)

__all__ = [
    "SIGNAL_WORDS",
    "SafetyMessage",
    "messages_for",
    "read_messages",
    "shipped_messages",
    "without_message",
]

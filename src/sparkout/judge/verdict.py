"""What a limit says of a value."""

from __future__ import annotations

from enum import StrEnum

__all__ = ["Verdict"]


class Verdict(StrEnum):
    """What a limit says of a value."""

    WITHIN = "within"
    NOT_PROVEN = "not proven"
    OUT = "out"
    NOT_MEASURED = "not measured"
    STALE = "stale"
    NO_LIMIT = "no limit given"

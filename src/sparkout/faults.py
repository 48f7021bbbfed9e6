"""Bad input as data: what was wrong, where, and what would be right.

Every stage returns its result together with the faults it met; nothing stops at the first one.
"""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["Fault", "Place"]


class Place(NamedTuple):
    """Where a person has to look: a file, a line and column in it, the key or entry it is about."""

    file: str = ""
    line: int | None = None
    column: int | None = None
    key: str = ""

    def __str__(self) -> str:
        parts = [self.file] if self.file else []
        if self.line is not None:
            parts.append(str(self.line))
            if self.column is not None:
                parts.append(str(self.column))
        text = ":".join(parts)
        return f"{text}: {self.key}" if text and self.key else text or self.key


class Fault(NamedTuple):
    """One thing that is wrong with what a person gave us.

    found: what stands there, as typed. expected: what would be right. remedy: what to do now.
    stops: True when the work cannot go on with it (exit status 2); False for a warning.
    """

    place: Place
    found: str
    expected: str
    remedy: str = ""
    stops: bool = True

    def __str__(self) -> str:
        text = f"{self.place}: found {self.found}; expected {self.expected}."
        return f"{text} {self.remedy}" if self.remedy else text

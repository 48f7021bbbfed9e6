"""What is said of one characteristic to somebody who is no machinist."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["Plain"]


class Plain(NamedTuple):
    """name: of the characteristic. part: what it is about, singular, small letters. high: what is
    wrong when it is above its limit, or a test failed; low: when it is below, where that means
    something else. why: what comes of it."""

    name: str
    part: str
    high: str
    why: str
    low: str = ""

    def wrong(self, *, below: bool) -> str:
        return self.low if below and self.low else self.high

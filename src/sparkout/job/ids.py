"""Ids for entries: 48 bits of time and 80 random bits in 26 characters that sort by time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

__all__ = ["ulid", "ulid_source"]

# Crockford's base 32: no I, L, O, U, so that an id read aloud stays unambiguous.
_DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def ulid(milliseconds: int, randomness: bytes) -> str:
    """The ULID of a time (ms since 1970-01-01 UTC) and ten random bytes.

    Source: the ULID specification (ulid/spec), layout and example.
    Raises ValueError where the time does not fit 48 bits or the bytes are not ten.
    """
    if not 0 <= milliseconds < 1 << 48:
        raise ValueError(f"a ULID holds 48 bits of milliseconds; got {milliseconds}")
    if len(randomness) != 10:
        raise ValueError(f"a ULID holds ten random bytes; got {len(randomness)}")
    number = milliseconds << 80 | int.from_bytes(randomness, "big")
    return "".join(_DIGITS[number >> shift & 31] for shift in range(125, -1, -5))


def ulid_source(
    clock: Callable[[], datetime], random_bytes: Callable[[int], bytes]
) -> Callable[[], str]:
    """A source of fresh ids from a clock and a source of random bytes (`secrets.token_bytes`)."""

    def next_id() -> str:
        return ulid(int(clock().timestamp() * 1000), random_bytes(10))

    return next_id

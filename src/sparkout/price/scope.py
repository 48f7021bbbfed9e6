"""What a price does not cover: work on every engine that no line of it stands for."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.price.quote import Quote

__all__ = ["not_in", "not_in_said"]

# How the work is called, and the words an operation of the shop's file begins with that is it.
_ROUND_ABOUT = (
    ("strip", ("strip", "dismantle")),
    ("wash", ("wash", "clean")),
    ("measuring", ("measure", "measuring")),
    ("trial assembly", ("trial",)),
    ("assembly", ("assemble", "assembly")),
    ("run-in", ("run-in", "run in", "running-in", "running in")),
)


def not_in(prices: Iterable[Quote]) -> tuple[str, ...]:
    """Work round the machining that at least one of the prices has no line for.

    The lines count, not what the shop's file could price: an operation that no line stands for is
    not paid for.

    >>> not_in(())
    ()
    """
    some = tuple(prices)
    return tuple(
        name
        for name, begins in _ROUND_ABOUT
        if any(not _has(price, begins) for price in some)
    )  # fmt: skip


def not_in_said(prices: Iterable[Quote]) -> str:
    """One sentence; "" where the prices cover it all."""
    names = not_in(prices)
    if not names:
        return ""
    *first, last = names
    return f"Not in this price: {', '.join(first)}{' and ' if first else ''}{last}."


def _has(price: Quote, begins: tuple[str, ...]) -> bool:
    return any(
        line.kind != "part" and f"{line.title.lower()} ".startswith(tuple(f"{b} " for b in begins))
        for line in price.lines
    )

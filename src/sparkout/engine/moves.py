"""What a cut moves: for each operation, which sizes it changes by its amount, and which way.

Only the sizes the tool touches stand here. What follows from them (protrusion, piston to head,
ratio …) is worked out from the fits, so nothing has to be remembered twice. An operation also
makes readings stale that were taken from the face it moves.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction as F
from types import MappingProxyType

__all__ = ["MOVES", "Move", "moves_of"]


@dataclass(frozen=True, slots=True)
class Move:
    """One size an operation changes: by `per` mm for each mm of its amount.

    kind: the kind of feature; reach: `bank` (the features of the bank worked on), `all`, or `own`
    (the feature worked on).
    """

    kind: str
    characteristic: str
    per: F
    reach: str = "bank"


MOVES: Mapping[str, tuple[Move, ...]] = MappingProxyType(
    {
        # liners out: the ledge is measured from the deck
        "surface deck": (
            Move("deck", "deck height", F(-1)),
            Move("deck at bore", "deck height", F(-1)),
            Move("ledge", "ledge depth", F(-1)),
        ),
        "surface head": (
            Move("head", "head height", F(-1)),
            Move("seat", "valve recession", F(-1)),
            Move("injector", "injector reach", F(1)),
            Move("chamber", "chamber depth", F(-1)),
        ),
        "recut ledge": (Move("ledge", "ledge depth", F(1), "own"),),
        # amount: how far the crank's centre line goes up into the block
        "align-hone mains": (
            Move("deck", "deck height", F(-1), "all"),
            Move("deck at bore", "deck height", F(-1), "all"),
            Move("block", "crank to cam", F(-1), "all"),
        ),
        # amount: how far the valve goes up into the head, along its axis
        "cut seat": (
            Move("seat", "valve recession", F(1), "own"),
            Move("valve", "tip height", F(1), "own"),
            Move("spring", "spring installed height", F(1), "own"),
        ),
        "grind stem tips": (Move("valve", "tip height", F(-1), "all"),),
        "shim spring": (Move("spring", "spring installed height", F(-1), "own"),),
    }
)


def moves_of(operation: str) -> tuple[Move, ...]:
    return MOVES.get(operation, ())

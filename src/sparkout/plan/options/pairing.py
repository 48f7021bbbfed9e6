"""Selective fitting: which of the measured pieces goes in which place.

A set of new pistons (or liners) that was measured piece by piece is not one size: the largest goes
in the widest bore, the lowest crown where the stack is highest. Every piece goes in one place at
most, which is a limit of the model like any other, so the pairing is part of the optimum.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.plan.forms import Effect, Group, Need, Option, SetTo, ShiftBy, Together
from sparkout.plan.options.context import Context, rank_of
from sparkout.sheet.model import PartSpec

__all__ = ["pairing_groups"]

_AS_NUMBERED = "as numbered"

# Between plans of equal cost pieces stay where they were numbered for.
_MOVED = 100

_AFTER_PARTS = rank_of("part") + 1

Sizes = Mapping[str, Dimension]
More = Callable[[Option, int, int, Sizes], tuple[tuple[Effect, ...], tuple[Need, ...]]]
"""What else follows from a piece in a place: option, place, piece, sizes of the piece."""


def pairing_groups(ctx: Context, cylinders: Group, fitted: More) -> tuple[Group, ...]:
    """For each bore the piston, and the liner, that goes in it.

    cylinders: the group whose options bring them. fitted: what a liner's sizes do to its bore.
    """
    return (
        *_places(ctx, cylinders, "piston", "piston in bore", _bore_to_piston),
        *_places(ctx, cylinders, "liner", "liner in parent bore", fitted),
    )


def _places(ctx: Context, owner: Group, kind: str, label: str, more: More) -> tuple[Group, ...]:
    sets = {
        part.name: pieces
        for part in ctx.parts(kind)
        if (pieces := _pieces(ctx, part, kind)) and _differ(pieces)
    }
    brought = {name: tuple(o for o in owner.options if _brings(o, name)) for name in sets}
    numbers = [int(name.rpartition(" ")[2]) for name in owner.features]
    found = []
    for place in numbers if len(numbers) > 1 else ():
        here = tuple(f"{name} {place}" for name in sets)
        options = [Option(_AS_NUMBERED, f"{label} {place} as numbered", takes=here)]
        for name, pieces in sets.items():
            for piece, sizes in pieces.items():
                if piece == place or not brought[name]:
                    continue
                put = _put(kind, label, place, piece, name, sizes, brought[name], more)
                names = tuple(option.name for option in brought[name])
                tie = Together(owner.name, names, f"{name} is measured piece by piece")
                options.append(replace(put, together=(tie,)))
        if len(options) > 1:
            feature = f"{kind} {place}"
            found.append(Group(f"{label} {place}", (feature,), tuple(options), _AS_NUMBERED))
    return tuple(found)


def _brings(option: Option, part: str) -> bool:
    """Whether an option brings a part into places that are as they are.

    A parent bore that is made to its liner is made to the one it is numbered for.
    """
    made = any(effect.key.characteristic == "parent bore diameter" for effect in option.effects)
    return not made and any(use.part == part for use in option.parts)


def _pieces(ctx: Context, part: PartSpec, kind: str) -> dict[int, dict[str, Dimension]]:
    """Sizes of the pieces of a part in hand, by the number they were marked with.

    Of what the data sheet says the part brings; pieces measured less fully than others stay out.
    """
    found: dict[int, dict[str, Dimension]] = {}
    for key, size in ctx.state.new_parts.get(part.name, {}).items():
        owner, _, number = key.feature.rpartition(" ")
        if owner == kind and number.isdecimal() and key.characteristic in part.sizes:
            found.setdefault(int(number), {})[key.characteristic] = size
    names = {name for sizes in found.values() for name in sizes}
    return {piece: sizes for piece, sizes in found.items() if set(sizes) == names}


def _differ(pieces: Mapping[int, Sizes]) -> bool:
    """Whether it makes any difference which goes where."""
    values = {
        tuple((name, size.low.value, size.high.value) for name, size in sorted(sizes.items()))
        for sizes in pieces.values()
    }
    return len(values) > 1


def _put(
    kind: str,
    label: str,
    place: int,
    piece: int,
    name: str,
    sizes: Sizes,
    owners: tuple[Option, ...],
    more: More,
) -> Option:
    effects: list[Effect] = [
        SetTo(Key(f"{kind} {place}", what), size.low, size.high, _AFTER_PARTS, How.NEW_PART)
        for what, size in sizes.items()
    ]
    extra, needs = more(owners[0], place, piece, sizes)
    return Option(
        f"{name}, piece {piece}",
        f"put {kind} {piece} of {name} in place {place}",
        (*effects, *extra),
        needs=needs,
        prefer=_MOVED,
        takes=(f"{name} {piece}",),
    )


def _bore_to_piston(
    option: Option, place: int, piece: int, sizes: Sizes
) -> tuple[tuple[Effect, ...], tuple[Need, ...]]:
    """A bore made to the piston in hand is made to this one: as the option makes the other's."""
    made = {
        effect.key.feature: effect
        for effect in option.effects
        if isinstance(effect, SetTo)
        and effect.free
        and effect.key.characteristic == "bore diameter"
    }
    own, other = made.get(f"bore {place}"), made.get(f"bore {piece}")
    if own is None or other is None:
        return (), ()
    wider = other.low.value - own.low.value
    moved = replace(
        own, low=own.low.shifted(wider), high=own.high.shifted(wider), rank=own.rank + 1
    )  # fmt: skip
    walls = tuple(
        replace(effect, by=effect.by.scaled(0).shifted(-wider / 2))
        for effect in option.effects
        if isinstance(effect, ShiftBy)
        and effect.key.feature == f"bore {place}"
        and effect.key.characteristic.startswith("bore wall")
    )
    needs = tuple(
        replace(need, margin=need.margin.shifted(wider))
        for need in option.needs
        if need.name == f"bore {place} cleans up"
    )
    return (moved, *walls), needs

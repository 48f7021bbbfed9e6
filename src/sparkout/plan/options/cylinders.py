"""The cylinders: kept, honed, bored to a size all of them reach, or fitted with new liners.

Which sizes exist is a matter of linked parts: bore size, piston height, liner kind. Each way that
exists for all of them is one option for the whole engine; a single bore beyond that size can be
sleeved instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from sparkout.engine.dimension import Dimension
from sparkout.plan.forms import Effect, Group, Need, Option, Use, Work
from sparkout.plan.options.bored import bored, honed, other_blocks
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.cylinder_parts import pistons, renewed_rings
from sparkout.plan.options.lined import fitted_bore, lined
from sparkout.plan.options.pairing import pairing_groups
from sparkout.plan.options.sleeves import sleeve_for, tied_to
from sparkout.sheet.model import PartSpec

__all__ = ["cylinder_groups"]


def cylinder_groups(ctx: Context) -> tuple[Group, ...]:
    """All cylinders together; each by itself where the sheet sells its pistons singly.

    Pistons `supplied: singly` may run beside other sizes: the maker says so by that, not we.
    """
    bores = [feature.name for feature in ctx.frame.of_kind("bore")]
    if not any(ctx.size(name, "bore diameter") for name in bores):
        return ()
    sold = ctx.parts("piston")
    if sold and len(bores) > 1 and all(part.supplied == "singly" for part in sold):
        return tuple(
            group
            for bore in bores
            for group in _together(ctx, f"cylinder {bore.rsplit(' ', 1)[-1]}", [bore])
        )
    return _together(ctx, "cylinders", bores)


def _together(ctx: Context, label: str, bores: list[str]) -> tuple[Group, ...]:
    sleeves = tuple(group for name in bores if (group := sleeve_for(ctx, name)) is not None)
    options: list[Option | None] = [_kept(ctx, bores)]
    sized: list[str] = []
    for part in ctx.parts("piston"):
        if part.with_parts:
            options += lined(ctx, bores, part)
            continue
        over = (part.for_bore or Fraction(0)) - (ctx.nominal("bore") or Fraction(0))
        if over > 0:
            option = bored(ctx, bores, part, over, sleeves)
            sized.append(option.name)
            options.append(option)
            options += other_blocks(ctx, bores, part, option)
        else:
            options.append(_new_pistons(ctx, bores, part))
            options.append(honed(ctx, bores, part))
    options.append(honed(ctx, bores, None))
    cylinders = Group(label, tuple(bores), tuple(o for o in options if o is not None))
    tied = tuple(tied_to(group, label, tuple(sized)) for group in sleeves if sized)

    def fitted(
        option: Option, place: int, piece: int, sizes: Mapping[str, Dimension]
    ) -> tuple[tuple[Effect, ...], tuple[Need, ...]]:
        names = {use.part for use in option.parts}
        liner = next((part for part in ctx.parts("liner") if part.name in names), None)
        if liner is None or liner.supplied != "finished":
            return (), ()
        found = fitted_bore(ctx, liner, f"bore {place}", piece)
        after = rank_of("fit dry liner") + 1
        return tuple(replace(effect, rank=after) for effect in found or ()), ()

    return (cylinders, *tied, *pairing_groups(ctx, cylinders, fitted))


def _kept(ctx: Context, bores: list[str]) -> Option:
    rings = ctx.parts("ring set")
    names = tuple(part.name for part in rings[:1])
    gaps = [
        effect
        for effect in renewed_rings(ctx, bores)
        if effect.key.characteristic == "ring gap" and names
    ]
    return Option(
        "keep",
        "keep bores and pistons" + (", deglaze and fit new rings" if names else ""),
        tuple(gaps),
        (Work("deglaze cylinder", tuple(bores)),) if names else (),
        tuple(Use(name, len(bores)) for name in names),
        impossible=ctx.supply_gap(*names),
        days=ctx.days(*names),
    )


def _new_pistons(ctx: Context, bores: list[str], part: PartSpec) -> Option:
    return Option(
        part.name,
        f"keep the bores, fit {part.name}",
        (*pistons(ctx, part, bores), *renewed_rings(ctx, bores)),
        (Work("deglaze cylinder", tuple(bores)),),
        (Use(part.name, len(bores)),),
        impossible=ctx.supply_gap(part.name),
        days=ctx.days(part.name),
    )

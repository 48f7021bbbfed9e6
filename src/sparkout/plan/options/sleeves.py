"""One bore sleeved, where it alone is past what the others are bored to."""

from __future__ import annotations

from dataclasses import replace

from sparkout.engine.dimension import Key
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Effect, Group, Need, Option, SetTo, Together, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.cylinder_parts import number_of, worn_radius
from sparkout.sheet.model import PartSpec

__all__ = ["sleeve_for", "tied_to"]


def sleeve_for(ctx: Context, bore: str) -> Group | None:
    """One bore sleeved: a repair sleeve pressed in and bored with the others."""
    parts = ctx.parts("repair sleeve")
    if not parts or ctx.frame.cylinder_kind.lined:
        return None
    part = parts[0]
    effects: list[Effect] = []
    needs = []
    behind, least = _wall_behind(ctx, bore, part), ctx.limit("wall behind sleeve")
    if behind is not None:
        # what the piston then runs on is the sleeve, backed by what is left of the block
        rank = rank_of("hone cylinder") + 1
        outside = part.sizes["sleeve outside diameter"].low
        bored = ctx.nominal("bore")
        assert outside is not None
        if bored is not None:
            whole = behind.shifted((outside - bored) / 2)
            for wall in ("bore wall", "bore wall thrust side"):
                if ctx.size(bore, wall) is not None:
                    effects.append(SetTo(Key(bore, wall), whole, whole, rank))
        floor = None if least is None else least.side("service")
        if floor is not None and floor.low is not None:
            needs.append(
                Need(
                    f"{bore} leaves wall behind a sleeve",
                    behind.shifted(-floor.low),
                    f"a sleeve in {bore} leaves {ctx.said(behind.value, 'bore wall')} of wall "
                    f"behind it, {ctx.said(floor.low, 'bore wall')} is needed",
                )
            )
    number = number_of(bore)
    return Group(
        f"bore {number} sleeve",
        (bore,),
        (
            Option("none", f"no sleeve in {bore}"),
            Option(
                "sleeve",
                f"sleeve {bore} and bore it with the others",
                tuple(effects),
                (Work("sleeve cylinder", (bore,)),),
                (Use(part.name, 1),),
                tuple(needs),
                impossible=ctx.can("sleeve cylinder") or ctx.supply_gap(part.name),
                days=ctx.days(part.name),
            ),
        ),
        "none",
    )


def _wall_behind(ctx: Context, bore: str, part: PartSpec) -> Estimate | None:
    """Wall left outside a sleeve: the wall as measured less what its bore takes."""
    wall = ctx.size(bore, "bore wall thrust side") or ctx.size(bore, "bore wall")
    outside = part.sizes.get("sleeve outside diameter")
    worn = worn_radius(ctx, bore)
    if wall is None or outside is None or outside.high is None or worn is None:
        return None
    return wall.low - worn.scaled(-1).shifted(outside.high / 2)


def tied_to(group: Group, cylinders: str, bored: tuple[str, ...]) -> Group:
    """A sleeve is only fitted where its cylinders are then bored to one size."""
    keep, sleeve = group.options
    tie = Together(cylinders, bored, "a sleeved bore is bored with the others")
    return replace(group, options=(keep, replace(sleeve, together=(tie,))))

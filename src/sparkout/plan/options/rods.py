"""Each rod: big end resized, straightened, new pin bush honed to the pin in hand; or replaced."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.forms import Effect, Group, Option, SetTo, ShiftBy, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.rod_sets import matched_weights, replaced_rods

__all__ = ["rod_groups"]


def rod_groups(ctx: Context) -> tuple[Group, ...]:
    found: list[Group] = []
    for feature in ctx.frame.of_kind("rod"):
        for make in (_big_end, _straight, _small_end):
            group = make(ctx, feature.name)
            if group is not None:
                found.append(group)
    found += replaced_rods(ctx)
    found += matched_weights(ctx)
    return tuple(found)


def _big_end(ctx: Context, rod: str) -> Group | None:
    limit = ctx.limit("rod housing diameter")
    if ctx.size(rod, "rod housing diameter") is None or limit is None or limit.new is None:
        return None
    operation = "resize rod"
    effects: list[Effect] = [ctx.machined(rod, "rod housing diameter", limit.new.middle, operation)]
    form = ctx.formed(rod, "rod housing out-of-round", operation)
    if form is not None:
        effects.append(form)
    shorter = ctx.held(operation, "rod length")
    if shorter is not None and shorter.high is not None:
        # The hone may float or be held: the rod shortens by anything up to half of both face cuts.
        low = shorter.low if shorter.low is not None else Fraction(0)
        effects.append(_between(rod, -shorter.high, -low, operation))
    return Group(
        f"{rod} big end",
        (rod,),
        (
            Option("leave", f"leave the big end of {rod}"),
            Option(
                "resize",
                f"cut cap and rod faces and hone the big end of {rod} to size",
                tuple(effects),
                (Work(operation, (rod,)),),
                impossible=ctx.can(operation),
            ),
        ),
        "leave",
    )


def _between(rod: str, low: Fraction, high: Fraction, operation: str) -> ShiftBy:
    half = float(high - low) / 2
    part = Component(f"{operation}, {rod}, length", half / 3**0.5, Shape.RECTANGULAR)
    change = Estimate((low + high) / 2, (part,) if half else ())
    return ShiftBy(Key(rod, "rod length"), change, rank_of(operation))


def _straight(ctx: Context, rod: str) -> Group | None:
    if ctx.size(rod, "rod bend") is None and ctx.size(rod, "rod twist") is None:
        return None
    operation = "straighten rod"
    forms = [ctx.formed(rod, name, operation) for name in ("rod bend", "rod twist")]
    effects: list[Effect] = [form for form in forms if form is not None]
    change = ctx.held(operation, "rod length")
    if change is not None and change.low is not None and change.high is not None:
        effects.append(_between(rod, change.low, change.high, operation))
    return Group(
        f"{rod} straightness",
        (rod,),
        (
            Option("leave", f"leave {rod} as straight as it is"),
            Option(
                "straighten",
                f"straighten {rod} cold and crack-test it",
                tuple(effects),
                (Work(operation, (rod,)), Work("crack-test rod", (rod,))),
                impossible=ctx.can(operation),
            ),
        ),
        "leave",
    )


def _small_end(ctx: Context, rod: str) -> Group | None:
    """The pin bush: as it is, or a new one honed to the pin that will run in it."""
    limit = ctx.limit("small end clearance")
    bush = ctx.size(rod, "rod bush diameter")
    if bush is None or limit is None or limit.new is None or limit.new.width is None:
        return None
    operation = "re-bush rod"
    hit = ctx.hit(operation, "small end clearance", f"{operation}, {rod}")
    made = Estimate(limit.new.middle, hit)
    fit = SetTo(Key(rod, "small end clearance"), made, made, rank_of(operation))
    parts = ctx.parts("rod bush")
    uses = tuple(Use(part.name, 1) for part in parts[:1])
    return Group(
        f"{rod} small end",
        (rod,),
        (
            Option("leave", f"leave the bush of {rod}"),
            Option(
                "re-bush",
                f"press a new bush into {rod} and hone it to its pin",
                (fit,),
                (Work(operation, (rod,)),),
                uses,
                impossible=ctx.can(operation) or ctx.supply_gap(*(use.part for use in uses)),
                days=ctx.days(*(use.part for use in uses)),
            ),
        ),
        "leave",
    )

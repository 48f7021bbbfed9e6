"""Thrust washers: as they are, another pair, or thick ones with the faces ground to them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Group, Need, Option, SetTo, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.sheet.model import PartSpec

__all__ = ["thrust_washers"]


def thrust_washers(ctx: Context) -> Group | None:
    if ctx.size("crankshaft", "thrust gap") is None:
        return None
    options = [Option("keep", "keep the thrust washers")]
    for part in ctx.parts("thrust washers"):
        fitted = Option(
            part.name,
            f"fit {part.name}",
            _washers(ctx, part),
            (Work("fit thrust washers", ("crankshaft",)),),
            (Use(part.name, 2),),
            days=ctx.days(part.name),
            impossible=ctx.supply_gap(part.name),
        )
        options.append(fitted)
        ground = _ground(ctx, part, fitted)
        if ground is not None:
            options.append(ground)
    return Group("thrust washers", ("crankshaft",), tuple(options))


def _washers(ctx: Context, part: PartSpec) -> tuple[SetTo, ...]:
    return tuple(
        replace(effect, key=Key("crankshaft", effect.key.characteristic))
        for effect in ctx.all_brought(part, "crankshaft")
    )


def _ground(ctx: Context, part: PartSpec, fitted: Option) -> Option | None:
    """Worn faces ground true until a pair of known thickness gives the end play asked for of new.

    Only where this shop (or its grinder) does that: metal must be left to take off.
    """
    operation = "grind thrust faces"
    limit = ctx.limit("end play")
    gap = ctx.size("crankshaft", "thrust gap")
    thick = next(
        (e for e in _washers(ctx, part) if e.key.characteristic == "thrust washer thickness"), None
    )
    if ctx.can(operation) or limit is None or limit.new is None or limit.new.width is None:
        return None
    if gap is None or thick is None:
        return None
    middle = limit.new.middle
    hit = ctx.hit(operation, "end play", f"{operation}, end play")
    play = Estimate(middle, hit)
    rank = rank_of("part") + 1
    off = (thick.low.scaled(Fraction(2)) - gap.high).shifted(middle)
    return replace(
        fitted,
        name=f"grind, {part.name}",
        words=f"grind the thrust faces and fit {part.name}",
        effects=(*fitted.effects, SetTo(Key("crankshaft", "end play"), play, play, rank)),
        work=(Work(operation, ("crankshaft",)), *fitted.work),
        needs=(
            Need(
                "thrust faces clean up",
                off,
                f"{part.name} would leave no metal to take off the thrust faces",
            ),
        ),
    )

"""What every way of renewing cylinders has in common: pistons, rings, the radius that is worn."""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.engine.dimension import How, Key
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.forms import Effect, SetTo
from sparkout.plan.options.context import Context, rank_of
from sparkout.sheet.model import PartSpec

__all__ = ["BORE_FORMS", "number_of", "pistons", "renewed_rings", "worn_radius"]

BORE_FORMS = (
    "bore out-of-round",
    "bore taper",
    "bore squareness",
    "bore texture",
    "bore crosshatch",
)


def number_of(bore: str) -> str:
    return bore.rsplit(" ", 1)[-1]


def pistons(ctx: Context, part: PartSpec, bores: list[str]) -> list[Effect]:
    return [
        effect for bore in bores for effect in ctx.all_brought(part, f"piston {number_of(bore)}")
    ]


def renewed_rings(ctx: Context, bores: list[str]) -> list[Effect]:
    """New rings come as their limits ask for new; the gap is filed to it at the bench."""
    effects: list[Effect] = []
    for feature in ctx.frame.of_kind("ring"):
        for characteristic in ("ring gap", "ring groove clearance"):
            limit = ctx.limit(characteristic, *feature.tags)
            if limit is None or limit.new is None or limit.new.width is None:
                continue
            assert limit.new.low is not None
            assert limit.new.high is not None
            effects.append(
                SetTo(
                    Key(feature.name, characteristic),
                    Estimate(limit.new.low),
                    Estimate(limit.new.high),
                    rank_of("part"),
                    How.ASSUMED,
                )
            )
    return effects


def worn_radius(ctx: Context, bore: str) -> Estimate | None:
    """Radius of the worn bore where its wall was measured, about the centre it is bored on.

    Two-point readings do not say which side is worn: the wall may have lost half of the wear or
    all of it. Anything in between is taken as equally likely.
    """
    found = ctx.size(bore, "bore diameter")
    if found is None:
        return None
    wear = found.high.value - found.low.value
    half_of_it = found.low.value / 2 + wear / 2
    quarter = float(wear) / 4
    part = Component(f"side of the wear, {bore}", quarter / math.sqrt(3), Shape.RECTANGULAR)
    middle = Estimate(half_of_it + wear / 4, (part,) if quarter else ())
    return middle.with_components(*found.high.scaled(Fraction(1, 2)).components)

"""Main housings: as they are, or the whole line honed or bored round and straight."""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.engine.moves import moves_of
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.forms import Effect, Group, Option, ShiftBy, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.sheet.model import Bounds

__all__ = ["main_line"]

# After a new part: a pair of gears brings its backlash at the centres it was made for.
_AFTER_PARTS = rank_of("part") + 5


def main_line(ctx: Context) -> Group | None:
    """The main housings: as they are, or caps cut and the whole line honed (or bored) true.

    All saddles are done together (one line). Honing, cutting mostly in the caps, the centre line
    still goes up a little, by what the shop's file says of its machine; a bar set from the end
    bores may hold it. The deck and the cam come nearer by the lift.
    """
    housings = [feature.name for feature in ctx.frame.of_kind("main housing")]
    limit = ctx.limit("main housing diameter")
    measured = [name for name in housings if ctx.size(name, "main housing diameter")]
    if not measured or limit is None or limit.new is None:
        return None
    if limit.new.width is None or limit.new.low is None:
        return None
    # low third of the tolerance: a housing grows in its life, never shrinks (common practice)
    target = limit.new.low + limit.new.width / 3
    options = [
        Option("leave", "leave the main housings"),
        _made(ctx, "align-hone mains", "align-hone", housings, target),
    ]
    if not ctx.can("line-bore mains"):
        options.append(_made(ctx, "line-bore mains", "line-bore", housings, target))
    return Group("main housings", tuple(housings), tuple(options), "leave")


def _made(
    ctx: Context, operation: str, verb: str, housings: list[str], target: Fraction
) -> Option:  # fmt: skip
    effects: list[Effect] = []
    for name in housings:
        effects.append(ctx.machined(name, "main housing diameter", target, operation))
        form = ctx.formed(name, "main housing out-of-round", operation)
        if form is not None:
            effects.append(form)
    for characteristic in ("main line straightness", "main line step"):
        straight = ctx.formed("block", characteristic, operation)
        if straight is not None:
            effects.append(straight)
    lift = ctx.held(operation, "crank lift")
    if lift is not None and lift.high is not None:
        effects.extend(_lifted(ctx, operation, lift))
    return Option(
        operation,
        f"cut the caps and {verb} all main housings",
        tuple(effects),
        (Work(operation, tuple(housings)),),
        impossible=ctx.can(operation),
    )


def _lifted(ctx: Context, operation: str, lift: Bounds) -> list[Effect]:
    """The centre line goes up by something between two figures: any of them equally likely.

    Gears on the crank mesh deeper: backlash loses 2 · lift · tan α (α pressure angle, the centres
    one above the other), where the data sheet gives the angle.
    """
    low, high = lift.low if lift.low is not None else Fraction(0), lift.high
    assert high is not None
    half = float(high - low) / 2
    unknown = Component("centre-line lift", half / 3**0.5, Shape.RECTANGULAR)
    up = Estimate((low + high) / 2, (unknown,) if half else ())
    effects: list[Effect] = [
        ShiftBy(Key(feature, move.characteristic), up.scaled(move.per), rank_of(operation))
        for move in moves_of("align-hone mains")
        for feature in ctx.reached(move.kind, move.reach, None, "")
    ]
    angle = ctx.nominal("gear pressure angle")
    if angle is not None:
        per = 2 * Fraction(math.tan(math.radians(float(angle)))).limit_denominator(100_000)
        effects += [
            ShiftBy(Key(mesh.name, "gear backlash"), up.scaled(-per), _AFTER_PARTS)
            for mesh in ctx.frame.of_kind("gear mesh")
            if "crank" in mesh.name
        ]
    return effects

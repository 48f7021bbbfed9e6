"""Valve guides: left, replaced, lined, or reamed to a thicker stem."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Group, Need, Option, SetTo, Together, Use, Work
from sparkout.plan.options.context import Context, rank_of

__all__ = ["guide_group"]

_LAST = rank_of("part") + 1


def guide_group(ctx: Context, valve: str, side: str) -> Group | None:
    """A new guide, sized to its own stem. The seat's centre is lost with the old guide."""
    name = f"guide {valve}"
    limit = ctx.limit("stem clearance", side)
    part = next(iter(ctx.parts("guide", side)), None)
    if ctx.size(name, "guide diameter") is None or limit is None or limit.new is None:
        return None
    operation = "replace guide"
    made = Estimate(limit.new.middle, ctx.hit(operation, "stem clearance", f"{operation}, {valve}"))
    fit = SetTo(Key(name, "stem clearance"), made, made, rank_of(operation))
    uses = () if part is None else (Use(part.name, 1),)
    missing = "" if part is not None else f"no {side} guide on the data sheet"
    replaced = Option(
        "replace",
        f"press in a new guide {valve} sized to its stem",
        (fit,),
        (Work(operation, (name,)),),
        uses,
        together=(_seat_true(valve),),
        impossible=missing or ctx.can(operation) or ctx.supply_gap(*(use.part for use in uses)),
        days=ctx.days(*(use.part for use in uses)),
    )
    options = [
        Option("leave", f"leave guide {valve}"),
        replaced,
        _lined(ctx, valve, side, limit.new.middle),
        *_reamed(ctx, valve, side, limit.new.middle),
    ]
    return Group(name, (name,), tuple(o for o in options if o is not None), "leave")


def _seat_true(valve: str) -> Together:
    return Together(
        f"seat {valve}",
        ("recut", "insert", "oversize insert"),
        f"seat {valve} is recut true to the new guide",
    )


def _lined(ctx: Context, valve: str, side: str, middle: Fraction) -> Option | None:
    """A thin liner in the worn guide, sized to the stem that is in hand; where one is sold."""
    operation = "line guide"
    part = next(iter(ctx.parts("guide liner", side)), None)
    if part is None or ctx.can(operation):
        return None
    name = f"guide {valve}"
    made = Estimate(middle, ctx.hit(operation, "stem clearance", f"{operation}, {valve}"))
    return Option(
        "line",
        f"bore guide {valve} out, line it and size it to its stem",
        (SetTo(Key(name, "stem clearance"), made, made, rank_of("replace guide")),),
        (Work(operation, (name,)),),
        (Use(part.name, 1),),
        together=(_seat_true(valve),),
        impossible=ctx.supply_gap(part.name),
        days=ctx.days(part.name),
    )


def _reamed(ctx: Context, valve: str, side: str, middle: Fraction) -> list[Option]:
    """The guide reamed for a valve with a thicker stem, one option for each that is sold.

    The worn guide must have less than the new stem and its clearance take.
    """
    operation = "ream guide"
    found = ctx.size(f"guide {valve}", "guide diameter")
    if ctx.can(operation) or found is None:
        return []
    options = []
    for part in ctx.parts("oversize valve", side):
        stem = ctx.brought(part, f"valve {valve}", "stem diameter")
        words = f"ream guide {valve} and fit {part.name}"
        if stem is None:
            why = f"{part.name}: the data sheet gives no stem diameter"
            options.append(Option(f"ream, {part.name}", words, impossible=why))
            continue
        hit = ctx.hit(operation, "stem clearance", f"{operation}, {valve}")
        made = Estimate(middle, hit)
        bare = stem.low.shifted(middle) - found.high
        options.append(
            Option(
                f"ream, {part.name}",
                words,
                (
                    *ctx.all_brought(part, f"valve {valve}"),
                    SetTo(Key(f"guide {valve}", "stem clearance"), made, made, _LAST),
                ),
                (Work(operation, (f"guide {valve}",)),),
                (Use(part.name, 1),),
                (
                    Need(
                        f"guide {valve} cleans up",
                        bare,
                        f"guide {valve} is worn past what {part.name} is reamed to: "
                        f"{ctx.said(found.high.value, 'guide diameter')}",
                    ),
                ),
                (
                    _seat_true(valve),
                    Together(f"valve {valve}", ("leave",), f"{part.name} is the valve at {valve}"),
                ),
                impossible=ctx.supply_gap(part.name),
                days=ctx.days(part.name),
            )
        )
    return options

"""Ledges recut to one depth, shims under flanges: what sets how far liners stand out."""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.engine.dimension import How, Key
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import AmountSpec, Effect, Group, MoveBy, Option, SetTo, Use, Work
from sparkout.plan.options.context import Context, rank_of

__all__ = ["liner_groups"]


def liner_groups(ctx: Context) -> tuple[Group, ...]:
    ledges = [feature.name for feature in ctx.frame.of_kind("ledge")]
    measured = [name for name in ledges if ctx.size(name, "ledge depth")]
    if not measured:
        return ()
    groups = [_ledges(ctx, ledges, measured)]
    shims = ctx.parts("liner shim")
    if shims:
        groups += [_shim(ctx, feature.name) for feature in ctx.frame.of_kind("liner")]
    return tuple(groups)


def _ledges(ctx: Context, ledges: list[str], measured: list[str]) -> Group:
    """All ledges recut with one setting of the tool: to where the deepest just cleans, or deeper.

    Depths are from the deck as it is now; a deck cut afterwards makes every ledge shallower by it.
    """
    operation = "recut ledge"
    rate = ctx.operation(operation)
    step = rate.step if rate is not None and rate.step else Fraction(1, 100)
    sizes = [size for name in measured if (size := ctx.size(name, "ledge depth")) is not None]
    deepest = max(size.high.value for size in sizes)
    start = math.ceil(deepest / step) * step
    amount = "ledge depth below where the deepest cleans"
    effects: list[Effect] = []
    rank = rank_of(operation)
    for name in ledges:
        key = Key(name, "ledge depth")
        value = Estimate(start, ctx.hit(operation, "ledge depth", f"recut ledge, {name}"))
        effects.append(SetTo(key, value, value, rank, How.MACHINED, as_new=False))
        effects.append(MoveBy(key, amount, Fraction(1), rank + 1))
        for form in ("ledge spread", "ledge cupping"):
            left = ctx.formed(name, form, operation)
            if left is not None:
                effects.append(left)
    return Group(
        "ledges",
        tuple(ledges),
        (
            Option("leave", "leave the liner ledges"),
            Option(
                "recut",
                f"recut all liner ledges to {ctx.said(start, 'ledge depth')} or deeper",
                tuple(effects),
                (Work(operation, tuple(ledges)),),
                impossible=ctx.can(operation),
            ),
        ),
        "leave",
        (
            AmountSpec(
                amount,
                "recut",
                step,
                Fraction(0),
                Fraction(4, 10),
                done="the ledges are cut {} below where the deepest cleans",
            ),
        ),
    )


def _shim(ctx: Context, liner: str) -> Group:
    number = liner.rsplit(" ", 1)[-1]
    options = [Option("none", f"no shim under {liner}")]
    for part in ctx.parts("liner shim"):
        options.append(
            Option(
                part.name,
                f"{part.name} under the flange of {liner}",
                ctx.all_brought(part, liner),
                (),
                (Use(part.name, 1),),
                impossible=ctx.supply_gap(part.name),
                days=ctx.days(part.name),
            )
        )
    return Group(f"liner {number} shim", (liner,), tuple(options), "none")

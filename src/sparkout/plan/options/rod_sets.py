"""Rods replaced, one or as a set as they are sold; rods and pistons matched by weight."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import How, Key
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Effect, Group, Option, SetTo, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.sheet.model import PartSpec, Side

__all__ = ["matched_weights", "replaced_rods"]

_NEW = (
    "rod housing diameter",
    "rod housing out-of-round",
    "small end clearance",
    "rod length",
    "rod bend",
    "rod twist",
    "rod side clearance",
    "rod crack test",
)


def replaced_rods(ctx: Context) -> list[Group]:
    """New rods: one by one where they are sold singly, all together where they come as a set."""
    rods = [feature.name for feature in ctx.frame.of_kind("rod")]
    known = [name for name in rods if any(ctx.size(name, what) is not None for what in _NEW)]
    parts = ctx.parts("rod")
    single = [part for part in parts if _sold_in(ctx, part) == 1]
    sets = [part for part in parts if _sold_in(ctx, part) > 1]
    found = [_group(ctx, f"{rod} exchange", [rod], single) for rod in known if single]
    if sets and known:
        found.append(_group(ctx, "rods exchange", rods, sets))
    return found


def _sold_in(ctx: Context, part: PartSpec) -> int:
    supply = ctx.shop.supply.get(part.name)
    return 1 if supply is None else supply.sold_in


def _group(ctx: Context, label: str, rods: list[str], parts: list[PartSpec]) -> Group:
    what = "all rods" if len(rods) > 1 else rods[0]
    options = [Option("keep", f"keep {what}")]
    for part in parts:
        effects = [e for rod in rods for name in _all(part) if (e := _new(ctx, part, rod, name))]
        options.append(
            Option(
                part.name,
                f"replace {what}: {part.name}",
                tuple(effects),
                (),
                (Use(part.name, len(rods)),),
                impossible=ctx.supply_gap(part.name),
                days=ctx.days(part.name),
            )
        )
    return Group(label, tuple(rods), tuple(options))


def _all(part: PartSpec) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*part.sizes, *_NEW)))


def _new(ctx: Context, part: PartSpec, rod: str, name: str) -> SetTo | None:
    """As the part is sold, else as the sheet asks of a new one. A new rod has a new bush."""
    sold = ctx.brought(part, rod, name)
    if sold is not None:
        return sold
    if name == "small end clearance" and "rod bush diameter" in part.sizes:
        return None
    key = Key(rod, name)
    if BY_NAME[name].derive is Derive.TEST:
        passed = Estimate(Fraction(0))
        return SetTo(key, passed, passed, rank_of("part"), How.ASSUMED)
    limit = ctx.limit(name)
    bounds = None if limit is None else limit.side(Side.NEW)
    if bounds is None or bounds.high is None:
        return None
    low = bounds.low if bounds.low is not None else Fraction(0)
    return SetTo(key, Estimate(low), Estimate(bounds.high), rank_of("part"), How.ASSUMED)


def matched_weights(ctx: Context) -> list[Group]:
    """Rods, and pistons, brought to the weight of the lightest by taking metal off their pads.

    The lightest of those that are weighed and of new ones that may go in: metal only comes off.
    """
    return [
        group for kind in ("rod", "piston") if (group := _matched(ctx, kind)) is not None
    ]  # fmt: skip


def _matched(ctx: Context, kind: str) -> Group | None:
    operation, name = f"match {kind} weights", f"{kind} weight"
    features = [feature.name for feature in ctx.frame.of_kind(kind)]
    sizes = [size for each in features if (size := ctx.size(each, name)) is not None]
    if ctx.can(operation) or len(sizes) < len(features) or len(features) < 2:
        return None
    lows = [size.low.value for size in sizes]
    for part in ctx.parts(kind):
        sold = part.sizes.get(name)
        if sold is not None and sold.low is not None:
            lows.append(sold.low)
        lows += [
            size.low.value
            for key, size in ctx.state.new_parts.get(part.name, {}).items()
            if key.characteristic == name
        ]
    rank = rank_of("part") + 5
    effects: list[Effect] = []
    for each in features:
        made = Estimate(min(lows), ctx.hit(operation, name, f"{operation}, {each}"))
        effects.append(SetTo(Key(each, name), made, made, rank, as_new=False))
    return Group(
        f"{kind} weights",
        tuple(features),
        (
            Option("leave", f"leave the weights of the {kind}s"),
            Option(
                "match",
                f"match the {kind}s to the weight of the lightest",
                tuple(effects),
                (Work(operation, tuple(features)),),
            ),
        ),
        "leave",
    )

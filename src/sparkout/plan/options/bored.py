"""Cylinders bored to the next pistons, in this block or another; or honed and used again."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Effect, Group, Need, Option, SetTo, ShiftBy, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.cylinder_parts import (
    BORE_FORMS,
    number_of,
    pistons,
    renewed_rings,
    worn_radius,
)
from sparkout.sheet.model import PartSpec

__all__ = ["bored", "honed", "other_blocks"]


def bored(
    ctx: Context, bores: list[str], part: PartSpec, over: Fraction, sleeves: tuple[Group, ...]
) -> Option:
    """Bore and hone every cylinder to its own piston plus the clearance the sheet asks for new."""
    limit = ctx.limit("piston clearance")
    words = f"bore and hone {_named(ctx, bores, 'cylinder')} to {part.name}"
    if limit is None or limit.new is None or limit.new.width is None:
        return Option(part.name, words, impossible="no new piston clearance on the data sheet")
    effects: list[Effect] = pistons(ctx, part, bores)
    effects += renewed_rings(ctx, bores)
    needs = []
    sleeved = {group.features[0]: group.name for group in sleeves}
    for bore in bores:
        skirt = ctx.brought(part, f"piston {number_of(bore)}", "piston skirt diameter")
        if skirt is None:
            return Option(part.name, words, impossible=f"{part.name}: skirt diameter not known")
        hit = ctx.hit("hone cylinder", "bore diameter", f"hone cylinder, {bore}")
        clearance = Estimate(limit.new.middle, hit)
        low, high = skirt.low.shifted(limit.new.middle), skirt.high.shifted(limit.new.middle)
        low, high = low.with_components(*hit), high.with_components(*hit)
        rank = rank_of("hone cylinder")
        effects.append(SetTo(Key(bore, "bore diameter"), low, high, rank, size=over, free=True))
        effects.append(SetTo(Key(bore, "piston clearance"), clearance, clearance, rank))
        effects += _left_by_boring(ctx, bore, high)
        clean = ctx.size(bore, "bore clean-up diameter")
        if clean is not None:
            unless = ((sleeved[bore], "sleeve"),) if bore in sleeved else ()
            needs.append(
                Need(
                    f"{bore} cleans up",
                    low - clean.high,
                    f"{bore} does not clean up: "
                    f"{ctx.said(clean.high.value, 'bore diameter')} is needed",
                    unless=unless,
                )
            )
    return Option(
        part.name,
        words,
        tuple(effects),
        (Work("bore cylinder", tuple(bores)), Work("hone cylinder", tuple(bores))),
        (Use(part.name, len(bores)),),
        tuple(needs),
        impossible=ctx.can("bore cylinder")
        or ctx.can("hone cylinder")
        or ctx.supply_gap(part.name),
        days=ctx.days(part.name),
    )


def _left_by_boring(ctx: Context, bore: str, size: Estimate) -> list[Effect]:
    """Round, straight and without a score; with less wall by what was cut."""
    rank = rank_of("hone cylinder")
    forms = [ctx.formed(bore, name, "hone cylinder") for name in BORE_FORMS]
    effects: list[Effect] = [form for form in forms if form is not None]
    if ctx.size(bore, "bore score depth") is not None:
        nothing = Estimate(Fraction(0))
        effects.append(SetTo(Key(bore, "bore score depth"), nothing, nothing, rank))
    worn = worn_radius(ctx, bore)
    if worn is not None:
        cut = size.scaled(Fraction(1, 2)) - worn
        for wall in ("bore wall", "bore wall thrust side"):
            if ctx.size(bore, wall) is not None:
                effects.append(ShiftBy(Key(bore, wall), cut.scaled(-1), rank))
    return effects


def other_blocks(ctx: Context, bores: list[str], part: PartSpec, bored: Option) -> list[Option]:
    """Another block of the kind, bored to the same pistons: no clean-up and no wall to ask for."""
    found = []
    for block in ctx.parts("block"):
        effects = tuple(effect for effect in bored.effects if not isinstance(effect, ShiftBy))
        found.append(
            Option(
                f"{block.name}, {part.name}",
                f"fit another block ({block.name}) and bore it to {part.name}",
                effects,
                bored.work,
                (Use(block.name, 1), *bored.parts),
                impossible=bored.impossible or ctx.supply_gap(block.name),
                days=max(bored.days, ctx.days(block.name)),
            )
        )
    return found


def _named(ctx: Context, bores: list[str], kind: str) -> str:
    """`all cylinders`; `cylinder 3` where each is decided by itself; `the cylinder` of a single."""
    if len(bores) > 1:
        return f"all {kind}s"
    return f"{kind} {number_of(bores[0])}" if len(ctx.frame.of_kind("bore")) > 1 else f"the {kind}"


def honed(ctx: Context, bores: list[str], part: PartSpec | None) -> Option | None:
    """All bores honed round and straight, to the widest each already is, with new rings.

    part: pistons that go in; None keeps those that are there. Honing follows the bore, so it cleans
    up at the largest reading plus the least the hone takes; no score is honed out. Only where the
    shop's file says how round its hone leaves a bore.
    """
    operation = "hone cylinder"
    rate = ctx.operation(operation)
    sizes = {bore: ctx.size(bore, "bore diameter") for bore in bores}
    if rate is None or ctx.held(operation, "bore out-of-round") is None:
        return None
    least = rate.smallest_cut or rate.step or Fraction(0)
    rank = rank_of(operation)
    effects: list[Effect] = renewed_rings(ctx, bores) if part is not None else []
    if part is not None:
        effects += pistons(ctx, part, bores)
    rings = () if part is not None else ctx.parts("ring set")[:1]
    if rings:
        effects += [e for e in renewed_rings(ctx, bores) if e.key.characteristic == "ring gap"]
    for bore, found in sizes.items():
        if found is None:
            return None
        hit = ctx.hit(operation, "bore diameter", f"{operation}, {bore}")
        size = found.high.shifted(least).with_components(*hit)
        effects.append(SetTo(Key(bore, "bore diameter"), size, size, rank, as_new=False))
        forms = [ctx.formed(bore, name, operation) for name in BORE_FORMS]
        effects += [form for form in forms if form is not None]
    names = (*(() if part is None else (part.name,)), *(ring.name for ring in rings))
    with_what = f", fit {part.name}" if part is not None else ", keep the pistons"
    return Option(
        "hone" if part is None else f"hone, {part.name}",
        f"hone {_named(ctx, bores, 'bore')} true{with_what}" + (", fit new rings" if rings else ""),
        tuple(effects),
        (Work(operation, tuple(bores)),),
        tuple(Use(name, len(bores)) for name in names),
        impossible=ctx.supply_gap(*names),
        days=ctx.days(*names),
        prefer=1,
    )

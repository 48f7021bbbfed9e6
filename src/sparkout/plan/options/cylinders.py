"""The cylinders: kept, bored to a size all of them reach, or fitted with new liners.

Which sizes exist is a matter of linked parts: bore size, piston height, liner kind. Each way that
exists for all of them is one option for the whole engine; a single bore beyond that size can be
sleeved instead.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.forms import Effect, Group, Need, Option, SetTo, ShiftBy, Together, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.pairing import pairing_groups
from sparkout.sheet.model import PartSpec

__all__ = ["cylinder_groups"]

_FORMS = ("bore out-of-round", "bore taper", "bore squareness", "bore texture", "bore crosshatch")


def cylinder_groups(ctx: Context) -> tuple[Group, ...]:
    bores = [feature.name for feature in ctx.frame.of_kind("bore")]
    if not any(ctx.size(name, "bore diameter") for name in bores):
        return ()
    sleeves = tuple(group for name in bores if (group := _sleeve(ctx, name)) is not None)
    options = [_kept(ctx, bores)]
    bored: list[str] = []
    for part in ctx.parts("piston"):
        if part.with_parts:
            options.append(_lined(ctx, bores, part))
            continue
        over = (part.for_bore or Fraction(0)) - (ctx.nominal("bore") or Fraction(0))
        if over > 0:
            option = _bored(ctx, bores, part, over, sleeves)
            bored.append(option.name)
            options.append(option)
            options += _other_block(ctx, bores, part, option)
        else:
            options.append(_new_pistons(ctx, bores, part))
    cylinders = Group("cylinders", tuple(bores), tuple(options))
    tied = tuple(_tied(group, tuple(bored)) for group in sleeves if bored)

    def fitted(
        option: Option, place: int, piece: int, sizes: Mapping[str, Dimension]
    ) -> tuple[tuple[Effect, ...], tuple[Need, ...]]:
        names = {use.part for use in option.parts}
        liner = next((part for part in ctx.parts("liner") if part.name in names), None)
        if liner is None or liner.supplied != "finished":
            return (), ()
        found = _fitted_bore(ctx, liner, f"bore {place}", piece)
        after = rank_of("fit dry liner") + 1
        return tuple(replace(effect, rank=after) for effect in found or ()), ()

    return (cylinders, *tied, *pairing_groups(ctx, cylinders, fitted))


def _number(bore: str) -> str:
    return bore.rsplit(" ", 1)[-1]


def _pistons(ctx: Context, part: PartSpec, bores: list[str]) -> list[Effect]:
    return [effect for bore in bores for effect in ctx.all_brought(part, f"piston {_number(bore)}")]


def _renewed_rings(ctx: Context, bores: list[str]) -> list[Effect]:
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


def _kept(ctx: Context, bores: list[str]) -> Option:
    rings = ctx.parts("ring set")
    names = tuple(part.name for part in rings[:1])
    gaps = [
        effect
        for effect in _renewed_rings(ctx, bores)
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
        (*_pistons(ctx, part, bores), *_renewed_rings(ctx, bores)),
        (Work("deglaze cylinder", tuple(bores)),),
        (Use(part.name, len(bores)),),
        impossible=ctx.supply_gap(part.name),
        days=ctx.days(part.name),
    )


def _bored(
    ctx: Context, bores: list[str], part: PartSpec, over: Fraction, sleeves: tuple[Group, ...]
) -> Option:
    """Bore and hone every cylinder to its own piston plus the clearance the sheet asks for new."""
    limit = ctx.limit("piston clearance")
    words = f"bore and hone all cylinders to {part.name}"
    if limit is None or limit.new is None or limit.new.width is None:
        return Option(part.name, words, impossible="no new piston clearance on the data sheet")
    effects: list[Effect] = _pistons(ctx, part, bores)
    effects += _renewed_rings(ctx, bores)
    needs = []
    sleeved = {group.features[0]: group.name for group in sleeves}
    for bore in bores:
        skirt = ctx.brought(part, f"piston {_number(bore)}", "piston skirt diameter")
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
    forms = [ctx.formed(bore, name, "hone cylinder") for name in _FORMS]
    effects: list[Effect] = [form for form in forms if form is not None]
    if ctx.size(bore, "bore score depth") is not None:
        nothing = Estimate(Fraction(0))
        effects.append(SetTo(Key(bore, "bore score depth"), nothing, nothing, rank))
    worn = _worn_radius(ctx, bore)
    if worn is not None:
        cut = size.scaled(Fraction(1, 2)) - worn
        for wall in ("bore wall", "bore wall thrust side"):
            if ctx.size(bore, wall) is not None:
                effects.append(ShiftBy(Key(bore, wall), cut.scaled(-1), rank))
    return effects


def _worn_radius(ctx: Context, bore: str) -> Estimate | None:
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


def _other_block(ctx: Context, bores: list[str], part: PartSpec, bored: Option) -> list[Option]:
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


def _lined(ctx: Context, bores: list[str], part: PartSpec) -> Option:
    """New liners with the pistons that go with them.

    A finished liner keeps its bore: pressed in with interference it closes by a share of it, which
    the data sheet gives. A rough one is bored and honed to its piston after pressing.
    """
    liner = next((p for p in ctx.parts("liner") if p.name in part.with_parts), None)
    words = f"fit new liners and {part.name}"
    if liner is None:
        why = f"the data sheet has no liner called {', '.join(part.with_parts)}"
        return Option(part.name, words, impossible=why)
    effects: list[Effect] = _pistons(ctx, part, bores)
    effects += _renewed_rings(ctx, bores)
    for bore in bores:
        number = _number(bore)
        effects += ctx.all_brought(liner, f"liner {number}")
        fitted = (
            _fitted_bore(ctx, liner, bore)
            if liner.supplied == "finished"
            else _sized_bore(ctx, part, bore)
        )
        if fitted is None:
            why = f"{bore}: how the liner fits is not known (parent bore or liner not measured)"
            return Option(part.name, words, impossible=why)
        effects.extend(fitted)
        effects.extend(_new_forms(ctx, bore))
    works = [Work("fit dry liner", tuple(bores))]
    if liner.supplied != "finished":
        works += [Work("bore cylinder", tuple(bores)), Work("hone cylinder", tuple(bores))]
    return Option(
        part.name,
        words,
        tuple(effects),
        tuple(works),
        (Use(liner.name, len(bores)), Use(part.name, len(bores))),
        impossible=ctx.supply_gap(part.name, liner.name) or ctx.can("fit dry liner"),
        days=ctx.days(part.name, liner.name),
    )


def _fitted_bore(
    ctx: Context, liner: PartSpec, bore: str, piece: int | None = None
) -> list[SetTo] | None:
    """The bore of a finished liner when it is in; piece: the one that goes in, else its own."""
    number = _number(bore)
    which = f"liner {number if piece is None else piece}"
    free = ctx.brought(liner, which, "liner inside diameter")
    outside = ctx.brought(liner, which, "liner outside diameter")
    parent = ctx.size(f"parent bore {number}", "parent bore diameter")
    share = ctx.nominal("liner closing")
    if free is None or outside is None or parent is None or share is None:
        return None
    low = free.low - _closing(outside, parent, share, tightest=True)
    high = free.high - _closing(outside, parent, share, tightest=False)
    return [SetTo(Key(bore, "bore diameter"), low, high, rank_of("fit dry liner"), free.how)]


def _closing(outside: SetTo, parent: Dimension, share: Fraction, *, tightest: bool) -> Estimate:
    """What interference takes off the bore: a share of it, nothing where there is clearance."""
    fit = outside.high - parent.low if tightest else outside.low - parent.high
    if fit.value <= 0:
        return Estimate(Fraction(0))
    return fit.scaled(share)


def _sized_bore(ctx: Context, part: PartSpec, bore: str) -> list[SetTo] | None:
    limit = ctx.limit("piston clearance")
    skirt = ctx.brought(part, f"piston {_number(bore)}", "piston skirt diameter")
    if limit is None or limit.new is None or limit.new.width is None or skirt is None:
        return None
    hit = ctx.hit("hone cylinder", "bore diameter", f"hone cylinder, {bore}")
    clearance = Estimate(limit.new.middle, hit)
    rank = rank_of("hone cylinder")
    low = skirt.low.shifted(limit.new.middle).with_components(*hit)
    high = skirt.high.shifted(limit.new.middle).with_components(*hit)
    return [
        SetTo(Key(bore, "bore diameter"), low, high, rank, free=True),
        SetTo(Key(bore, "piston clearance"), clearance, clearance, rank),
    ]


def _new_forms(ctx: Context, bore: str) -> list[SetTo]:
    """A new liner is as round and straight as the sheet asks of a new one: checked when fitted."""
    found = []
    for name in ("bore out-of-round", "bore taper"):
        limit = ctx.limit(name)
        if limit is not None and limit.new is not None and limit.new.high is not None:
            top = Estimate(limit.new.high)
            zero = Estimate(Fraction(0))
            rank = rank_of("fit dry liner")
            found.append(SetTo(Key(bore, name), zero, top, rank, How.ASSUMED))
    return found


def _sleeve(ctx: Context, bore: str) -> Group | None:
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
    number = _number(bore)
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
    worn = _worn_radius(ctx, bore)
    if wall is None or outside is None or outside.high is None or worn is None:
        return None
    return wall.low - worn.scaled(-1).shifted(outside.high / 2)


def _tied(group: Group, bored: tuple[str, ...]) -> Group:
    """A sleeve is only fitted where all cylinders are then bored to one size."""
    keep, sleeve = group.options
    together = (Together("cylinders", bored, "a sleeved bore is bored with the others"),)
    return Group(
        group.name,
        group.features,
        (
            keep,
            Option(
                sleeve.name,
                sleeve.words,
                sleeve.effects,
                sleeve.work,
                sleeve.parts,
                sleeve.needs,
                together,
                impossible=sleeve.impossible,
                days=sleeve.days,
            ),
        ),
        group.keep,
    )

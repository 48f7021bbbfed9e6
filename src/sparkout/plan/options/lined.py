"""New liners: finished or rough, dry or wet, in parent bores as they are or bored to them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.frame import CylinderKind
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Effect, Need, Option, SetTo, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.cylinder_parts import number_of, pistons, renewed_rings
from sparkout.sheet.model import PartSpec

__all__ = ["fitted_bore", "lined"]


def lined(ctx: Context, bores: list[str], part: PartSpec) -> tuple[Option, ...]:
    """New liners with the pistons that go with them.

    A finished liner keeps its bore: pressed in with interference it closes by a share of it, which
    the data sheet gives. A rough one is bored and honed to its piston after pressing. Where the
    shop bores parent bores, they may be made to the liners first: worn ones, or for liners of a
    larger outside.
    """
    liner = next((p for p in ctx.parts("liner") if p.name in part.with_parts), None)
    words = f"fit new liners and {part.name}"
    if liner is None:
        why = f"the data sheet has no liner called {', '.join(part.with_parts)}"
        return (Option(part.name, words, impossible=why),)
    ways = [_fitted(ctx, bores, part, liner, None)]
    limit = ctx.limit("liner fit")
    dry = ctx.frame.cylinder_kind is not CylinderKind.WET_LINER
    if dry and not ctx.can("hone parent bore"):
        ways.append(_fitted(ctx, bores, part, liner, None, honed=True))
    asked = None if limit is None else limit.new
    if dry and not ctx.can("bore parent bore") and asked is not None and asked.width is not None:
        ways.append(_fitted(ctx, bores, part, liner, asked.middle))
    return tuple(ways)


def _fitted(
    ctx: Context,
    bores: list[str],
    part: PartSpec,
    liner: PartSpec,
    fit: Fraction | None,
    *,
    honed: bool = False,
) -> Option:
    """One way of fitting them. fit: interference that parent bores are made to; None: as they are,
    or honed round to the widest that each already is.

    Wet liners drop in: nothing closes.
    """
    name = part.name if fit is None else f"{part.name}, parent bores bored"
    words = f"fit new liners and {part.name}"
    if honed:
        name = f"{part.name}, parent bores honed"
        words = f"hone the parent bores true, fit new liners and {part.name}"
    if fit is not None:
        words = f"bore the parent bores to new liners, fit them and {part.name}"
    effects: list[Effect] = pistons(ctx, part, bores)
    effects += renewed_rings(ctx, bores)
    needs: list[Need] = []
    for bore in bores:
        effects += ctx.all_brought(liner, f"liner {number_of(bore)}")
        if fit is not None:
            made = _parent_to_liner(ctx, liner, bore, fit)
            if made is None:
                why = f"{bore}: outside of {liner.name} or its parent bore not known"
                return Option(name, words, impossible=why)
            effects += made[0]
            needs.append(made[1])
        parent = ctx.size(f"parent bore {number_of(bore)}", "parent bore diameter")
        if honed and parent is not None:
            parent = _honed(ctx, parent)
            effects += _left_by_honing(ctx, parent)
        if liner.supplied != "finished":
            fitted = _sized_bore(ctx, part, bore)
        elif fit is None:
            fitted = fitted_bore(ctx, liner, bore, parent=parent)
        else:
            fitted = _closed_by(ctx, liner, bore, fit)
        if fitted is None:
            why = f"{bore}: how the liner fits is not known (parent bore or liner not measured)"
            return Option(name, words, impossible=why)
        effects.extend(fitted)
        effects.extend(_new_forms(ctx, bore))
    wet = ctx.frame.cylinder_kind is CylinderKind.WET_LINER
    operation = "fit wet liner" if wet else "fit dry liner"
    operations = [operation]
    if fit is not None:
        operations.insert(0, "bore parent bore")
    if honed:
        operations.insert(0, "hone parent bore")
    if liner.supplied != "finished":
        operations += ["bore cylinder", "hone cylinder"]
    gaps = [gap for each in operations if (gap := ctx.can(each))]
    return Option(
        name,
        words,
        tuple(effects),
        tuple(Work(each, tuple(bores)) for each in operations),
        (Use(liner.name, len(bores)), Use(part.name, len(bores))),
        tuple(needs),
        impossible=ctx.supply_gap(part.name, liner.name) or (gaps[0] if gaps else ""),
        days=ctx.days(part.name, liner.name),
    )


def _honed(ctx: Context, found: Dimension) -> Dimension:
    """A parent bore honed true: at least as wide as it is anywhere, and what the hone takes."""
    operation = "hone parent bore"
    rate = ctx.operation(operation)
    least = (rate.smallest_cut or rate.step or Fraction(0)) if rate is not None else Fraction(0)
    hit = ctx.hit(operation, "parent bore diameter", f"{operation}, {found.key.feature}")
    size = found.high.shifted(least).with_components(*hit)
    return replace(found, low=size, high=size, how=How.MACHINED)


def _left_by_honing(ctx: Context, made: Dimension) -> list[Effect]:
    rank = rank_of("fit dry liner") - 1
    effects: list[Effect] = [SetTo(made.key, made.low, made.high, rank, as_new=False)]
    form = ctx.formed(made.key.feature, "parent bore out-of-round", "hone parent bore")
    if form is not None:
        effects.append(form)
    return effects


def _parent_to_liner(
    ctx: Context, liner: PartSpec, bore: str, fit: Fraction
) -> tuple[list[Effect], Need] | None:
    """A parent bore made to its liner in hand, less the interference asked for; metal it needs."""
    number = number_of(bore)
    parent = f"parent bore {number}"
    outside = ctx.brought(liner, f"liner {number}", "liner outside diameter")
    found = ctx.size(parent, "parent bore diameter")
    if outside is None or found is None:
        return None
    operation = "bore parent bore"
    rank = rank_of("fit dry liner") - 1
    hit = ctx.hit(operation, "parent bore diameter", f"{operation}, {parent}")
    low = outside.low.shifted(-fit).with_components(*hit)
    high = outside.high.shifted(-fit).with_components(*hit)
    made = Estimate(fit, hit)
    effects: list[Effect] = [
        SetTo(Key(parent, "parent bore diameter"), low, high, rank, free=True),
        SetTo(Key(f"liner {number}", "liner fit"), made, made, rank),
    ]
    form = ctx.formed(parent, "parent bore out-of-round", operation)
    if form is not None:
        effects.append(form)
    need = Need(
        f"{parent} has metal to bore",
        low - found.high,
        f"{parent} is already {ctx.said(found.high.value, 'parent bore diameter')}: "
        f"{liner.name} would be loose in it",
    )
    return effects, need


def _closed_by(ctx: Context, liner: PartSpec, bore: str, fit: Fraction) -> list[SetTo] | None:
    """The bore of a finished liner in a parent bore made to a known interference."""
    free = ctx.brought(liner, f"liner {number_of(bore)}", "liner inside diameter")
    share = ctx.nominal("liner closing")
    if free is None or share is None:
        return None
    off = max(fit, Fraction(0)) * share
    hit = ctx.hit("bore parent bore", "parent bore diameter", f"bore parent bore, {bore}")
    parts = tuple(part.scaled(float(share)) for part in hit)
    low, high = (end.shifted(-off).with_components(*parts) for end in (free.low, free.high))
    return [SetTo(Key(bore, "bore diameter"), low, high, rank_of("fit dry liner"), free.how)]


def fitted_bore(
    ctx: Context,
    liner: PartSpec,
    bore: str,
    piece: int | None = None,
    *,
    parent: Dimension | None = None,
) -> list[SetTo] | None:
    """The bore of a finished liner when it is in.

    piece: the one that goes in, else its own. parent: its parent bore, else as it was read.
    """
    number = number_of(bore)
    which = f"liner {number if piece is None else piece}"
    free = ctx.brought(liner, which, "liner inside diameter")
    outside = ctx.brought(liner, which, "liner outside diameter")
    if parent is None:
        parent = ctx.size(f"parent bore {number}", "parent bore diameter")
    share = ctx.nominal("liner closing")
    if free is not None and ctx.frame.cylinder_kind is CylinderKind.WET_LINER:
        key = Key(bore, "bore diameter")
        return [SetTo(key, free.low, free.high, rank_of("fit dry liner"), free.how)]
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
    skirt = ctx.brought(part, f"piston {number_of(bore)}", "piston skirt diameter")
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

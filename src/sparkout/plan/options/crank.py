"""Crankshaft and its housings: align-hone, grind a family to one undersize, thrust washers."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.engine.moves import moves_of
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.forms import Effect, Group, Need, Option, SetTo, ShiftBy, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.sheet.model import Bounds, PartSpec

__all__ = ["crank_groups"]


def crank_groups(ctx: Context) -> tuple[Group, ...]:
    found = (
        _main_line(ctx),
        _journals(ctx, "main", "main journal", "main shell", "main shells"),
        _journals(ctx, "rod", "rod journal", "rod shell", "rod shells"),
        _washers(ctx),
    )
    return tuple(group for group in found if group is not None)


def _main_line(ctx: Context) -> Group | None:
    """The main housings: as they are, or caps cut and the whole line honed round and straight.

    All saddles are honed together (one line). Cutting mostly in the caps, the centre line still
    goes up a little, by what the shop's file says of its machine; the deck comes nearer by that.
    """
    housings = [feature.name for feature in ctx.frame.of_kind("main housing")]
    limit = ctx.limit("main housing diameter")
    measured = [name for name in housings if ctx.size(name, "main housing diameter")]
    if not measured or limit is None or limit.new is None:
        return None
    operation = "align-hone mains"
    if limit.new.width is None or limit.new.low is None:
        return None
    # low third of the tolerance: a housing grows in its life, never shrinks (common practice)
    target = limit.new.low + limit.new.width / 3
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
    return Group(
        "main housings",
        tuple(housings),
        (
            Option("leave", "leave the main housings"),
            Option(
                operation,
                "cut the caps and align-hone all main housings",
                tuple(effects),
                (Work(operation, tuple(housings)),),
                impossible=ctx.can(operation),
            ),
        ),
        "leave",
    )


def _lifted(ctx: Context, operation: str, lift: Bounds) -> list[Effect]:
    """The centre line goes up by something between two figures: any of them equally likely."""
    low, high = lift.low if lift.low is not None else Fraction(0), lift.high
    assert high is not None
    half = float(high - low) / 2
    unknown = Component("centre-line lift", half / 3**0.5, Shape.RECTANGULAR)
    up = Estimate((low + high) / 2, (unknown,) if half else ())
    return [
        ShiftBy(Key(feature, move.characteristic), up.scaled(move.per), rank_of(operation))
        for move in moves_of(operation)
        for feature in ctx.reached(move.kind, move.reach, None, "")
    ]


def _journals(ctx: Context, family: str, kind: str, shell: str, part_kind: str) -> Group | None:
    """All journals of one family: polished as they are, or ground to one undersize together.

    One shell set and one balance for the family; grinding one pin alone is not offered because a
    shaft with mixed undersizes cannot take a set of shells (common practice; several Army manuals
    say grind all when one is ground).
    """
    journals = [feature.name for feature in ctx.frame.of_kind(kind)]
    if not any(ctx.size(name, f"{kind} diameter") for name in journals):
        return None
    options = [_polished(ctx, kind, part_kind, journals, shell)]
    options += [
        _ground(ctx, family, kind, journals, shell, part)
        for part in ctx.parts(part_kind)
        if part.undersize
    ]
    return Group(f"{kind}s", tuple(journals), tuple(options), "polish")


def _shells(ctx: Context, part: PartSpec | None, shell: str) -> tuple[SetTo, ...]:
    if part is None:
        return ()
    return tuple(
        effect
        for feature in ctx.frame.of_kind(shell)
        for effect in ctx.all_brought(part, feature.name)
    )


def _polished(ctx: Context, kind: str, part_kind: str, journals: list[str], shell: str) -> Option:
    standard = next((part for part in ctx.parts(part_kind) if not part.undersize), None)
    operation = "polish journals"
    effects: list[Effect] = list(_shells(ctx, standard, shell))
    polish = ctx.formed("crankshaft", "journal texture", operation)
    if polish is not None:
        effects.append(polish)
    return Option(
        "polish",
        f"polish the {kind}s, fit new shells of the size they stand at",
        tuple(effects),
        (Work(operation, tuple(journals)),),
        () if standard is None else (Use(standard.name, len(journals)),),
        impossible=ctx.can(operation)
        or ("" if standard is None else ctx.supply_gap(standard.name)),
        days=0 if standard is None else ctx.days(standard.name),
    )


def _ground(
    ctx: Context, family: str, kind: str, journals: list[str], shell: str, part: PartSpec
) -> Option:
    under = part.undersize or Fraction(0)
    limit = ctx.limit(f"{kind} diameter")
    operation = f"grind {kind}s"
    name = f"grind {-float(under):+.2f}".replace("-", "−")
    words = f"grind all {kind}s {ctx.said(under, 'end play')} under"
    if limit is None or limit.new is None or limit.new.width is None:
        why = f"the data sheet gives no new size for the {kind} diameter"
        return Option(name, words, impossible=why)
    target = limit.new.middle - under
    effects: list[Effect] = list(_shells(ctx, part, shell))
    needs = []
    for journal in journals:
        sized = ctx.machined(journal, f"{kind} diameter", target, operation, size=-under)
        effects.append(sized)
        for form in (f"{kind} out-of-round", f"{kind} taper"):
            left = ctx.formed(journal, form, operation)
            if left is not None:
                effects.append(left)
        if kind == "rod journal":
            effects.append(
                ShiftBy(
                    Key(journal, "throw"),
                    Estimate(Fraction(0), ctx.hit(operation, "throw", f"throw, {journal}")),
                    rank_of(operation),
                )
            )
        clean = ctx.size(journal, f"{kind} clean-up diameter")
        if clean is not None:
            needs.append(
                Need(
                    f"{journal} cleans up",
                    clean.low - sized.high,
                    f"{journal} does not clean up at {ctx.said(target, f'{kind} diameter')}: it "
                    f"is clean at {ctx.said(clean.low.value, f'{kind} diameter')}",
                )
            )
    texture = ctx.formed("crankshaft", "journal texture", operation)
    if texture is not None:
        effects.append(texture)
    return Option(
        name,
        words,
        tuple(effects),
        (
            Work(operation, tuple(journals)),
            Work("crack-test crankshaft", ("crankshaft",)),
        ),
        (Use(part.name, len(journals)),),
        tuple(needs),
        days=ctx.days(part.name),
        impossible=ctx.can(operation) or ctx.supply_gap(part.name),
    )


def _washers(ctx: Context) -> Group | None:
    """Thrust washers: as they are, or a new pair of known thickness."""
    if ctx.size("crankshaft", "thrust gap") is None:
        return None
    options = [Option("keep", "keep the thrust washers")]
    for part in ctx.parts("thrust washers"):
        effects = tuple(
            replace(effect, key=Key("crankshaft", effect.key.characteristic))
            for effect in ctx.all_brought(part, "crankshaft")
        )
        options.append(
            Option(
                part.name,
                f"fit {part.name}",
                effects,
                (Work("fit thrust washers", ("crankshaft",)),),
                (Use(part.name, 2),),
                days=ctx.days(part.name),
                impossible=ctx.supply_gap(part.name),
            )
        )
    return Group("thrust washers", ("crankshaft",), tuple(options))

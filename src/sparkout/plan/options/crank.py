"""Journals: kept, polished, ground to one undersize, built up, or brought by another crankshaft."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from sparkout.engine.dimension import How, Key
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Effect, Group, Need, Option, SetTo, ShiftBy, Together, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.mains import main_line
from sparkout.plan.options.shells import Shells, shell_grades, shells_by_size
from sparkout.plan.options.thrust import thrust_washers
from sparkout.sheet.model import PartSpec, Side

__all__ = ["crank_groups"]

_EXCHANGE = "another crankshaft"


def crank_groups(ctx: Context) -> tuple[Group, ...]:
    journals = (*_journals(ctx, "main journal"), *_journals(ctx, "rod journal"))
    found = (main_line(ctx), *journals, _exchanged(ctx, journals), thrust_washers(ctx))
    return tuple(group for group in found if group is not None)


def _journals(ctx: Context, kind: str) -> tuple[Group, ...]:
    """All journals of one family together, or each by itself where the sheet allows mixed sizes.

    One shell set and one balance for the family: grinding one pin alone is not offered, because a
    shaft with mixed undersizes cannot take a set of shells (common practice; several Army manuals
    say grind all when one is ground). Shells `supplied: singly` say that sizes may be mixed.
    """
    family = kind.removesuffix(" journal")
    journals = [feature.name for feature in ctx.frame.of_kind(kind)]
    if not any(ctx.size(name, f"{kind} diameter") for name in journals):
        return ()
    parts = ctx.parts(f"{family} shells")
    sizes = {part.undersize or Fraction(0) for part in parts}
    if len(sizes) > 1 and all(part.supplied == "singly" for part in parts):
        families = tuple(_family(ctx, kind, [name], name, parts) for name in journals)
    else:
        families = (_family(ctx, kind, journals, f"{kind}s", parts),)
    return (*families, *(shell for group in families for shell in shell_grades(ctx, group, parts)))


def _family(
    ctx: Context, kind: str, journals: list[str], label: str, parts: tuple[PartSpec, ...]
) -> Group:
    standing = _standing(ctx, kind, journals, parts)
    what = f"all {kind}s" if len(journals) > 1 else journals[0]
    shells = shells_by_size(parts)
    same = shells.get(standing, Shells())
    options = []
    if ctx.size("crankshaft", "journal texture") is not None:
        options.append(_kept(ctx, kind, journals, same, standing))
    options.append(_polished(ctx, kind, journals, same, standing))
    options += [
        _ground(ctx, kind, journals, what, some)
        for under, some in shells.items()
        if under > standing
    ]
    built = shells.get(Fraction(0))
    if built is not None and not ctx.can(f"build up {kind}s"):
        options.append(_built_up(ctx, kind, journals, what, built))
    if len(journals) == len(ctx.frame.of_kind(kind)):
        options += [
            _from_new(ctx, kind, journals, shaft, shells) for shaft in ctx.parts("crankshaft")
        ]
    return Group(label, tuple(journals), tuple(options), "polish")


def _standing(
    ctx: Context, kind: str, journals: list[str], parts: tuple[PartSpec, ...]
) -> Fraction:
    """The undersize the journals already stand at: the one sold that they are nearest to.

    A journal ground before by 0.25 is not 0.25 worn. The largest reading is the least worn place.
    """
    limit = ctx.limit(f"{kind} diameter")
    sizes = [size for name in journals if (size := ctx.size(name, f"{kind} diameter")) is not None]
    if limit is None or limit.new is None or limit.new.width is None or not sizes:
        return Fraction(0)
    least = max(size.high.value for size in sizes)
    sold = sorted({part.undersize or Fraction(0) for part in parts})
    return min(sold, key=lambda u: abs(limit.new.middle - u - least), default=Fraction(0))  # type: ignore[union-attr]


def _as_they_are(
    ctx: Context, kind: str, journals: list[str], same: Shells, standing: Fraction
) -> list[Effect]:
    """New shells; journals that were ground before are judged by the size they were ground to."""
    effects: list[Effect] = list(same.effects(ctx, journals))
    if standing:
        for name in journals:
            found = ctx.size(name, f"{kind} diameter")
            if found is not None:
                rank = rank_of(f"grind {kind}s") - 1
                effects.append(SetTo(found.key, found.low, found.high, rank, found.how,
                                     as_new=False, size=-standing))  # fmt: skip
    return effects


def _kept(ctx: Context, kind: str, journals: list[str], same: Shells, standing: Fraction) -> Option:
    """Nothing done to them. Only where their texture was read: else they are at least polished.

    Texture is read of the shaft, so what grinding the other family leaves must not excuse this one.
    """
    texture = ctx.size("crankshaft", "journal texture")
    limit = ctx.limit("journal texture")
    asked = None if limit is None else limit.side(Side.SERVICE)
    needs: tuple[Need, ...] = ()
    if texture is not None and asked is not None and asked.high is not None:
        read, most = texture.high.value, asked.high
        words = (
            f"the {kind}s are as rough as {ctx.said(read, 'journal texture')}; "
            f"{ctx.said(most, 'journal texture')} is allowed"
        )
        rough = texture.high.scaled(Fraction(-1)).shifted(most)
        needs = (Need(f"{journals[0]} smooth enough", rough, words),)
    return Option(
        "keep",
        f"keep the {kind}s as they are, fit new shells of the size they stand at",
        tuple(_as_they_are(ctx, kind, journals, same, standing)),
        (),
        same.uses(ctx, journals),
        needs=needs,
        impossible=same.gap(ctx),
        days=same.days(ctx),
        prefer=1,
    )


def _polished(
    ctx: Context, kind: str, journals: list[str], same: Shells, standing: Fraction
) -> Option:
    operation = "polish journals"
    effects = _as_they_are(ctx, kind, journals, same, standing)
    polish = ctx.formed("crankshaft", "journal texture", operation)
    if polish is not None:
        effects.append(polish)
    return Option(
        "polish",
        f"polish the {kind}s, fit new shells of the size they stand at",
        tuple(effects),
        (Work(operation, tuple(journals)),),
        same.uses(ctx, journals),
        impossible=ctx.can(operation) or same.gap(ctx),
        days=same.days(ctx),
    )


def _ground(
    ctx: Context, kind: str, journals: list[str], what: str, shells: Shells
) -> Option:  # fmt: skip
    under = shells.undersize
    limit = ctx.limit(f"{kind} diameter")
    operation = f"grind {kind}s"
    name = f"grind {-float(under):+.2f}".replace("-", "−")
    words = f"grind {what} {ctx.said(under, 'end play')} under"
    if limit is None or limit.new is None or limit.new.width is None:
        why = f"the data sheet gives no new size for the {kind} diameter"
        return Option(name, words, impossible=why)
    target = limit.new.middle - under
    effects, needs = _cut(ctx, kind, journals, shells, target)
    return Option(
        name,
        words,
        tuple(effects),
        (Work(operation, tuple(journals)), Work("crack-test crankshaft", ("crankshaft",))),
        shells.uses(ctx, journals),
        tuple(needs),
        days=shells.days(ctx),
        impossible=ctx.can(operation) or shells.gap(ctx),
    )


def _cut(
    ctx: Context, kind: str, journals: list[str], shells: Shells, target: Fraction
) -> tuple[list[Effect], list[Need]]:
    """What grinding to a size leaves, and the metal it needs to clean up."""
    under = shells.undersize
    operation = f"grind {kind}s"
    effects: list[Effect] = list(shells.effects(ctx, journals))
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
    return effects, needs


def _built_up(
    ctx: Context, kind: str, journals: list[str], what: str, shells: Shells
) -> Option:  # fmt: skip
    """Metal put on by a firm that does that, then ground back to standard: no clean-up to ask for.

    Offered only where the shop's file lists `build up main journals` (or rod journals).
    """
    limit = ctx.limit(f"{kind} diameter")
    words = f"have {what} built up and grind them to standard"
    if limit is None or limit.new is None or limit.new.width is None:
        why = f"the data sheet gives no new size for the {kind} diameter"
        return Option("build up", words, impossible=why)
    effects, _ = _cut(ctx, kind, journals, shells, limit.new.middle)
    operations = (f"build up {kind}s", f"grind {kind}s")
    return Option(
        "build up",
        words,
        tuple(effects),
        (
            *(Work(operation, tuple(journals)) for operation in operations),
            Work("crack-test crankshaft", ("crankshaft",)),
        ),
        shells.uses(ctx, journals),
        days=shells.days(ctx),
        impossible=ctx.can(operations[1]) or shells.gap(ctx),
    )


# Another shaft ------------------------------------------------------------------------------------


def _from_new(
    ctx: Context,
    kind: str,
    journals: list[str],
    shaft: PartSpec,
    by_size: Mapping[Fraction, Shells],
) -> Option:
    """The journals that another crankshaft brings, with shells of its undersize."""
    under = shaft.undersize or Fraction(0)
    shells = by_size.get(under, Shells())
    missing = "" if under in by_size or not by_size else f"no shells for {shaft.name}"
    effects: list[Effect] = list(shells.effects(ctx, journals))
    for journal in journals:
        names = (f"{kind} diameter", f"{kind} out-of-round", f"{kind} taper", "throw")
        for name in names:
            effect = _new_size(ctx, shaft, journal, name, under)
            if effect is not None:
                effects.append(effect)
    texture = _new_size(ctx, shaft, "crankshaft", "journal texture", under)
    return Option(
        shaft.name,
        f"the {kind}s of {shaft.name}",
        (*effects, *(() if texture is None else (texture,))),
        (),
        shells.uses(ctx, journals),
        together=(
            Together(_EXCHANGE, (shaft.name,), f"these journals come with {shaft.name}"),
        ),
        impossible=missing or ctx.supply_gap(shaft.name) or shells.gap(ctx),
        days=shells.days(ctx),
    )  # fmt: skip


def _new_size(
    ctx: Context, shaft: PartSpec, feature: str, characteristic: str, under: Fraction
) -> SetTo | None:
    """A size as the shaft is sold with it, else as the sheet asks of a new one."""
    sold = ctx.brought(shaft, feature, characteristic)
    size = -under if characteristic.endswith("diameter") else Fraction(0)
    if sold is not None:
        return replace(sold, size=size)
    limit = ctx.limit(characteristic)
    bounds = None if limit is None else limit.side(Side.NEW)
    if bounds is None or bounds.high is None or characteristic == "throw":
        return None
    low = bounds.low if bounds.low is not None else Fraction(0)
    key = Key(feature, characteristic)
    rank = rank_of("part")
    return SetTo(key, Estimate(low + size), Estimate(bounds.high + size), rank, How.ASSUMED,
                 size=size)  # fmt: skip


def _exchanged(ctx: Context, families: tuple[Group, ...]) -> Group | None:
    """Another crankshaft, new or reground: both families of journals come with it."""
    shafts = ctx.parts("crankshaft")
    families = tuple(g for g in families if any(s.name in _names(g) for s in shafts))
    if not families:
        return None
    options = [Option("keep", "keep the crankshaft")]
    for shaft in shafts:
        effects = [
            effect
            for name in ("crankshaft runout", "crankshaft flange runout", "fillet radius")
            if (effect := _new_size(ctx, shaft, "crankshaft", name, Fraction(0))) is not None
        ]
        passed = Estimate(Fraction(0))
        crack = Key("crankshaft", "crankshaft crack test")
        options.append(
            Option(
                shaft.name,
                f"fit {shaft.name}",
                (*effects, SetTo(crack, passed, passed, rank_of("part"))),
                (),
                (Use(shaft.name, 1),),
                together=tuple(
                    Together(group.name, (shaft.name,), f"journals come with {shaft.name}")
                    for group in families
                ),
                impossible=ctx.supply_gap(shaft.name),
                days=ctx.days(shaft.name),
            )
        )
    return Group(_EXCHANGE, ("crankshaft",), tuple(options))


def _names(group: Group) -> list[str]:
    return [option.name for option in group.options]

"""Everything that stands alone: one thing worn, one way to mend it, as new afterwards."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import How, Key
from sparkout.fits import FITS
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Effect, Group, Option, SetTo, Together, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.own import own_repairs
from sparkout.plan.options.repair_rows import GOES_WITH, LISTED, REPAIRS
from sparkout.sheet.model import PartSpec, RepairSpec

__all__ = ["repair_groups"]

_FORMS = (Derive.GAP, Derive.OUT_OF_ROUND, Derive.TAPER, Derive.SPREAD)


class _Set(NamedTuple):
    """Features decided together, with what the group is called and how it is spoken of."""

    label: str
    it: str
    features: tuple[str, ...]


def repair_groups(ctx: Context, taken: Collection[str] = ()) -> tuple[Group, ...]:
    """A group for every repair that something measured or tested could call for.

    taken: names of other groups; one that would be called the same is called a repair.
    """
    rows: dict[tuple[str, bool], list[RepairSpec]] = {}
    listed = (row for row in LISTED if _is_listed(ctx, row))
    # the maker's word on a repair goes before the program's of the same name
    own = {(repair.kind, repair.name) for repair in ctx.sheet.repairs}
    usual = (row for row in (*REPAIRS, *listed) if (row.kind, row.name) not in own)
    for repair in (*usual, *ctx.sheet.repairs, *own_repairs(ctx)):
        rows.setdefault((repair.kind, repair.together), []).append(repair)
    found: dict[str, Group] = {}
    asked: dict[tuple[str, str], tuple[str, str]] = {}
    for (kind, together), repairs in rows.items():
        names = [feature.name for feature in ctx.frame.of_kind(kind)]
        known = [name for name in names if any(_seen(ctx, name, r) for r in repairs)]
        if not known and _follows(ctx, kind):
            known = names
        for each in _sets(ctx, kind, together, known, repairs):
            label = f"{each.label} repair" if each.label in {*taken, *found} else each.label
            options = [Option("leave", f"leave {each.it}")]
            for repair in repairs:
                mended = _mended(ctx, repair, each)
                options += mended
                if tie := GOES_WITH.get((repair.kind, repair.name)):
                    asked |= {(label, option.name): tie for option in mended}
            found[label] = Group(label, each.features, tuple(options), "leave")
    return tuple(_tied(group, asked, found) for group in found.values())


def _is_listed(ctx: Context, row: RepairSpec) -> bool:
    if row.part and not ctx.parts(row.part):
        return False
    return not row.operation or row.operation in ctx.shop.operations


def _follows(ctx: Context, kind: str) -> bool:
    """Whether work on another kind of feature, which was looked at, calls for this one new."""
    others = [own for (own, _), (other, _) in GOES_WITH.items() if other == kind]
    return bool(ctx.parts(kind)) and any(
        ctx.size(feature.name, name) is not None
        for row in (*REPAIRS, *LISTED)
        if row.kind in others
        for feature in ctx.frame.of_kind(row.kind)
        for name in row.makes
    )


def _sets(
    ctx: Context, kind: str, together: bool, known: list[str], repairs: Iterable[RepairSpec]
) -> list[_Set]:
    """What is decided together: one by one, or all that take the same parts."""
    if not together:
        return [_Set(name, name, (name,)) for name in known]
    kinds = tuple(dict.fromkeys(repair.part for repair in repairs if repair.part))
    alike: dict[tuple[str, ...], list[str]] = {}
    for name in known:
        fits = tuple(part.name for each in kinds for part in _fitting(ctx, each, name))
        alike.setdefault(fits, []).append(name)
    found = []
    for names in alike.values():
        first = ctx.frame.feature(names[0])
        tag = f" {first.tags[0]}" if len(alike) > 1 and first is not None and first.tags else ""
        several = "es" if kind.endswith("sh") else "s"
        label = f"{kind}{several}{tag}"
        found.append(_Set(label, f"the {label}", tuple(names)))
    return found


def _fitting(ctx: Context, kind: str, feature: str) -> tuple[PartSpec, ...]:
    """Parts of a kind that go on a feature: for all, for its side, or for it alone."""
    own = ctx.frame.feature(feature)
    tags = (feature, *(own.tags if own is not None else ()))
    return tuple(part for part in ctx.parts(kind) if not part.fits or part.fits in tags)


def _seen(ctx: Context, feature: str, repair: RepairSpec) -> bool:
    """Whether anything this repair makes new is known of a feature, itself or through its fit."""
    for characteristic in repair.makes:
        if ctx.size(feature, characteristic) is not None:
            return True
        fit = FITS.get(characteristic)
        if fit is None:
            continue
        own = ctx.frame.feature(feature)
        if own is not None and all(
            (partner := term.where(ctx.frame, own)) is not None
            and ctx.size(partner, term.characteristic) is not None
            for term in fit.terms
        ):
            return True
    return False


def _mended(ctx: Context, repair: RepairSpec, each: _Set) -> list[Option]:
    """One option; where several parts would do, one for each of them."""
    if not repair.part:
        return [_option(ctx, repair, each, None, repair.name, "")]
    parts = _fitting(ctx, repair.part, each.features[0])
    if not parts:
        missing = f"no {repair.part} on the data sheet"
        return [_option(ctx, repair, each, None, repair.name, missing)]
    several = len(parts) > 1
    return [
        _option(ctx, repair, each, part, part.name if several else repair.name, "")
        for part in parts
    ]


def _option(
    ctx: Context, repair: RepairSpec, each: _Set, part: PartSpec | None, name: str, missing: str
) -> Option:
    effects: list[Effect] = []
    for feature in each.features:
        for characteristic in repair.makes:
            effect = _as_new(ctx, repair, part, feature, characteristic)
            if effect is not None:
                effects.append(effect)
    said = repair.words.replace("{it}", each.features[0])
    if part is not None and name == part.name:
        said = f"{said}: {part.name}"
    return Option(
        name,
        said,
        tuple(effects),
        (Work(repair.operation, each.features),) if repair.operation else (),
        () if part is None else (Use(part.name, len(each.features)),),
        impossible=missing
        or (ctx.can(repair.operation) if repair.operation else "")
        or (ctx.supply_gap(part.name) if part is not None else ""),
        days=0 if part is None else ctx.days(part.name),
    )


def _as_new(
    ctx: Context, repair: RepairSpec, part: PartSpec | None, feature: str, characteristic: str
) -> SetTo | None:
    """What a mended characteristic measures: as the part is sold, as the shop's work leaves it, or
    as the sheet asks of new.

    Tests count as passed.
    """
    derive = BY_NAME[characteristic].derive
    rank = rank_of("part")
    key = Key(feature, characteristic)
    how = How.ASSUMED if repair.part else How.MACHINED
    nothing = Estimate(Fraction(0))
    if derive is Derive.TEST:
        return SetTo(key, nothing, nothing, rank, how)
    fit = FITS.get(characteristic)
    sold = {} if part is None or repair.operation else part.sizes
    if fit is not None and any(term.characteristic in sold for term in fit.terms):
        # a new follower in a worn bore runs in the worn bore: the fit follows from what is sold
        return None
    own = ctx.frame.feature(feature)
    limit = ctx.limit(characteristic, *(own.tags if own is not None else ()))
    bounds = None if limit is None else limit.side("new")
    if part is not None and characteristic in part.sizes:
        bounds = part.sizes[characteristic]
    elif repair.operation:
        held = ctx.held(repair.operation, characteristic)
        if held is not None and held.low is not None and held.high == -held.low:
            # about a target: the middle of what is asked of a new one
            if bounds is None or bounds.low is None or bounds.high is None:
                return None
            hit = ctx.hit(repair.operation, characteristic, f"{repair.operation}, {feature}")
            middle = Estimate(bounds.middle, hit)
            return SetTo(key, middle, middle, rank, how)
        if held is not None and (derive in _FORMS or held.width is not None):
            bounds = held
    if bounds is None:
        return None
    low = bounds.low if bounds.low is not None else bounds.high
    high = bounds.high if bounds.high is not None else bounds.low
    assert low is not None
    assert high is not None
    return SetTo(key, Estimate(low), Estimate(high), rank, how)


def _tied(
    group: Group, asked: Mapping[tuple[str, str], tuple[str, str]], found: Mapping[str, Group]
) -> Group:  # fmt: skip
    """The group with what must be new together with some of its options: the sets of a kind."""
    options = []
    for option in group.options:
        kind, words = asked.get((group.name, option.name), ("", ""))
        ties = tuple(
            Together(
                other.name, tuple(o.name for o in other.options if o.name != other.keep), words
            )
            for other in found.values()
            if kind and other.name.startswith(f"{kind}s")
        )
        options.append(replace(option, together=ties) if ties else option)
    return replace(group, options=tuple(options))

"""Everything that stands alone: one thing worn, one way to mend it, as new afterwards.

A row says what is decided together (springs and followers go in sets), by which operation or kind
of part (one per feature), and what is as new afterwards. A data sheet can add rows of its own: they
need no code.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import How, Key
from sparkout.fits import FITS
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import Effect, Group, Option, SetTo, Use, Work
from sparkout.plan.options.context import Context, rank_of
from sparkout.sheet.model import Bounds, PartSpec, RepairSpec

__all__ = ["REPAIRS", "repair_groups"]


REPAIRS: tuple[RepairSpec, ...] = (
    RepairSpec("spring", "new set", "fit a new set of valve springs",
           ("spring free length", "spring load", "spring squareness"), part="spring",
           together=True),
    RepairSpec("follower", "new set", "fit new followers, all together",
           ("follower diameter", "follower clearance", "follower foot"), part="follower",
           together=True),
    RepairSpec("pushrod", "replace", "fit a new {it}", ("pushrod runout",), part="pushrod"),
    RepairSpec("rod bolt", "new set", "fit a new set of rod bolts", ("rod bolt length",),
           part="rod bolt", together=True),
    RepairSpec("damper", "replace", "fit a new damper", ("damper mark offset", "damper runout"),
           part="damper"),
    RepairSpec("oil pump", "lap", "lap the oil pump body", ("oil pump end clearance",),
           operation="lap oil pump"),
    RepairSpec("oil pump", "replace", "fit a new oil pump",
           ("oil pump end clearance", "oil pump radial clearance"), part="oil pump"),
    RepairSpec("cam journal", "new bushes", "fit new cam bushes and ream them in line",
           ("cam clearance",), operation="fit cam bushes", part="cam bush", together=True),
    RepairSpec("rocker", "bush", "bush {it}", ("rocker clearance",), operation="bush rocker"),
    RepairSpec("lobe", "regrind", "regrind the camshaft", ("lobe lift",),
           operation="regrind camshaft", together=True),
    RepairSpec("flywheel", "skim", "skim the flywheel", ("flywheel runout",),
           operation="skim flywheel"),
    RepairSpec("crankshaft", "straighten", "straighten the crankshaft", ("crankshaft runout",),
           operation="straighten crankshaft"),
    RepairSpec("gear mesh", "replace", "fit new gears at {it}", ("gear backlash", "gear runout"),
           part="gears"),
    RepairSpec("parent bore", "hone", "hone all parent bores true",
           ("parent bore out-of-round",), operation="hone parent bore", together=True),
)  # fmt: skip


def repair_groups(ctx: Context) -> tuple[Group, ...]:
    """A group for every repair that something measured or tested could call for."""
    rows: dict[tuple[str, bool], list[RepairSpec]] = {}
    for repair in (*REPAIRS, *ctx.sheet.repairs):
        rows.setdefault((repair.kind, repair.together), []).append(repair)
    found: list[Group] = []
    for (kind, together), repairs in rows.items():
        names = [feature.name for feature in ctx.frame.of_kind(kind)]
        known = [name for name in names if any(_seen(ctx, name, r) for r in repairs)]
        sets = [known] if together and known else [[name] for name in known]
        for features in sets:
            label = f"{kind}s" if together else features[0]
            options = [Option("leave", f"leave {'the ' if together else ''}{label}")]
            options += [_mended(ctx, repair, features) for repair in repairs]
            found.append(Group(label, tuple(features), tuple(options), "leave"))
    return tuple(found)


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


def _mended(ctx: Context, repair: RepairSpec, features: list[str]) -> Option:
    part = next(iter(ctx.parts(repair.part)), None) if repair.part else None
    effects: list[Effect] = []
    for feature in features:
        for characteristic in repair.makes:
            bounds = _as_new(ctx, part, feature, characteristic)
            if bounds is None:
                continue
            low = bounds.low if bounds.low is not None else bounds.high
            high = bounds.high if bounds.high is not None else bounds.low
            assert low is not None
            assert high is not None
            effects.append(
                SetTo(
                    Key(feature, characteristic),
                    Estimate(low),
                    Estimate(high),
                    rank_of("part"),
                    How.ASSUMED if repair.part else How.MACHINED,
                )
            )
    said = repair.words.replace("{it}", features[0])
    missing = "" if not repair.part or part else f"no {repair.part} on the data sheet"
    return Option(
        repair.name,
        said,
        tuple(effects),
        (Work(repair.operation, tuple(features)),) if repair.operation else (),
        () if part is None else (Use(part.name, len(features)),),
        impossible=missing
        or (ctx.can(repair.operation) if repair.operation else "")
        or (ctx.supply_gap(part.name) if part is not None else ""),
        days=0 if part is None else ctx.days(part.name),
    )


def _as_new(
    ctx: Context, part: PartSpec | None, feature: str, characteristic: str
) -> Bounds | None:
    """What a mended characteristic measures: as the part is sold, or as the sheet asks of new.

    Tests count as passed.
    """
    if BY_NAME[characteristic].derive is Derive.TEST:
        return Bounds(Fraction(0), Fraction(0))
    if part is not None and characteristic in part.sizes:
        return part.sizes[characteristic]
    own = ctx.frame.feature(feature)
    limit = ctx.limit(characteristic, *(own.tags if own is not None else ()))
    return None if limit is None else limit.side("new")

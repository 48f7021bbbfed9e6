"""Each valve's place in the head: guide, seat and valve, in the order they must be decided."""

from __future__ import annotations

import math
from fractions import Fraction

from sparkout.engine.dimension import How, Key
from sparkout.engine.moves import moves_of
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import (
    AmountSpec,
    Effect,
    Group,
    MoveBy,
    Need,
    Option,
    SetTo,
    ShiftBy,
    Use,
    Work,
)
from sparkout.plan.options.context import Context, rank_of
from sparkout.plan.options.decks import head_cut
from sparkout.plan.options.guides import guide_group
from sparkout.plan.options.springs import spring_shim
from sparkout.sheet.model import PartSpec

__all__ = ["valve_groups"]

_SEAT_FORMS = ("seat runout", "seat width", "vacuum drop", "seat pit depth")


def valve_groups(ctx: Context) -> tuple[Group, ...]:
    found: list[Group] = []
    for feature in ctx.frame.of_kind("seat"):
        valve = feature.name.rsplit(" ", 1)[-1]
        side = feature.tags[0] if feature.tags else ""
        for make in (guide_group, _seat, _valve, spring_shim):
            group = make(ctx, valve, side)
            if group is not None:
                found.append(group)
    tips = _tips(ctx)
    return tuple(found) if tips is None else (*found, tips)


def _tips(ctx: Context) -> Group | None:
    """All stem tips dressed by one amount, where this shop does that and tip heights were read."""
    operation = "grind stem tips"
    rate = ctx.operation(operation)
    valves = [item.name for item in ctx.frame.of_kind("valve")]
    if rate is None or not any(ctx.size(name, "tip height") for name in valves):
        return None
    amount = "taken off every stem tip"
    step = rate.step if rate.step else Fraction(2, 100)
    dress = Option(
        "dress",
        "dress all stem tips square, by one amount",
        ctx.moved(operation, amount),
        (Work(operation, tuple(valves)),),
    )
    return Group(
        "stem tips",
        tuple(valves),
        (Option("leave", "leave the stem tips"), dress),
        "leave",
        # a hardened tip is thin: common practice takes little; the search ends at 0.5 mm
        (
            AmountSpec(
                amount, "dress", step, step, Fraction(1, 2), done="{} is taken off every stem tip"
            ),
        ),
    )


def _new_margin(ctx: Context, part: PartSpec) -> Estimate | None:
    """The margin of a new valve, where the sheet says: as sold, else its limit for new."""
    limit = ctx.limit("valve margin")
    bounds = part.sizes.get("valve margin") or (None if limit is None else limit.new)
    return None if bounds is None or bounds.low is None else Estimate(bounds.low)


def _part(ctx: Context, kind: str, side: str) -> PartSpec | None:
    return next(iter(ctx.parts(kind, side)), None)


def _seat(ctx: Context, valve: str, side: str) -> Group | None:
    """The seat: as it is, recut (the valve sinks by an amount), or a new insert.

    Recutting takes at least what the shop's file says a clean-up takes; more may be cut to bring
    the recession up. A new insert is cut to the middle of the new recession, after the face is
    final.
    """
    seat = f"seat {valve}"
    if ctx.size(seat, "valve recession") is None:
        return None
    return Group(
        seat,
        (seat,),
        tuple(
            option
            for option in (
                Option("leave", f"leave seat {valve}"),
                _recut(ctx, valve, seat),
                _insert(ctx, valve, side, seat, "seat insert"),
                _insert(ctx, valve, side, seat, "oversize seat insert"),
            )
            if option is not None
        ),
        "leave",
        (_sink(ctx, valve),),
    )


def _sink(ctx: Context, valve: str) -> AmountSpec:
    rate = ctx.operation("cut seat")
    least = ctx.held("cut seat", "valve recession")
    first = least.low if least is not None and least.low is not None else Fraction(5, 100)
    step = rate.step if rate is not None and rate.step else Fraction(2, 100)
    return AmountSpec(
        f"sink of seat {valve}",
        "recut",
        step,
        first,
        first + Fraction(6, 10),
        done=f"valve {valve} is sunk {{}}",
    )


def _forms(ctx: Context, seat: str, operation: str) -> list[Effect]:
    found = [ctx.formed(seat, name, operation) for name in _SEAT_FORMS]
    return [form for form in found if form is not None]


def _recut(ctx: Context, valve: str, seat: str) -> Option:
    operation = "cut seat"
    amount = f"sink of seat {valve}"
    return Option(
        "recut",
        f"recut seat {valve}",
        (*_forms(ctx, seat, operation), *ctx.moved(operation, amount, own=seat)),
        (Work(operation, (seat,)),),
        needs=_pits_out(ctx, seat, amount),
        impossible=ctx.can(operation),
    )


def _pits_out(ctx: Context, seat: str, amount: str) -> tuple[Need, ...]:
    """The cut goes below the deepest pit: a depth n square to the face sinks the valve n / cos α.

    α is the seat angle from the face plane, which the data sheet gives.
    """
    pit = ctx.size(seat, "seat pit depth")
    angle = ctx.nominal("seat angle")
    if pit is None or angle is None:
        return ()
    along = Fraction(1 / math.cos(math.radians(float(angle)))).limit_denominator(100_000)
    return (
        Need(
            f"{seat} cleans up",
            pit.high.scaled(-along),
            f"{seat} is clean when its valve is sunk "
            f"{ctx.said(pit.high.value * along, 'valve recession')}",
            ((amount, Fraction(1)),),
            short="pitting",
        ),
    )


def _insert(ctx: Context, valve: str, side: str, seat: str, kind: str) -> Option | None:
    """A new insert. One of the size that was in it leaves a used pocket as loose as it is; an
    oversize one has its pocket cut to it (no standard insert in a used pocket: Army manuals)."""
    part = _part(ctx, kind, side)
    limit = ctx.limit("valve recession", side)
    found = ctx.size(seat, "valve recession")
    if part is None or limit is None or limit.new is None or found is None:
        return None
    operation = "fit seat insert"
    rank = rank_of(operation)
    hit = ctx.hit("cut seat", "valve recession", f"{operation}, {valve}")
    target = Estimate(limit.new.middle, hit)
    effects: list[Effect] = [
        SetTo(Key(seat, "valve recession"), target, target, rank, How.MACHINED),
        SetTo(Key(seat, "seat crack test"), Estimate(Fraction(0)), Estimate(Fraction(0)), rank),
        *_forms(ctx, seat, "cut seat"),
    ]
    # The seat is set from the face as it then is: what comes off the face, the valve rises more.
    sunk = target - found.low
    cut = head_cut(ctx, valve)
    for move in moves_of("cut seat"):
        if move.kind != "seat":
            key = Key(f"{move.kind} {valve}", move.characteristic)
            effects.append(ShiftBy(key, sunk, rank))
            if cut:
                effects.append(MoveBy(key, cut, move.per, rank))
    over = kind.startswith("oversize")
    pocket = ctx.limit("seat insert fit")
    if over and pocket is not None and pocket.new is not None and pocket.new.width is not None:
        tight = ctx.hit(operation, "seat insert fit", f"{operation}, pocket {valve}")
        fit = Estimate(pocket.new.middle, tight)
        effects.append(SetTo(Key(seat, "seat insert fit"), fit, fit, rank))
    return Option(
        "oversize insert" if over else "insert",
        f"cut the pocket at {valve} to an oversize insert, fit it and cut its seat"
        if over
        else f"fit a new insert at {valve} and cut its seat",
        tuple(effects),
        (Work(operation, (seat,)), Work("cut seat", (seat,))),
        (Use(part.name, 1),),
        impossible=ctx.can(operation) or ctx.supply_gap(part.name),
        days=ctx.days(part.name),
    )


def _valve(ctx: Context, valve: str, side: str) -> Group | None:
    """The valve: as it is, refaced (the margin gets thinner, the valve sinks a little), or new."""
    name = f"valve {valve}"
    if ctx.size(name, "stem diameter") is None and ctx.size(name, "valve margin") is None:
        return None
    options = [Option("leave", f"clean valve {valve} and use it again")]
    operation = "reface valve"
    face = ctx.formed(name, "valve face runout", operation)
    taken = ctx.held(operation, "valve margin")
    if face is not None and taken is not None and taken.high is not None:
        # The margin loses what comes off the face; a 45° face sinks the valve by as much again as
        # its margin loses, measured along the stem (axial sink = normal cut / cos of the angle).
        thinner = ShiftBy(Key(name, "valve margin"), Estimate(-taken.high), rank_of(operation))
        sunk = _stands(valve, Estimate(taken.high), rank_of(operation))
        options.append(
            Option(
                "reface",
                f"reface valve {valve}",
                (face, thinner, *sunk),
                (Work(operation, (name,)),),
                impossible=ctx.can(operation),
            )
        )
    part = _part(ctx, "valve", side)
    if part is not None:
        options.append(_new_valve(ctx, valve, part))
    return Group(name, (name,), tuple(options), "leave")


def _stands(valve: str, deeper: Estimate, rank: int) -> tuple[ShiftBy, ...]:
    """A valve that sits deeper in its seat: more recession, a higher tip, a longer spring."""
    return tuple(
        ShiftBy(
            Key(f"{move.kind} {valve}", move.characteristic), deeper.scaled(move.per), rank
        )
        for move in moves_of("cut seat")
    )  # fmt: skip


def _new_valve(ctx: Context, valve: str, part: PartSpec) -> Option:
    """Another valve. Its thicker margin stands it up by what the old one had lost of its own."""
    name = f"valve {valve}"
    effects: list[Effect] = [*ctx.all_brought(part, name)]
    old, new = ctx.size(name, "valve margin"), _new_margin(ctx, part)
    if old is not None and new is not None:
        effects += _stands(valve, old.low - new, rank_of("reface valve"))
    for characteristic in ("valve margin", "valve face runout"):
        if characteristic in part.sizes:
            continue
        limit = ctx.limit(characteristic)
        if limit is not None and limit.new is not None:
            edge = limit.new.low if limit.new.low is not None else limit.new.high
            if edge is not None:
                key = Key(name, characteristic)
                effects.append(
                    SetTo(key, Estimate(edge), Estimate(edge), rank_of("part"), How.ASSUMED)
                )
    return Option(
        "replace",
        f"fit {part.name} at {valve}",
        tuple(effects),
        (),
        (Use(part.name, 1),),
        impossible=ctx.supply_gap(part.name),
        days=ctx.days(part.name),
    )

"""One deck: leave it, or surface it by an amount that suits everything that hangs on it."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.engine.moves import moves_of
from sparkout.fits.places import head_of
from sparkout.measure.estimate import Estimate
from sparkout.plan.forms import AmountSpec, Group, MoveBy, Need, Option, Work
from sparkout.plan.options.context import Context, rank_of

__all__ = ["deck_groups", "head_cut", "head_groups"]


def deck_groups(ctx: Context) -> tuple[Group, ...]:
    """A group for every bank whose deck was looked at.

    Surfacing must at least clean up the worst gap under the straightedge and the deepest local
    step; it then leaves the deck as flat as the shop's process does.
    """
    return tuple(
        group
        for bank in ctx.frame.banks
        if (group := _surfaced(ctx, "deck", ctx.frame.bank_suffix(bank))) is not None
    )


def _surfaced(ctx: Context, kind: str, suffix: str) -> Group | None:
    name = f"{kind}{suffix}"
    flat = ctx.size(name, f"{kind} flatness")
    if flat is None:
        return None
    operation = f"surface {kind}"
    rate = ctx.operation(operation)
    amount = f"{name} cut"
    bank = next((b for b in ctx.frame.banks if ctx.frame.bank_suffix(b) == suffix), None)
    step = rate.step if rate is not None and rate.step else Fraction(1, 100)
    forms = [
        ctx.formed(name, characteristic, operation)
        for characteristic in (f"{kind} flatness", f"{kind} local step")
    ]
    needs = tuple(
        Need(
            f"{name} cut cleans up the {words}",
            Estimate(Fraction(0)) - size.high,
            f"the {words} of the {name} is gone after "
            f"{ctx.said(size.high.value, f'{kind} flatness')}",
            ((amount, Fraction(1)),),
            short=words,
        )
        for characteristic, words in (
            (f"{kind} flatness", "warp"),
            (f"{kind} local step", "erosion"),
        )
        if (size := ctx.size(name, characteristic)) is not None
    )
    surface = Option(
        "surface",
        f"surface the {name}",
        (
            *(form for form in forms if form is not None),
            *ctx.moved(operation, amount, bank=bank),
            *(_inserts_feel(ctx, amount) if kind == "head" else ()),
        ),
        (Work(operation, (name,)),),
        needs=needs,
        impossible=ctx.can(operation),
    )
    smallest = rate.smallest_cut if rate is not None and rate.smallest_cut else step
    return Group(
        name,
        (name,),
        (Option("leave", f"leave the {name}"), surface),
        "leave",
        (
            AmountSpec(
                amount,
                "surface",
                step,
                smallest,
                _most(ctx, kind, name),
                done=f"the {name} is cut {{}}",
            ),
        ),
    )


def _most(ctx: Context, kind: str, name: str) -> Fraction:
    """The deepest cut worth looking at: down to the least height allowed, or 0.6 mm.

    0.6 mm bounds the search where no height was read; common practice puts the total removal over
    an engine's life below that (0.2 to 0.5 mm).
    """
    limit = ctx.limit(f"{kind} height")
    height = ctx.size(name, f"{kind} height")
    if limit is None or height is None:
        return Fraction(6, 10)
    floor = limit.side("service")
    if floor is None or floor.low is None:
        return Fraction(6, 10)
    return max(Fraction(0), min(Fraction(6, 10), height.high.value - floor.low))


def head_cut(ctx: Context, valve: str) -> str:
    """The amount that comes off the head over a valve; "" where that is not decided on."""
    seat = ctx.frame.feature(f"seat {valve}")
    name = None if seat is None else head_of(ctx.frame, seat)
    if name is None or ctx.size(name, "head flatness") is None:
        return ""
    return f"{name} cut"


def _inserts_feel(ctx: Context, amount: str) -> tuple[MoveBy, ...]:
    """A head cut alone moves no stem, but a new insert is set from the face as cut.

    Nothing per mm: it only says that stems and springs hang on this cut as soon as an insert goes
    in, which moves them.
    """
    rank = rank_of("surface head")
    return tuple(
        MoveBy(Key(f"{move.kind} {valve}", move.characteristic), amount, Fraction(0), rank)
        for seat in ctx.frame.of_kind("seat")
        if any(
            ctx.parts(kind, seat.tags[0] if seat.tags else "")
            for kind in ("seat insert", "oversize seat insert")
        )
        and head_cut(ctx, valve := seat.name.rsplit(" ", 1)[-1]) == amount
        and ctx.size(seat.name, "valve recession") is not None
        for move in moves_of("cut seat")
        if move.kind != "seat"
    )


def head_groups(ctx: Context) -> tuple[Group, ...]:
    """The same for every head."""
    names = [feature.name for feature in ctx.frame.of_kind("head")]
    return tuple(
        group
        for name in names
        if (group := _surfaced(ctx, "head", name[len("head") :])) is not None
    )

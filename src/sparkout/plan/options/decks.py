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
    most, words = _most(ctx, kind, name)
    asked = max((-need.margin.value for need in needs), default=Fraction(0))
    if asked > most:
        # looked at all the same, so that what stands against it is named: least height, or this
        if words:
            rest = Estimate(most)
            needs += (Need(f"{name} cut within reach", rest, words, ((amount, Fraction(-1)),)),)
        most = asked + step
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
                most,
                words,
                done=f"the {name} is cut {{}}",
            ),
        ),
    )


# Where no least height is given, or none was read, the search ends here. A rule of thumb: common
# practice puts the total removal over an engine's life below it (0.2 to 0.5 mm).
_THUMB = Fraction(6, 10)


def _most(ctx: Context, kind: str, name: str) -> tuple[Fraction, str]:
    """The deepest cut worth looking at, and words for it where it is only a rule of thumb.

    Down to the least height allowed: what was taken off before, in any life of the engine, is
    missing from the height that is read now.
    """
    limit = ctx.limit(f"{kind} height")
    height = ctx.size(name, f"{kind} height")
    floor = None if limit is None else limit.side("service")
    if height is not None and floor is not None and floor.low is not None:
        return max(Fraction(0), min(_THUMB, height.high.value - floor.low)), ""
    why = f"no {kind} height was read" if height is None else f"no least {kind} height is given"
    depth = ctx.said(_THUMB, f"{kind} height")
    return _THUMB, f"no more than {depth}, a rule of thumb where {why}"


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

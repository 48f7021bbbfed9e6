"""Pushrods, adjusters, followers and shims after everything moved: what they have to make up.

Source: geometry as in `mechanics.cam`; common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.engine.dimension import Key
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, plain, total, worked_out
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made, present
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["adjuster_range", "follower_preload", "lash_by_shim"]

_HUNDREDTH = Fraction(1, 100)
_PRELOAD = "pushrod length for the followers' preload"
_RANGE = "range of the lash adjusters"
_SHIM = "lash shim"


def adjuster_range(
    pivot_drop: Plain,
    ratio: Plain,
    tip_rise: Plain = 0,
    lash: Plain | None = None,
    travel: Plain | None = None,
) -> SetUp:
    """How far lash closes and how far the adjusters have to come back.

    lash falls by R × drop + tip rise; the adjuster on the pushrod side backs off by drop + tip
    rise ÷ R.

    pivot_drop: how much nearer the head came to the cam: deck + head cut − thicker gasket [mm].
    ratio: rocker ratio, valve side over pushrod side [-], above zero.
    tip_rise: of the valve's tip from sinking seat or face [mm].
    lash: at the valve before, or None [mm].
    travel: left on the adjuster, outwards [mm], or None.
    Returns the set-up: lash lost at the valve, lash left with nothing adjusted, adjuster's way.
    Holds for rockers that pivot on the head with the cam in the block.
    Source: geometry; common practice.
    Raises ValueError when the adjuster has not so far to go, or a number is out of range.

    >>> made = adjuster_range(0.37, 1.5)
    >>> [round(float(n.value), 3) for n in made.numbers]
    [0.555, 0.37]
    """
    drop, arm = given(pivot_drop, "pivot drop"), given(ratio, "rocker ratio", "ratio", _HUNDREDTH)
    rise = given(tip_rise, "tip rise", step=_HUNDREDTH)
    above_zero("", ratio=arm)
    lost = worked_out(drop * arm, "drop × ratio")
    lash_lost = total("lash closes at the valve by", lost + rise if rise.counts else drop * arm,
                      step=_HUNDREDTH)  # fmt: skip
    numbers: list[Number] = [lash_lost]
    if lash is not None:
        was = given(lash, "lash before", step=_HUNDREDTH)
        numbers.append(
            total("lash with nothing adjusted", was - lash_lost.given("closes"), step=_HUNDREDTH)
        )
    back = drop + worked_out(rise / arm, "tip rise ÷ ratio") if rise.counts else drop
    way = total("adjuster backs off by, pushrod side", back, Sense.AXIAL, step=_HUNDREDTH)
    numbers.append(way)
    if travel is not None:
        room = given(travel, "travel left on it", step=_HUNDREDTH)
        if way.value > room.value:
            raise ValueError(
                f"travel is {float(room.value):.6g} mm and the adjuster has to back off by "
                f"{float(way.value):.6g} mm; it has to be at least that: shorter pushrods, or "
                "shims under the rocker stands"
            )
        numbers.append(
            total("travel left then", room - way.given("way"), Sense.AXIAL, step=_HUNDREDTH)
        )
    return SetUp(_RANGE, numbers=tuple(numbers))


def follower_preload(
    preload: Plain,
    pivot_drop: Plain,
    tip_rise: Plain,
    ratio: Plain,
    least: Plain | None = None,
    most: Plain | None = None,
) -> SetUp:
    """Preload of a hydraulic follower after the work, and the pushrod that brings it to its middle.

    preload = before + drop + tip rise ÷ R; pushrod change = middle of the limits − that.

    preload: plunger depression before [mm].
    pivot_drop: how much nearer the head came to the cam [mm].
    tip_rise: of the valve's tip, less what was ground off it [mm].
    ratio: rocker ratio, valve side over pushrod side [-], above zero.
    least: smallest preload allowed [mm], or None.
    most: largest preload allowed [mm], or None.
    Returns the set-up: preload, and the change of pushrod length that would centre it.
    Holds for rockers that pivot on the head with the cam in the block.
    Source: geometry; common practice.
    Raises ValueError naming the number when it is out of range.

    >>> inch = 25.4
    >>> made = follower_preload(0.040 * inch, 0.014 * inch, 0.015 * inch, 1.5)
    >>> round(float(made.numbers[0].value) / inch, 3)
    0.064
    """
    was, drop = given(preload, "preload before"), given(pivot_drop, "pivot drop")
    arm = given(ratio, "rocker ratio", "ratio", _HUNDREDTH)
    above_zero("", ratio=arm)
    rise = worked_out(given(tip_rise, "tip rise") / arm, "tip rise ÷ ratio")
    now = total("preload", was + drop + rise, Sense.AXIAL)
    low, high = plain(least), plain(most)
    numbers = [now.held(low, high, "" if low is None and high is None else "limit")]
    notes: tuple[str, ...] = ()
    if low is not None and high is not None:
        middle = Given((low + high) / 2, "middle of the limits")
        numbers.append(
            total("pushrod, + longer, to centre it", middle - now.given("preload"), Sense.AXIAL)
        )
        if low <= now.value <= high:
            notes = ("Within its limits with the pushrods there are: another length is a choice.",)
        else:
            notes = ("Outside its limits: other pushrods, or less off the stem tips.",)
    return SetUp(_PRELOAD, numbers=tuple(numbers), notes=notes)


def lash_by_shim(
    lash: Plain,
    old_shim: Plain,
    wanted: Plain,
    tip_rise: Plain = 0,
    least: Plain | None = None,
    most: Plain | None = None,
    shims: Sequence[Plain] = (),
) -> SetUp:
    """The shim that sets lash under an overhead cam, and the lash each shim that exists gives.

    lash with the old shim = before − tip rise; shim wanted = old shim + that − lash wanted.

    lash: before the work [mm].
    old_shim: the one it was read with [mm], above zero.
    wanted: lash asked for [mm], zero or more.
    tip_rise: of the valve's tip from sinking seat or face [mm].
    least: smallest lash allowed [mm], or None.
    most: largest lash allowed [mm], or None.
    shims: those that can be had [mm].
    Returns the set-up: lash with the old shim, the shim wanted, lash with the nearest that exists.
    Holds for shims over or under the bucket, cam and valve in one head.
    Source: geometry as in `mechanics.cam`.
    Raises ValueError when no shim would be left, or none that exists brings lash inside its limits.

    >>> made = lash_by_shim(0.13, 2.60, 0.125, 0.22, 0.10, 0.15, (2.35, 2.40, 2.45))
    >>> [(n.label, round(float(n.value), 3)) for n in made.numbers][-2:]
    [('fit a shim of', 2.4), ('lash then', 0.11)]
    """
    was, old = given(lash, "lash before"), given(old_shim, "old shim")
    aim, rise = given(wanted, "lash wanted"), given(tip_rise, "tip rise")
    above_zero(old_shim=old)
    now = total("lash with the old shim", was - rise if rise.counts else was, step=_HUNDREDTH)
    ideal = total("shim that would set it", old + now.given("lash with it") - aim)
    if ideal.value <= 0:
        raise ValueError(
            f"shim comes out at {float(ideal.value):.6g} mm; it has to be above 0 mm: grind the "
            "tip, or raise the seat"
        )
    numbers = [now, ideal]
    low, high = plain(least), plain(most)
    if shims:
        rows = [given(shim, "shim") for shim in shims]
        near = min(rows, key=lambda row: abs(row.value - ideal.value))
        held = total("lash then", now.given("lash with the old shim") + old - near, step=_HUNDREDTH)
        if (low is not None and held.value < low) or (high is not None and held.value > high):
            raise ValueError(
                f"the nearest shim, {float(near.value):.6g} mm, leaves a lash of "
                f"{float(held.value):.4g} mm; it has to lie within its limits: a finer step of "
                "shims, or grind one"
            )
        numbers += [
            total("fit a shim of", near, Sense.AXIAL),
            held.held(low, high, "" if low is None and high is None else "limit"),
        ]
    return SetUp(_SHIM, numbers=tuple(numbers), looks=("Read it again with the shim in.",))


def valve_gear(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """What followers, adjusters or shims have to make up, before the trial assembly."""
    if look.sheet.identity.camshaft == "overhead":
        return _shims(look)
    preloads = [
        feature.name
        for feature in look.frame.of_kind("follower")
        if look.state.size(feature.name, "hydraulic preload") is not None
    ]
    if preloads:
        return tuple(_preload(look, follower) for follower in preloads)
    return tuple(_range(look, bank.name, bank.cylinders[0]) for bank in look.frame.banks)


def pivot_drop(look: Lookup, cylinder: int) -> Given | Missing:
    """Deck and head cut less what the gasket is thicker: the cut of the deck, not of its height.

    Deck height is read from the crank, which line honing moves; the cam stays where it is.
    """
    suffix = look.frame.bank_suffix(look.frame.bank_of(cylinder))
    thicker = look.change(f"head gasket{suffix}", "gasket thickness")
    if isinstance(thicker, Missing):
        return Missing("thickness of the old head gasket, compressed: read it at the fire rings")
    deck = Given(look.amount(f"deck{suffix} cut"), "deck cut")
    head = Given(look.amount(f"head{suffix} cut"), "head cut")
    return worked_out(deck + head - Given(thicker.value, "thicker gasket", marks=thicker.marks),
                      "pivot drop")  # fmt: skip


def _preload(look: Lookup, follower: str) -> SetUp:
    feature = look.frame.feature(follower)
    assert feature is not None
    valve = follower.rsplit(" ", 1)[-1]
    limit = look.limit("hydraulic preload", follower)
    bounds = None if limit is None else limit.side("service")
    rise = look.change(f"valve {valve}", "tip height")
    return made(
        _PRELOAD,
        follower_preload,
        (follower,),
        {
            "preload": look.now(follower, "hydraulic preload"),
            "pivot_drop": pivot_drop(look, feature.cylinder),
            "tip_rise": _named(rise),
            "ratio": look.nominal("rocker ratio"),
        },
        {},
        {
            "least": None if bounds is None else bounds.low,
            "most": None if bounds is None else bounds.high,
        },
    )


def _range(look: Lookup, bank: str, cylinder: int) -> SetUp:
    """One for a bank: the valve that sinks most asks for most."""
    sinks = [
        change
        for feature in look.frame.of_kind("valve")
        if feature.bank == bank
        and isinstance(change := look.change(feature.name, "tip height"), Given)
    ]
    worst = max(sinks, key=lambda change: change.value, default=Given(Fraction(0), "tip rise"))
    return made(
        _RANGE,
        adjuster_range,
        (f"head{look.frame.bank_suffix(look.frame.bank_of(cylinder))}",),
        {"pivot_drop": pivot_drop(look, cylinder), "ratio": look.nominal("rocker ratio")},
        {},
        {
            "tip_rise": Given(worst.value, "tip rise, the valve that sank most"),
            "travel": present(look.known("adjuster travel")),
        },
    )


def _shims(look: Lookup) -> tuple[SetUp, ...]:
    sold = [
        Given(bounds.middle, "shim", marks=(f"{part.name} as sold: measure the one that goes in",))
        for part in look.sheet.parts_of("lash shim")
        if (bounds := part.sizes.get("lash shim")) is not None and bounds.width is not None
    ]
    found = []
    for feature in look.frame.of_kind("valve"):
        if look.state.size(feature.name, "lash shim") is None:
            continue
        bounds = look.new_bounds("valve lash", feature.name)
        key = Key(feature.name, "lash shim")
        chosen, kept = look.plan.sizes.get(key), look.state.sizes[key]
        planned = chosen is not None and chosen.low.value != kept.low.value
        rise = look.change(feature.name, "tip height")
        found.append(
            made(
                _SHIM,
                lash_by_shim,
                (feature.name,),
                {
                    "lash": look.now(feature.name, "valve lash"),
                    "old_shim": look.now(feature.name, "lash shim"),
                    "wanted": look.aim("valve lash", feature.name, "lash wanted"),
                    "tip_rise": _named(rise),
                },
                {},
                {
                    "least": None if bounds is None else bounds.low,
                    "most": None if bounds is None else bounds.high,
                    "shims": tuple(sold) if planned else (look.now(feature.name, "lash shim"),),
                },
            )
        )
    return tuple(found)


def _named(change: Given | Missing) -> Given | Missing:
    """A change of tip height by the name it goes by here."""
    if isinstance(change, Missing):
        return change
    return Given(change.value, "tip rise", step=change.step, marks=change.marks)

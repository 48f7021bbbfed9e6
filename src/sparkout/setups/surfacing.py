"""Surfacing a deck or a head: one cut for all who ask for it, laid level, in passes.

Source: common practice: the cut is the largest that is asked for and no more; the first skim is
looked at before the depth is committed to. Least cuts from heights are `measure.form`'s.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.engine.dimension import Key
from sparkout.plan.forms import Need
from sparkout.plan.order import Step
from sparkout.plan.outcome import AmountRange
from sparkout.setups._build import exact, given, plain, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit, thumb
from sparkout.setups.number import Given, Number, Plain, Term
from sparkout.setups.record import Pass, SetUp

__all__ = ["level_and_cut", "surface"]

KIND = "surface a face"
_DIAL = Fraction(1, 100)
_HELD = Fraction(1, 10_000)


def surface(
    asked: Sequence[tuple[str, Plain]],
    limits: Sequence[tuple[str, Plain]] = (),
    cut: Plain | None = None,
    dial: Fraction = _DIAL,
    heights: Sequence[tuple[str, Plain]] = (),
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """One cut deep enough for everything that asks for it, and what is left of the face's height.

    cut = largest that is asked for, up to the next division of the dial, at most the least limit.

    asked: words and least cut of everything that needs one [mm], zero or more each.
    limits: words and most cut of everything that forbids more [mm].
    cut: the depth settled on, or None for the least [mm].
    dial: division of the machine [mm], above zero.
    heights: words and present height wherever it was read [mm].
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: total cut with its window, height left at each place, passes that add up.
    Holds for a face cut parallel to how it lies now; squared to another datum, the higher end loses
    more.
    Source: common practice.
    Raises ValueError when no depth serves, naming who asks and who forbids; or the one settled on
    is outside.

    >>> made = surface((("warp", 0.08), ("protrusion", 0.115)), (("least height", 0.134),))
    >>> float(made.number("total cut").value), [float(p.each) for p in made.passes]
    (0.12, [0.01, 0.05, 0.04, 0.02])
    """
    if dial <= 0:
        raise ValueError(f"dial is {float(dial):.6g} mm; it has to be above 0 mm")
    needs = [given(value, words) for words, value in asked]
    stops = [given(value, words) for words, value in limits]
    most = max(needs, key=lambda item: item.value, default=given(0, "nothing"))
    least = min(stops, key=lambda item: item.value, default=None)
    depth = plain(cut)
    if depth is None:
        depth = -(-most.value // dial) * dial
    if depth < most.value:
        raise ValueError(
            f"cut is {float(depth):.6g} mm and {most.words} asks for {float(most.value):.6g} mm; "
            "the cut has to be at least that"
        )
    if least is not None and depth > least.value:
        raise ValueError(
            f"cut is {float(depth):.6g} mm and {least.words} allows {float(least.value):.6g} mm; "
            "the cut has to be at most that"
        )
    window = sorted(needs, key=lambda item: -item.value)
    terms = tuple(Term(item.words, item.value, marks=item.marks) for item in window)
    total_cut = Number(
        "total cut",
        depth,
        sense=Sense.NONE,
        step=dial / 10,
        terms=terms,
        rule="the largest asked for, on the dial",
        low=most.value if needs else None,
        high=None if least is None else least.value,
        held_by="" if least is None else f"more breaks {least.words}",
        marks=tuple(dict.fromkeys(mark for item in needs for mark in item.marks)),
    )
    numbers = [total_cut]
    for words, value in heights:
        now = given(value, words)
        left = total(f"height left, {words}", now - total_cut.given("cut"), Sense.NONE)
        numbers.append(left)
    ends = sorted((given(value, words) for words, value in heights), key=lambda one: one.value)
    notes: tuple[str, ...] = ()
    if len(ends) > 1 and ends[0].value < ends[-1].value:
        lean = total("one end stands higher by", ends[-1] - ends[0], step=dial / 10)
        numbers.append(lean)
        notes = ("Counted from the face as it lies. Squared to its datum instead, the higher end "
                 "loses that much more: enter what is left, and plan again.",)  # fmt: skip
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=_passes(depth, system, cuts),
        notes=notes,
        looks=("Touch off at the highest point. Blue the face, take the skim, look where it cut: "
               "only then the rest.",),
    )  # fmt: skip


def _passes(depth: Fraction, system: str, cuts: Cuts | None) -> tuple[Pass, ...]:
    """A skim to look at, then the rest in cuts that add up to the depth."""
    skim = thumb("witness skim", system)
    first = min(skim.value, depth)
    if not first:
        return ()
    look = Pass("skim and look", first, 1, Sense.NONE, "look at the witness", skim.marks)
    return (look, *passes_by_habit("surface", depth - first, system, Sense.NONE, cuts))


def level_and_cut(
    points: Sequence[tuple[float, float, float]],
    supports: Sequence[tuple[float, float]] = (),
    tilt: tuple[float, float] | None = (0.0, 0.0),
    margin: float = 0.0,
) -> SetUp:
    """The least cut that cleans a face whose heights were read, and the shims that lay it so.

    cut = most metal taken anywhere by a plane below all readings, within the tilt allowed.

    points: (x, y, height over the datum) of each reading [mm], three or more not on one line.
    supports: (x, y) of the three or four supports to shim, or none [mm].
    tilt: largest slope allowed along x and y against the datum, None for free [-].
    margin: metal to take at the lowest place as well [mm], zero or more.
    Returns the set-up: cut, slopes, cut if held level, shim under each support.
    Holds for heights of the face as it lies free: clamping may not bend it.
    Source: `measure.form.surface_cut` and `measure.form.shims` name theirs.
    Raises ValueError for readings on one line or a limit below zero.

    >>> face = [(0, 0, 0.02), (400, 0, 0.10), (0, 150, 0.02), (400, 150, 0.10), (200, 75, 0.03)]
    >>> [round(float(n.value), 3) for n in level_and_cut(face, tilt=None).numbers[:2]]
    [0.03, 0.08]
    """
    from sparkout.measure.form.shims import support_shims
    from sparkout.measure.form.surface_cut import least_cut

    found, level = least_cut(points, tilt, margin), least_cut(points, (0.0, 0.0), margin)
    numbers = [
        Number("least cut", exact(round(found.cut, 6)), sense=Sense.NONE, rule="within the tilt "
               "allowed"),
        Number("cut if held level", exact(round(level.cut, 6)), sense=Sense.NONE,
               rule="highest less lowest"),
    ]  # fmt: skip
    for name, slope in (("x", found.slope_x), ("y", found.slope_y)):
        numbers.append(
            Number(f"rise along {name}, per 100", exact(round(slope * 100.0, 6)), step=_HELD,
                   rule="slope of the finished plane over the face as it was")
        )  # fmt: skip
    notes: tuple[str, ...] = ()
    if supports:
        shims = support_shims(found, supports)
        numbers += [
            Number(f"shim under support {place}", exact(round(amount, 6)), sense=Sense.NONE,
                   rule="lifts the face as the least cut wants it")
            for place, amount in enumerate(shims.amounts, 1)
        ]  # fmt: skip
        notes = shims.warnings
    deepest = ", ".join(str(place + 1) for place in found.deepest)
    looks = (f"Touch off where most comes off: reading {deepest}.",) if deepest else ()
    return SetUp("level a face and cut it", numbers=tuple(numbers), looks=looks, notes=notes)


def surfacing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each face, its depth as the plan settled it, with who asked for what."""
    found = []
    for face in step.features:
        kind = face.split(" ", 1)[0]
        amount = next((a for a in look.plan.amounts if a.name == f"{face} cut"), None)
        if amount is None:
            continue
        rate = look.shop.operations.get(step.operation)
        dial = rate.step if rate is not None and rate.step else _DIAL
        set_up = made(
            KIND,
            surface,
            (face,),
            {"asked": _rows(look, amount, face, needs=True)},
            {},
            {
                "limits": _rows(look, amount, face, needs=False),
                "cut": amount.value,
                "dial": dial,
                "heights": _heights(look, face, kind),
                "system": look.system,
                "cuts": look.own_cuts("surface"),
            },
        )
        found.append(set_up)
    return tuple(found)


def _rows(
    look: Lookup, amount: AmountRange, face: str, *, needs: bool
) -> tuple[tuple[str, Plain], ...]:
    """The strongest of each kind of rule that holds the cut from one side."""
    compiled = look.plan.compiled
    rows: dict[str, tuple[str, Plain]] = {}
    for bound in amount.needs if needs else amount.limits:
        rule = compiled.rules[bound.rule]
        if isinstance(rule, str):
            continue
        feature, _, name = bound.rule.rpartition(": ")
        # where a rule needs two windows the planner numbers them: (2)
        kind = re.sub(r" \(\d+\)$", "", name).removeprefix(f"{face} cut ")
        words = kind if isinstance(rule, Need) or feature == face else f"{feature}, {kind}"
        rows.setdefault(kind, (words, Given(bound.at, words)))
    return tuple(rows.values())


def _heights(look: Lookup, face: str, kind: str) -> tuple[tuple[str, Plain], ...]:
    """Height at each end or corner that was read; else the one value there is."""
    spots = look.state.spots.get(Key(face, f"{kind} height"), ())
    rows = [(spot.place or face, Given(spot.estimate.value, "now", step=_DIAL)) for spot in spots]
    if not rows:
        size = look.now(face, f"{kind} height", "low")
        rows = [] if isinstance(size, Missing) else [("lowest", size)]
    return tuple((words, value) for words, value in rows)

"""Recutting liner ledges: depth from the deck as it is and from the deck as it will be.

Source: common practice: a liner stands out by flange + shim − ledge depth, and the depth is read
from the deck, so a deck cut that is still to come counts.
"""

from __future__ import annotations

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import given, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import Pass, SetUp

__all__ = ["cut_ledge", "ledge_for_protrusion"]

KIND = "recut a liner ledge"


def ledge_for_protrusion(
    flange: Plain, shim: Plain, protrusion: Plain, deck_cut: Plain = 0
) -> SetUp:
    """Ledge depth that makes a liner stand out by so much.

    from the final deck = flange + shim − protrusion; from the present deck = that + deck cut still
    to come.

    flange: thickness of the flange [mm], above zero.
    shim: under the flange [mm], zero or more.
    protrusion: wanted, liner clamped [mm].
    deck_cut: still to be taken off the deck [mm], zero or more.
    Returns the set-up: both depths.
    Holds for depths read at the band the flange sits on.
    Source: common practice.
    Raises ValueError naming the number when it is out of range.

    >>> made = ledge_for_protrusion(10.035, 0, 0.045, 0.13)
    >>> [float(n.value) for n in made.numbers]
    [9.99, 10.12]
    """
    parts = given(flange, "flange"), given(shim, "shim"), given(protrusion, "protrusion")
    cut = given(deck_cut, "deck cut still to come")
    if parts[0].value <= 0:
        raise ValueError(f"flange is {float(parts[0].value):.6g} mm; it has to be above 0 mm")
    for item, name in ((parts[1], "shim"), (cut, "deck_cut")):
        if item.value < 0:
            raise ValueError(f"{name} is {float(item.value):.6g} mm; it has to be 0 mm or more")
    final = total("depth, from the final deck", parts[0] + parts[1] - parts[2], Sense.AXIAL)
    now = total("depth, from the deck as it is", final.given("final depth") + cut, Sense.AXIAL)
    return SetUp(KIND, numbers=(final, now))


def cut_ledge(
    final_depth: Plain,
    deck_cut: Plain = 0,
    shallowest: Plain | None = None,
    deepest: Plain | None = None,
    flange: Plain | None = None,
    shim: Plain = 0,
    least: Plain | None = None,
    most: Plain | None = None,
    hold: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """One ledge cut to a depth that is settled, and how far its liner will stand out.

    from the deck as it is = final depth + deck cut; metal = that − shallowest reading; stands out =
    flange + shim − final depth.

    final_depth: from the deck when everything is cut [mm], above zero.
    deck_cut: still to be taken off the deck [mm], zero or more.
    shallowest: smallest depth of the ledge now [mm], or None.
    deepest: largest depth of the ledge now [mm], or None.
    flange: thickness of the flange that will sit there [mm], or None.
    shim: under the flange [mm], zero or more.
    least: smallest protrusion allowed [mm], or None.
    most: largest protrusion allowed [mm], or None.
    hold: how well the depth is hit, either way [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: depth from both decks, metal off, protrusion, passes.
    Holds for depths read at the band the flange sits on.
    Source: common practice.
    Raises ValueError when the ledge is already deeper, or a number is out of range.

    >>> made = cut_ledge(9.99, 0.13, shallowest=10.095, deepest=10.120, flange=10.035)
    >>> [float(n.value) for n in made.numbers]
    [10.12, 9.99, 0.025, 0.045]
    """
    final, cut = given(final_depth, "final depth"), given(deck_cut, "deck cut still to come")
    if final.value <= 0:
        raise ValueError(f"final_depth is {float(final.value):.6g} mm; it has to be above 0 mm")
    if cut.value < 0:
        raise ValueError(f"deck_cut is {float(cut.value):.6g} mm; it has to be 0 mm or more")
    either = None if hold is None else given(hold, "").value
    now = total("depth, from the deck as it is", final + cut, Sense.AXIAL)
    numbers: list[Number] = [
        now.within(either, "as well as the tool hits"),
        total("depth, from the final deck", final, Sense.AXIAL),
    ]
    if deepest is not None and given(deepest, "").value > now.value:
        raise ValueError(
            f"deepest is {float(given(deepest, '').value):.6g} mm and the depth to cut to "
            f"{float(now.value):.6g} mm: it does not clean up; the depth has to be at least that"
        )
    passes: tuple[Pass, ...] = ()
    if shallowest is not None:
        metal = total(
            "metal to take off at the shallowest place",
            now.given("depth") - given(shallowest, "shallowest now"),
            Sense.AXIAL,
        )
        numbers.append(metal)
        passes = passes_by_habit("recut ledge", metal.value, system, Sense.AXIAL, cuts)
    if flange is not None:
        low, high = (None if end is None else given(end, "").value for end in (least, most))
        under = given(shim, "shim")
        stack = given(flange, "flange") + under if under.counts else given(flange, "flange")
        stands = total("its liner will stand out", stack - final, Sense.AXIAL)
        numbers.append(stands.held(low, high, "limit" if low is not None else ""))
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes,
        looks=("Read the depth at four points, at the outer edge and the inner, after each cut.",),
        notes=("Deeper than this cannot be put back: only a shim can.",),
    )


def cutting_ledges(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each ledge, all cut to the one depth the plan settled."""
    bounds = look.new_bounds("liner protrusion")
    found: list[SetUp] = []
    for ledge in step.features:
        number = ledge.rsplit(" ", 1)[-1]
        bank = look.frame.bank_of(int(number))
        name = f"deck{look.frame.bank_suffix(bank)} cut"
        final = look.planned(ledge, "ledge depth", "middle")
        if isinstance(final, Given):
            final = Given(final.value, "final depth as planned", step=final.step)
        shim = look.planned(f"liner {number}", "liner shim thickness")
        found.append(
            made(
                KIND,
                cut_ledge,
                (ledge,),
                {"final_depth": final},
                {
                    "shallowest": look.now(ledge, "ledge depth", "low"),
                    "deepest": look.now(ledge, "ledge depth", "high"),
                    "flange": look.planned(f"liner {number}", "liner flange thickness", "middle"),
                },
                {
                    "deck_cut": Given(look.amount(name), f"{name} still to come"),
                    "shim": 0 if isinstance(shim, Missing) else shim,
                    "least": None if bounds is None else bounds.low,
                    "most": None if bounds is None else bounds.high,
                    "hold": look.hold(step.operation, "ledge depth"),
                    "system": look.system,
                    "cuts": look.own_cuts("recut ledge"),
                },
            )
        )
    return tuple(found)

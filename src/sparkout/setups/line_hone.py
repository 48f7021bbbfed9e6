"""Honing the main line: caps cut so that every bore closes, then all honed to one size in line.

Source: common practice: mostly the caps are cut, so that the crank's centre line goes up as little
as it can; the size aimed at is the low third of the tolerance, since housings only ever grow.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, plain, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["cap_cut_for", "hone_housing"]

KIND = "cut a cap and hone the main line"


def cap_cut_for(
    largest: Plain, target: Plain, hone_stock: Plain, dial: Plain = Fraction(1, 100)
) -> Fraction:
    """How much has to come off one main cap's faces.

    cut = largest + hone stock − target, up to the next division of the grinder.

    largest: largest diameter of the housing, across its parting face [mm], above zero.
    target: size to hone to [mm], above zero.
    hone_stock: least stock left for the hone there [mm], zero or more.
    dial: division of the grinder [mm], above zero.
    Returns the cut off the cap [mm]; zero where it is closed enough.
    Holds for both faces of the cap cut alike and square.
    Source: common practice.
    Raises ValueError naming the number when it is out of range.

    >>> float(cap_cut_for(80.026, 80.006, 0.01))
    0.03
    """
    above_zero(largest=largest, target=target, dial=dial)
    not_below_zero(hone_stock=hone_stock)
    step = given(dial, "").value
    wanted = given(largest, "").value + given(hone_stock, "").value - given(target, "").value
    return max(Fraction(0), -(-wanted // step) * step)


def hone_housing(
    largest: Plain,
    target: Plain,
    cap_cut: Plain,
    lift_least: Plain | None = None,
    lift_most: Plain | None = None,
    shell_wall: Plain | None = None,
    journal: Plain | None = None,
    least_clearance: Plain | None = None,
    most_clearance: Plain | None = None,
    hold: Fraction | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """Cap cut and size of one main housing, and what it does to clearance and centre line.

    closed = largest − cap cut; stock = target − closed; oil clearance = target − 2 × wall −
    journal.

    largest: largest diameter of the housing, caps at torque [mm], above zero.
    target: size to hone to [mm], above zero.
    cap_cut: off the cap's faces [mm], zero or more.
    lift_least: least the crank's centre line goes up [mm], or None.
    lift_most: most the crank's centre line goes up [mm], or None.
    shell_wall: of the shell that will run there [mm], or None.
    journal: smallest diameter of the journal that will run there [mm], or None.
    least_clearance: smallest oil clearance allowed [mm], or None.
    most_clearance: largest oil clearance allowed [mm], or None.
    hold: how well the hone hits its size, either way [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: cap cut, size, stock, oil clearance, lift, passes.
    Holds for caps tight in their registers and bolts tightened as at assembly.
    Source: common practice.
    Raises ValueError when the bore would not close to the target, or a number is out of range.

    >>> made = hone_housing(80.026, 80.010, 0.03, shell_wall=2.478, journal=74.962)
    >>> float(made.number("oil clearance it leaves").value)
    0.092
    """
    wide, aim, cut = given(largest, "largest now"), given(target, "hone to"), given(cap_cut, "cap")
    above_zero(largest=wide, target=aim)
    not_below_zero(cap_cut=cut)
    closed = total("across the faces after the cut", wide - cut, Sense.DIAMETRAL)
    stock = total("stock for the hone, across the faces", aim - closed.given("closed bore"),
                  Sense.DIAMETRAL)  # fmt: skip
    if stock.value <= 0:
        raise ValueError(
            f"cap_cut is {float(cut.value):.6g} mm: the bore closes to {float(closed.value):.6g} "
            f"mm only; it has to be below {float(aim.value):.6g} mm, so more has to come off it"
        )
    size = total("hone to, caps at torque", aim, Sense.DIAMETRAL)
    numbers: list[Number] = [
        total("off the cap's faces", cut, Sense.NONE),
        closed,
        size.within(hold, "as well as the hone hits"),
        stock,
    ]
    if shell_wall is not None and journal is not None:
        gap = aim - given(shell_wall, "shell wall").times(2) - given(journal, "journal")
        low, high = plain(least_clearance), plain(most_clearance)
        numbers.append(
            total("oil clearance it leaves", gap, Sense.DIAMETRAL).held(
                low, high, "" if low is None and high is None else "limit"
            )
        )
    if lift_most is not None:
        most = given(lift_most, "by the shop's own experience of its hone")
        numbers.append(
            total("centre line goes up, most", most).held(
                plain(lift_least), most.value, "shop file"
            )
        )
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes_by_habit("hone housing", stock.value, system, Sense.DIAMETRAL, cuts),
        looks=("Turn the mandrel by hand: one saddle tight means stop.",
               "Stroke the hone past both end bores; measure every bore at three angles."),
        notes=("A risen centre line brings the deck nearer, tightens gears, slackens the chain.",),
    )  # fmt: skip


def line_honing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each housing; all are honed in one go."""
    oil = look.new_bounds("main oil clearance")
    rate = look.shop.operations.get(step.operation)
    lift = None if rate is None else rate.holds.get("crank lift")
    found = []
    for housing in step.features:
        number = housing.rsplit(" ", 1)[-1]
        largest = look.now(housing, "main housing diameter", "high")
        made_to = look.set_to(housing, "main housing diameter", step.operation)
        target: Given | Missing = look.aim("main housing diameter", housing, "hone to")
        if made_to is not None:
            target = Given(
                look.to_dial(made_to.low.value), "low third of the tolerance, as planned"
            )
        cut: Given | Missing = target
        if isinstance(largest, Given) and isinstance(target, Given):
            stock, division = look.thumb("housing hone stock"), look.thumb("face cut step")
            size = cap_cut_for(largest, target, stock, division.value)
            cut = Given(size, "closes it with stock for the hone", marks=stock.marks)
        found.append(
            made(
                KIND,
                hone_housing,
                (housing,),
                {"largest": largest, "target": target, "cap_cut": cut},
                {
                    "shell_wall": look.planned(f"main shell {number}", "main shell wall", "middle"),
                    "journal": look.planned(f"main journal {number}", "main journal diameter",
                                            "low"),
                },
                {
                    "lift_least": None if lift is None else lift.low,
                    "lift_most": None if lift is None else lift.high,
                    "least_clearance": None if oil is None else oil.low,
                    "most_clearance": None if oil is None else oil.high,
                    "hold": look.hold(step.operation, "main housing diameter"),
                    "system": look.system,
                    "cuts": look.own_cuts("hone housing"),
                },
            )
        )  # fmt: skip
    return tuple(found)

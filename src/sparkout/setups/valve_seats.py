"""Cutting a seat to a recession: spindle read-out from a trial, and what follows for the spring.

Source: common practice: a light trial cut is read on the spindle's read-out and on a depth gauge;
from there recession follows the read-out one to one, whatever the cutter.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from sparkout.engine.characteristics import Sense
from sparkout.engine.dimension import Key
from sparkout.mechanics.valve_seat import axial_sink
from sparkout.plan.order import Step
from sparkout.setups._build import by_rule, given, plain, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import Pass, SetUp
from sparkout.setups.seat_cones import KIND as CONES
from sparkout.setups.seat_cones import cut_cones
from sparkout.setups.spring_shims import shim_spring

__all__ = ["cut_seat", "spindle_depth"]

KIND = "cut a seat to its recession"
_HUNDREDTH = Fraction(1, 100)
_DEGREE = Fraction(1, 100)


def spindle_depth(
    trial_spindle: Plain, trial_recession: Plain, recession: Plain, deeper_reads: int = 1
) -> SetUp:
    """Read-out to stop at, from a trial cut.

    stop = trial read-out + (recession wanted − recession at the trial), minus where a deeper
    spindle reads less.

    trial_spindle: read-out at the trial cut [mm].
    trial_recession: recession read then, valve in place [mm].
    recession: wanted [mm], at least what the trial left.
    deeper_reads: 1 where the read-out grows as the spindle goes down, −1 where it falls [-].
    Returns the set-up: read-out to stop at, and how far that is still to go.
    Holds for one cutter left in its holder and a guide that did not change.
    Source: common practice.
    Raises ValueError when the trial is already deeper, or the sign is neither.

    >>> made = spindle_depth(4.20, 0.88, 0.95)
    >>> [round(float(n.value), 2) for n in made.numbers]
    [4.27, 0.07]
    """
    start = given(trial_spindle, "trial read-out", step=_HUNDREDTH)
    was = given(trial_recession, "recession at the trial", step=_HUNDREDTH)
    wanted = given(recession, "recession wanted", step=_HUNDREDTH)
    if deeper_reads not in (1, -1):
        raise ValueError(f"deeper_reads is {deeper_reads}; it has to be 1 or −1")
    if wanted.value < was.value:
        raise ValueError(
            f"trial_recession is {float(was.value):.6g} mm, deeper than the "
            f"{float(wanted.value):.6g} mm wanted; a seat cannot be cut back: a new insert or valve"
        )
    go = wanted - was
    stop = start + go if deeper_reads == 1 else start - go
    return SetUp(
        KIND,
        numbers=(
            total("stop the spindle's read-out at", stop, Sense.AXIAL, step=_HUNDREDTH),
            total("still to go from the trial", go, Sense.AXIAL, step=_HUNDREDTH),
        ),
    )


def cut_seat(
    recession_now: Plain,
    sink: Plain,
    head_cut: Plain = 0,
    seat_angle: Plain | None = None,
    least: Plain | None = None,
    most: Plain | None = None,
    trial_spindle: Plain | None = None,
    trial_recession: Plain | None = None,
    tip_height: Plain | None = None,
    width_least: Plain | None = None,
    width_most: Plain | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """What one seat is cut to and how the spindle gets there.

    recession to reach = now − head cut + sink; off the seat square to it = sink × cos α; the
    valve's tip rises by the sink.

    recession_now: read before the head was surfaced [mm].
    sink: how much deeper the valve is to sit, along the stem [mm], zero or more.
    head_cut: taken off the head face since the recession was read [mm], zero or more.
    seat_angle: from the plane of the head face [°], 5 to 75, or None.
    least: smallest recession allowed [mm], or None.
    most: largest recession allowed [mm], or None.
    trial_spindle: read-out at a trial cut [mm], or None.
    trial_recession: recession read at that trial [mm], or None.
    tip_height: of the stem's tip before [mm], or None.
    width_least: smallest seat width allowed [mm], or None.
    width_most: largest seat width allowed [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: recession, spindle read-out, metal off, tip height, seat width, passes.
    Holds for a guide that is final and a face that is final.
    Source: common practice.
    Raises ValueError when the recession would be outside its limits, or the trial is deeper.

    >>> made = cut_seat(1.08, 0.06, head_cut=0.14, seat_angle=45, least=0.80)
    >>> float(made.number("recession to reach").value)
    1.0
    """
    now = given(recession_now, "recession as found", step=_HUNDREDTH)
    deeper, off = given(sink, "sink", step=_HUNDREDTH), given(head_cut, "head cut", step=_HUNDREDTH)
    parts = now - off + deeper if off.counts else now + deeper
    reach = total("recession to reach", parts, Sense.AXIAL, step=_HUNDREDTH)
    low, high = plain(least), plain(most)
    if low is not None and reach.value < low:
        raise ValueError(
            f"recession comes out at {float(reach.value):.6g} mm; it has to be {float(low):.6g} "
            "mm or more: sink the seat further"
        )
    if high is not None and reach.value > high:
        raise ValueError(
            f"recession comes out at {float(reach.value):.6g} mm; it has to be {float(high):.6g} "
            "mm or less: a new insert"
        )
    numbers: list[Number] = [
        reach.held(low, high, "" if low is None and high is None else "limit"),
        total("sink the seat by", deeper, Sense.AXIAL, step=_HUNDREDTH),
    ]
    passes: tuple[Pass, ...] = ()
    if seat_angle is not None:
        alpha = given(seat_angle, "seat", "angle", _DEGREE)
        square = float(deeper.value) / axial_sink(1.0, float(alpha.value))
        numbers.append(
            by_rule("off the seat, square to it", round(square, 6), "sink × cos α",
                    (("sink", deeper), ("α", alpha)), step=_HUNDREDTH)
        )  # fmt: skip
        passes = passes_by_habit("cut seat", deeper, system, Sense.AXIAL, cuts)
    read_first: list[str] = []
    if trial_spindle is not None and trial_recession is not None:
        numbers += spindle_depth(
            trial_spindle, trial_recession, reach.given("recession wanted")
        ).numbers
    else:
        read_first.append(
            "for the spindle's stop: a light trial cut, its read-out and the recession then"
        )
    if tip_height is not None:
        tip = given(tip_height, "tip as found", step=_HUNDREDTH)
        numbers.append(total("stem tip stands at then", tip + deeper, Sense.AXIAL, step=_HUNDREDTH))
    narrow, wide = plain(width_least), plain(width_most)
    if narrow is not None and wide is not None:
        middle = Given((narrow + wide) / 2, "middle of its limits", step=Fraction(1, 10))
        numbers.append(
            total("seat width, along its slope", middle, step=Fraction(1, 10)).held(
                narrow, wide, "limit"
            )
        )
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes,
        looks=("Cut the deepest valve first, then match the others to it.",
               "Look after every light touch: stop as soon as the ring is whole."),
        read_first=tuple(read_first),
    )  # fmt: skip


def cutting_seats(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """For each seat, the deepest first: recession, cones where the sizes are known, spring."""
    found: list[SetUp] = []
    for seat in sorted(step.features, key=lambda name: -_depth(look, name)):
        found += _one_seat(look, seat)
    return tuple(found)


def _depth(look: Lookup, seat: str) -> Fraction:
    size = look.state.size(seat, "valve recession")
    return size.high.value if size is not None else Fraction(0)


def _one_seat(look: Lookup, seat: str) -> list[SetUp]:
    valve = seat.rsplit(" ", 1)[-1]
    now, sink = look.now(seat, "valve recession"), _sink(look, seat)
    trial = look.bench.trials.get(valve)
    limit, width = look.limit("valve recession", seat), look.new_bounds("seat width", seat)
    bounds = None if limit is None else limit.side("service")
    angle = look.nominal("seat angle", "seat")
    inserted = look.chosen("fit seat insert", seat) is not None
    needed: dict[str, Any] = {"recession_now": now, "sink": sink}
    plainly: dict[str, Any] = {
        "head_cut": look.head_cut(seat),
        "least": None if bounds is None else bounds.low,
        "most": None if bounds is None else bounds.high,
        "trial_spindle": None if trial is None else trial.spindle,
        "trial_recession": None if trial is None else trial.recession,
        "width_least": None if width is None else width.low,
        "width_most": None if width is None else width.high,
        "system": look.system,
        "cuts": look.own_cuts("cut seat"),
    }
    if inserted:
        # what the old seat stood at says nothing of the new one: the target itself is the start
        target = look.planned(seat, "valve recession", "middle")
        if isinstance(target, Given):
            target = Given(target.value, "middle of the limits for new", step=_HUNDREDTH)
        needed = {"recession_now": target, "sink": Given(Fraction(0), "sink")}
        plainly["head_cut"] = 0
    wanted = {"seat_angle": angle, "tip_height": look.now(f"valve {valve}", "tip height")}
    main = made(KIND, cut_seat, (seat,), needed, {} if inserted else wanted, plainly)
    if inserted:
        labels = ("sink the seat by",)
        main = replace(main, numbers=tuple(n for n in main.numbers if n.label not in labels))
    return [main, *_cones(look, seat, valve, angle, width), *_spring(look, valve, sink, inserted)]


def _sink(look: Lookup, seat: str) -> Given | Missing:
    """How much the plan sinks this valve: the seat's own cut."""
    valve = seat.rsplit(" ", 1)[-1]
    if look.chosen("fit seat insert", seat) is not None:
        after, before = (
            look.plan.sizes.get(Key(seat, "valve recession")),
            look.state.size(seat, "valve recession"),
        )
        if after is None or before is None:
            return look.unread(Key(seat, "valve recession"))
        return Given(after.high.value - before.high.value + look.head_cut(seat).value,
                     "sink, new insert", step=_HUNDREDTH)  # fmt: skip
    return Given(look.amount(f"sink of seat {valve}"), "sink", step=_HUNDREDTH)


def _cones(look: Lookup, seat: str, valve: str, angle: Given | Missing, width: Any) -> list[SetUp]:
    """Top and throat cuts, where somebody said what the valve and the cutters are."""
    head = look.known("valve head diameter", seat)
    outer = look.known("seat outer diameter", seat)
    if isinstance(head, Missing) or isinstance(outer, Missing) or width is None:
        return []
    if width.width is None:
        return []
    recession = look.planned(seat, "valve recession", "middle")
    middle = Given(width.middle, "middle of the width's limits", step=Fraction(1, 10))
    set_up = made(
        CONES,
        cut_cones,
        (seat,),
        {
            "valve_diameter": head,
            "margin": look.planned(f"valve {valve}", "valve margin"),
            "recession": recession,
            "seat_outer": outer,
            "width": middle,
            "seat_angle": angle,
            "top_angle": look.known("top cutter angle", seat),
            "throat_angle": look.known("throat cutter angle", seat),
        },
        {"face_width": look.known("valve face width", seat)},
        {
            name: value
            for name, value in (
                ("outer_now", look.known("seat outer diameter now", seat)),
                ("inner_now", look.known("seat inner diameter now", seat)),
                ("face_angle", look.known("valve face angle", seat)),
            )
            if isinstance(value, Given)
        },
    )
    return [set_up]


def _spring(look: Lookup, valve: str, sink: Given | Missing, inserted: bool) -> list[SetUp]:
    spring = f"spring {valve}"
    if look.state.size(spring, "spring installed height") is None:
        return []
    limit = look.limit("spring installed height", spring)
    bounds = None if limit is None else limit.side("service")
    return [
        made(
            "spring height after the seat",
            shim_spring,
            (spring,),
            {
                "height": look.now(spring, "spring installed height"),
                "wanted": look.aim("spring installed height", spring, "height wanted"),
                "sink": sink,
            },
            {},
            {
                "most": None if bounds is None else bounds.high,
                "least": None if bounds is None else bounds.low,
                "test_load": _value(look.planned(spring, "spring load", "middle")),
                "test_height": _value(look.known("spring test height", spring)),
                "rate": _value(look.known("spring rate", spring)),
                "solid": _value(look.known("spring solid length", spring)),
                "lift": _value(look.known("valve lift", spring)),
            },
        )
    ]


def _value(value: Given | Missing) -> Given | None:
    return None if isinstance(value, Missing) else value

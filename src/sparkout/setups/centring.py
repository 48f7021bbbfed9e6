"""Where the centre of a bore is taken from: dowels, the unworn end, or free within a limit.

A centre is moved only where the bore does not clean up on its own, and then no farther than it has
to go.

Source: common practice; the clean-up sizes are geometry: the cutting circle has to hold the worn
wall, which stands off the unworn circle by the depth of the wear on one side.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, by_rule, given, not_below_zero, total, worked_out
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups.number import Given, Plain
from sparkout.setups.record import SetUp

__all__ = ["bore_centre", "centre_from_readings"]

KIND = "centre of the bore"

_STAYS = "It cleans up on its own centre: leave the centre where it is."
_MOVED = (
    "A moved centre tilts the load on the piston and changes spacing and squish: how far it may go "
    "is the shop's rule or the maker's word."
)


def centre_from_readings(right: Plain, left: Plain, front: Plain, rear: Plain) -> SetUp:
    """How far an indicator swung in a bore says the spindle stands off its centre.

    offset across = (right − left) ÷ 2; along = (front − rear) ÷ 2; readings larger where the wall
    is farther away.

    right: indicator reading towards the right wall [mm].
    left: towards the left wall [mm].
    front: towards the front wall [mm].
    rear: towards the rear wall [mm].
    Returns the set-up: how far the spindle has to go to the right and to the front.
    Holds at an unworn height, read square to the axis.
    Source: geometry.

    >>> moved = centre_from_readings(0.08, 0.02, 0.01, 0.03)
    >>> [float(n.value) for n in moved.numbers]
    [0.03, -0.01]
    """
    walls = [given(v, w) for v, w in ((right, "right"), (left, "left"), (front, "front"),
                                      (rear, "rear"))]  # fmt: skip
    across = total("move the spindle to the right", (walls[0] - walls[1]) / 2, Sense.RADIAL)
    along = total("move the spindle to the front", (walls[2] - walls[3]) / 2, Sense.RADIAL)
    return SetUp(KIND, numbers=(across, along))


def bore_centre(
    unworn: Plain,
    wear: Plain,
    offset_limit: Plain,
    true_centre_off: Plain = 0,
    finish: Plain | None = None,
) -> SetUp:
    """Smallest clean-up diameter for each way of taking the centre of a worn bore.

    On the unworn end: 2 × (R + w). On the dowels: the same + 2 × how far they stand from it. Free:
    2 × max(R + w − e, R + e) with e = w ÷ 2 but at most the limit, towards the wear. Where the
    finish is known and the unworn end's centre cleans up at it, the centre stays; else
    e = (clean-up − finish) ÷ 2 at least.

    unworn: diameter where nothing wore [mm], above zero.
    wear: deepest wear or score below the unworn wall, on one side [mm], zero or more.
    offset_limit: farthest the centre may be moved off the true one [mm], zero or more.
    true_centre_off: how far dowels or true centre stand from the unworn end's centre [mm], zero or
    more.
    finish: diameter the bore is finished to [mm], above zero, or None where it is not settled.
    Returns the set-up: the clean-up diameters, what is to spare, and the offset of a moved centre
    where one is needed or no finish says.
    Holds for wear on one side, the worst case where two-point readings do not say which.
    Source: geometry; which of the three is allowed is the shop's or the maker's word.
    Raises ValueError naming the number when it is out of range.

    >>> found = bore_centre(4.0010 * 25.4, 0.0258 * 25.4, 0.010 * 25.4)
    >>> round(float(found.number("cleans up at, moved towards the wear").value) / 25.4, 4)
    4.0326
    >>> [n.label for n in bore_centre(72.008, 0.15, 0.04, finish=72.5).numbers]
    ['cleans up at, on the unworn end', 'to spare there']
    """
    bore, deep = given(unworn, "unworn diameter"), given(wear, "wear on one side")
    limit = given(offset_limit, "farthest off the true centre")
    off = given(true_centre_off, "true centre off the unworn end's")
    end = None if finish is None else given(finish, "finish")
    above_zero(unworn=bore, finish=bore if end is None else end)
    not_below_zero(wear=deep, offset_limit=limit, true_centre_off=off)
    own = total("cleans up at, on the unworn end", bore + deep.times(2), Sense.DIAMETRAL)
    numbers = [own]
    if off.value:
        dowels = total(
            "cleans up at, on the dowels",
            own.given("unworn end") + off.times(2),
            Sense.DIAMETRAL,
        )
        numbers.append(dowels.held(None, end.value, "finish") if end is not None else dowels)
    if end is not None and own.value <= end.value:
        spare = total("to spare there", end - own.given("clean-up"), Sense.DIAMETRAL)
        return SetUp(KIND, numbers=(*numbers, spare), notes=(_STAYS,))
    half = worked_out(deep / 2, "half the wear")
    away = half if half.value <= limit.value else limit
    moved = total("move the centre towards the wear", away, Sense.RADIAL)
    if end is not None:
        needed = (own.given("clean-up") - end) / 2
        moved = (
            total("move the centre towards the wear, at least", needed, Sense.RADIAL)
            .held(None, away.value, away.words)
            .marked(*away.marks)
        )
    # beyond half the wear the far wall would decide; e never gets there
    size = max(bore.value / 2 + deep.value - away.value, bore.value / 2 + away.value) * 2
    free = by_rule(
        "cleans up at, moved towards the wear",
        size,
        "2 × larger of (R + w − e) and (R + e)",
        (("R", worked_out(bore / 2, "unworn radius")), ("w", deep), ("e", away)),
        Sense.DIAMETRAL,
    )
    if end is not None:
        free = free.held(None, end.value, "finish").marked(*end.marks)
    return SetUp(KIND, numbers=(*numbers, moved, free), notes=(_MOVED,))


def centring(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """For the bore that decides the size, the one that cleans up last: own centre or moved."""
    worst: tuple[Fraction, str] | None = None
    for bore in step.features:
        clean = look.state.size(bore, "bore clean-up diameter")
        if clean is None or look.chosen("sleeve cylinder", bore) is not None:
            continue
        if worst is None or clean.high.value > worst[0]:
            worst = (clean.high.value, bore)
    if worst is None or look.frame.cylinder_kind.lined:
        return ()
    bore = worst[1]
    unworn = look.now(bore, "bore diameter", "low")
    clean_up = look.now(bore, "bore clean-up diameter")
    limit = look.known("centre offset limit", bore)
    wear: Given | Missing = clean_up
    if isinstance(unworn, Given) and isinstance(clean_up, Given):
        wear = worked_out((clean_up - unworn) / 2, "wear on one side")
    own = limit if isinstance(limit, Given) else look.thumb("centre offset")
    return (
        made(
            KIND,
            bore_centre,
            (bore,),
            {"unworn": unworn, "wear": wear, "offset_limit": own},
            {},
            {"finish": _finish(look, bore)},
        ),
    )


def _finish(look: Lookup, bore: str) -> Given | None:
    """What the bore will be finished to, or None until its piston is in hand or planned."""
    number = bore.rsplit(" ", 1)[-1]
    skirt = look.planned(f"piston {number}", "piston skirt diameter")
    gap = look.aim("piston clearance", bore, "clearance")
    if isinstance(skirt, Missing) or isinstance(gap, Missing):
        return None
    return worked_out(skirt + gap, "finish, piston and clearance")

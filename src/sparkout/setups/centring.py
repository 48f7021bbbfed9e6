"""Where the centre of a bore is taken from: dowels, the unworn end, or free within a limit.

Source: common practice; the clean-up sizes are geometry: the cutting circle has to hold the worn
wall, which stands off the unworn circle by the depth of the wear on one side.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import by_rule, given, total, worked_out
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made
from sparkout.setups.number import Given, Plain
from sparkout.setups.record import SetUp

__all__ = ["bore_centre", "centre_from_readings"]

KIND = "centre of the bore"


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
    unworn: Plain, wear: Plain, offset_limit: Plain, true_centre_off: Plain = 0
) -> SetUp:
    """Smallest clean-up diameter for each way of taking the centre of a worn bore.

    On the unworn end: 2 × (R + w). On the dowels: the same + 2 × how far they stand from it. Free:
    2 × max(R + w − e, R + e) with e = w ÷ 2 but at most the limit, towards the wear.

    unworn: diameter where nothing wore [mm], above zero.
    wear: deepest wear or score below the unworn wall, on one side [mm], zero or more.
    offset_limit: farthest the centre may be moved off the true one [mm], zero or more.
    true_centre_off: how far dowels or true centre stand from the unworn end's centre [mm], zero or
    more.
    Returns the set-up: three clean-up diameters and the offset of the third.
    Holds for wear on one side, the worst case where two-point readings do not say which.
    Source: geometry; which of the three is allowed is the shop's or the maker's word.
    Raises ValueError naming the number when it is out of range.

    >>> found = bore_centre(4.0010 * 25.4, 0.0258 * 25.4, 0.010 * 25.4)
    >>> round(float(found.number("cleans up at, moved towards the wear").value) / 25.4, 4)
    4.0326
    """
    bore, deep = given(unworn, "unworn diameter"), given(wear, "wear on one side")
    limit = given(offset_limit, "farthest off the true centre")
    off = given(true_centre_off, "true centre off the unworn end's")
    if bore.value <= 0:
        raise ValueError(f"unworn is {float(bore.value):.6g} mm; it has to be above 0 mm")
    for item, name in ((deep, "wear"), (limit, "offset_limit"), (off, "true_centre_off")):
        if item.value < 0:
            raise ValueError(f"{name} is {float(item.value):.6g} mm; it has to be 0 mm or more")
    own = total("cleans up at, on the unworn end", bore + deep.times(2), Sense.DIAMETRAL)
    numbers = [own]
    if off.value:
        numbers.append(
            total(
                "cleans up at, on the dowels",
                own.given("unworn end") + off.times(2),
                Sense.DIAMETRAL,
            )
        )
    half = worked_out(deep / 2, "half the wear")
    away = half if half.value <= limit.value else limit
    moved = total("move the centre towards the wear", away, Sense.RADIAL)
    # beyond half the wear the far wall would decide; e never gets there
    size = max(bore.value / 2 + deep.value - away.value, bore.value / 2 + away.value) * 2
    free = by_rule(
        "cleans up at, moved towards the wear",
        size,
        "2 × larger of (R + w − e) and (R + e)",
        (("R", worked_out(bore / 2, "unworn radius")), ("w", deep), ("e", away)),
        Sense.DIAMETRAL,
    )
    return SetUp(
        KIND,
        numbers=(*numbers, moved, free),
        notes=(
            "A moved centre tilts the load on the piston and changes spacing and squish: how far "
            "it may go is the shop's rule or the maker's word.",
        ),
    )


def centring(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """The three ways for the bore that decides the size: the one that cleans up last."""
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
        made(KIND, bore_centre, (bore,), {"unworn": unworn, "wear": wear, "offset_limit": own}),
    )

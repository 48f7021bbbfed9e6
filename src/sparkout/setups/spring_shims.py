"""The spring after the seat was sunk: its height, the shim that brings it back, loads, coil bind.

Source: geometry and Hooke's law as in `mechanics.springs.installed`; shims are common practice.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.mechanics.springs.installed import installed_spring
from sparkout.setups._build import above_zero, by_rule, given, plain, total
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["shim_spring"]

KIND = "spring height and shim"
_HUNDREDTH = Fraction(1, 100)


def shim_spring(
    height: Plain,
    wanted: Plain,
    sink: Plain = 0,
    face_grind: Plain = 0,
    least: Plain | None = None,
    most: Plain | None = None,
    test_load: Plain | None = None,
    test_height: Plain | None = None,
    rate: Plain | None = None,
    lift: Plain | None = None,
    solid: Plain | None = None,
) -> SetUp:
    """Installed height after the work and the shim that brings it back.

    after = before + sink + face grind; shim = after − wanted, when that is above zero; loads and
    margin to coil bind after `mechanics.springs.installed`.

    height: installed height before, retainer to seat [mm], above zero.
    wanted: installed height asked for [mm], above zero.
    sink: of the valve from cutting its seat, along the stem [mm].
    face_grind: of the valve from grinding its face, along the stem [mm].
    least: smallest height allowed [mm], or None.
    most: largest height allowed [mm], or None.
    test_load: load on the tester [N], or None.
    test_height: height of that test [mm], or None.
    rate: of the spring [N/mm], or None.
    lift: largest valve lift [mm], or None.
    solid: length of the spring solid [mm], or None.
    Returns the set-up: height, shim, loads and coil-bind margin with that shim.
    Holds with the same retainer and keepers.
    Source: geometry; Hooke's law.
    Raises ValueError when the coils would bind, or a number is out of range.

    >>> made = shim_spring(33.0, 33.0, 0.22, most=33.4)
    >>> [round(float(n.value), 2) for n in made.numbers]
    [33.22, 0.22]
    """
    was, aim = given(height, "height before", step=_HUNDREDTH), given(wanted, "height wanted")
    down = given(sink, "sink", step=_HUNDREDTH)
    ground = given(face_grind, "off the valve's face", step=_HUNDREDTH)
    above_zero(height=was, wanted=aim)
    parts = was + down + ground if ground.counts else was + down
    after = total("installed height after", parts, Sense.AXIAL, step=_HUNDREDTH)
    low, high = plain(least), plain(most)
    numbers: list[Number] = [after.held(low, high, "" if high is None else "limit")]
    notes: list[str] = []
    shimmed = after.given("installed")
    if after.value > aim.value:
        shim = total("shim to bring it back", after.given("after") - aim, Sense.AXIAL,
                     step=_HUNDREDTH)  # fmt: skip
        numbers.append(shim)
        # the shim was sized from both, so what is uncertain about either stays
        shimmed = Given(aim.value, "installed", marks=shim.marks)
        if high is None or after.value <= high:
            notes.append("Within its limit without a shim: a shim is a choice, not a need.")
    elif after.value < aim.value:
        notes.append("Lower than wanted already: shims only lower it further.")
    numbers += _loads(shimmed, test_load, test_height, rate, lift, solid)
    return SetUp(KIND, numbers=tuple(numbers), notes=tuple(notes),
                 source="geometry; Hooke's law")  # fmt: skip


def _loads(
    height: Given,
    test_load: Plain | None,
    test_height: Plain | None,
    rate: Plain | None,
    lift: Plain | None,
    solid: Plain | None,
) -> list[Number]:
    if None in (test_load, test_height, rate, lift, solid):
        return []
    values = [
        given(value, words, kind)
        for value, words, kind in (
            (test_load, "load on the tester", "force"),
            (test_height, "at", "length"),
            (rate, "rate", "stiffness"),
            (lift, "lift", "length"),
            (solid, "solid", "length"),
        )
        if value is not None
    ]
    load, place, stiff, up, blocked = (float(item.value) for item in values)
    spring = installed_spring(load, place, stiff, float(height.value), up, blocked)
    inputs = tuple(zip(("F", "h", "k", "lift", "solid"), values, strict=True))
    return [
        by_rule("seat load", round(spring.seat_load, 3), "F + k × (h − installed)",
                (*inputs[:3], ("installed", height)), kind="force"),
        by_rule("load at full lift", round(spring.open_load, 3), "F + k × (h − installed + lift)",
                (*inputs[:4], ("installed", height)), kind="force"),
        by_rule("left to coil bind", round(spring.bind_margin, 6), "installed − lift − solid",
                (("installed", height), *inputs[3:]), Sense.AXIAL, step=_HUNDREDTH),
    ]  # fmt: skip

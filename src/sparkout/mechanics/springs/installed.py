"""The valve spring as installed: seat and open load, shims, and what is left to coil bind."""

from __future__ import annotations

from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.cautions import Caution

__all__ = [
    "InstalledSpring",
    "height_after_head_work",
    "installed_spring",
    "load_at_height",
    "shim_for_height",
]


class InstalledSpring(NamedTuple):
    """Loads [N] and what is left to coil bind at full lift [mm]."""

    seat_load: float
    open_load: float
    bind_margin: float
    cautions: tuple[Caution, ...]


def load_at_height(test_load: float, test_height: float, rate: float, height: float) -> float:
    """Load of a spring at a height, from a test at another one.

    F = F_test + k × (h_test − h).

    test_load: load read on the tester [N], zero or more (0 at the free length).
    test_height: height of that test [mm], above zero.
    rate: of the spring [N/mm], above zero.
    height: height asked for [mm], above zero.
    Returns the load [N].
    Holds for a spring of one rate, not solid at either height.
    Source: Hooke's law; Shigley's Mechanical Engineering Design, 10th edition, 10-3.
    Raises ValueError naming the number when one is out of range, or when the spring hangs free.

    >>> load_at_height(0.0, 52.0, 35.0, 40.0)
    420.0
    """
    _bounds.at_least("test_load", test_load, 0.0, "N")
    _bounds.above("test_height", test_height, 0.0, "mm")
    _bounds.above("rate", rate, 0.0, "N/mm")
    _bounds.above("height", height, 0.0, "mm")
    load = test_load + rate * (test_height - height)
    if load < 0.0:
        free = test_height + test_load / rate
        raise ValueError(
            f"height is {height:.6g} mm, above the free length of {free:.6g} mm: the spring hangs "
            "loose; it has to be below that"
        )
    return load


def installed_spring(
    test_load: float,
    test_height: float,
    rate: float,
    installed_height: float,
    lift: float,
    solid: float,
    least_margin: float | None = None,
) -> InstalledSpring:
    """Seat load, open load and coil-bind margin of a valve spring.

    seat = F(h); open = F(h − lift); margin = h − lift − solid.

    test_load: load read on the tester [N], zero or more.
    test_height: height of that test [mm], above zero.
    rate: of the spring [N/mm], above zero.
    installed_height: valve shut, retainer to seat [mm], above zero.
    lift: largest valve lift [mm], zero or more.
    solid: solid length, measured or from `coil.solid_length` [mm], above zero.
    least_margin: margin to coil bind asked for [mm], or None when no limit is given.
    Returns both loads and the margin; a caution "coil_bind_margin" where it is below the one given.
    Holds for a spring of one rate.
    Source: Hooke's law; margin as common practice measures it.
    Raises ValueError when the lift would drive the spring solid, or a number is out of range.

    >>> s = installed_spring(0.0, 52.0, 35.0, 40.0, 11.0, 26.0)
    >>> s.seat_load, s.open_load, s.bind_margin
    (420.0, 805.0, 3.0)
    """
    _bounds.at_least("lift", lift, 0.0, "mm")
    _bounds.above("solid", solid, 0.0, "mm")
    margin = installed_height - lift - solid
    if margin < 0.0:
        raise ValueError(
            f"installed_height less lift is {installed_height - lift:.6g} mm, below the solid "
            f"length of {solid:.6g} mm: the coils bind; it has to be above it"
        )
    seat = load_at_height(test_load, test_height, rate, installed_height)
    opened = load_at_height(test_load, test_height, rate, installed_height - lift)
    cautions: tuple[Caution, ...] = ()
    if least_margin is not None and margin < least_margin:
        cautions = (
            Caution(
                "coil_bind_margin", margin, least_margin, "mm",
                "less is left to coil bind at full lift than asked for",
            ),
        )  # fmt: skip
    return InstalledSpring(seat, opened, margin, cautions)


def height_after_head_work(
    height: float, seat_sink: float = 0.0, face_grind: float = 0.0, shims: float = 0.0
) -> float:
    """Installed height after seat and valve work.

    new = old + seat sink + face grind − shims.

    height: installed height before [mm], above zero.
    seat_sink: how much deeper the valve sits from seat cutting, along the valve [mm].
    face_grind: how much deeper from grinding the valve face, along the valve [mm].
    shims: added under the spring [mm].
    Returns the installed height after [mm].
    Holds with the same retainer and keeper groove; a normal cut n sinks a valve by n ÷ cos(seat
    angle), see `valve_seat.axial_sink`.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(height_after_head_work(40.0, 0.30, 0.20, 0.5), 3)
    40.0
    """
    _bounds.above("height", height, 0.0, "mm")
    new = height + seat_sink + face_grind - shims
    _bounds.above("installed height after the work", new, 0.0, "mm")
    return new


def shim_for_height(height: float, wanted: float) -> float:
    """Shims that bring a spring back to the installed height wanted.

    shims = height − wanted.

    height: installed height as it is [mm], above zero.
    wanted: installed height asked for [mm], above zero, at most the height.
    Returns the shim thickness [mm], zero or more.
    Holds for shims under the spring; check coil bind again at the new height.
    Source: geometry; common practice.
    Raises ValueError when the height is already below the one wanted: shims only lower it.

    >>> round(shim_for_height(40.8, 40.0), 3)
    0.8
    """
    _bounds.above("wanted", wanted, 0.0, "mm")
    if height < wanted:
        raise ValueError(
            f"height is {height:.6g} mm, already below the {wanted:.6g} mm wanted: shims only "
            "lower it; take shims out, sink the seat or change the retainer"
        )
    return height - wanted

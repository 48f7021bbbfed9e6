"""Seat width and contact, and how far a cut lets the valve sink."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["SeatContact", "axial_sink", "recession_after_work", "seat_contact", "seat_width"]


class SeatContact(NamedTuple):
    """Width of the seat along the face and what is left of the face each side of it [mm]."""

    width: float
    outer_margin: float
    inner_margin: float


def _check_angle(seat_angle: float) -> None:
    _bounds.within("seat_angle", seat_angle, 5.0, 75.0, "°")


def seat_width(outer: float, inner: float, seat_angle: float) -> float:
    """Width of a seat along its slope.

    w = (Do − Di) ÷ (2 cos α).

    outer: outer diameter of the seat [mm], above the inner one.
    inner: inner diameter of the seat [mm], above zero.
    seat_angle: from the plane of the head face [°], 5 to 75.
    Returns the width [mm].
    Holds for a conical seat.
    Source: geometry.
    Raises ValueError naming the number when one is out of range.

    >>> round(seat_width(38.0, 35.5, 45.0), 3)
    1.768
    """
    _bounds.above("inner", inner, 0.0, "mm")
    _bounds.above("outer", outer, inner, "mm")
    _check_angle(seat_angle)
    return (outer - inner) / (2.0 * math.cos(math.radians(seat_angle)))


def seat_contact(
    seat_outer: float, seat_inner: float, face_outer: float, face_inner: float, seat_angle: float
) -> SeatContact:
    """Where a seat meets the valve face, refused when it reaches past it.

    margins = (face outer − seat outer) ÷ (2 cos α) and (seat inner − face inner) ÷ (2 cos α).

    seat_outer: outer diameter of the seat [mm], above its inner one.
    seat_inner: inner diameter of the seat [mm], above zero.
    face_outer: outer diameter of the ground valve face [mm], above its inner one.
    face_inner: inner diameter of the ground valve face [mm], above zero.
    seat_angle: from the plane of the head face [°], 5 to 75.
    Returns seat width and margins along the slope [mm].
    Holds for a valve shut, face and seat of one angle (an angle apart by a degree adds little).
    Source: geometry.
    Raises ValueError when the seat is wider than the face or hangs over it, naming the diameters.

    >>> round(seat_contact(38.0, 35.5, 39.0, 34.0, 45.0).outer_margin, 3)
    0.707
    """
    width = seat_width(seat_outer, seat_inner, seat_angle)
    face = seat_width(face_outer, face_inner, seat_angle)
    if width > face:
        raise ValueError(
            f"seat is {width:.4g} mm wide, wider than the valve face, {face:.4g} mm; it has to be "
            "narrower: take it down with the top and throat cutters"
        )
    if seat_outer > face_outer:
        raise ValueError(
            f"seat outer diameter is {seat_outer:.6g} mm, past the valve face's {face_outer:.6g} "
            "mm; it has to be inside it: lower the seat from the top with the flatter cutter"
        )
    if seat_inner < face_inner:
        raise ValueError(
            f"seat inner diameter is {seat_inner:.6g} mm, inside the valve face's {face_inner:.6g} "
            "mm; it has to be above it: open the throat with the steeper cutter"
        )
    slope = 2.0 * math.cos(math.radians(seat_angle))
    return SeatContact(width, (face_outer - seat_outer) / slope, (seat_inner - face_inner) / slope)


def axial_sink(normal_cut: float, seat_angle: float) -> float:
    """How far a valve sinks along its stem for a cut square to the seat or face.

    sink = n ÷ cos α.

    normal_cut: metal taken square to the slope [mm], zero or more.
    seat_angle: from the plane of the head face [°], 5 to 75.
    Returns the sink along the stem [mm]: 1.414 n at 45°, 1.155 n at 30°.
    Holds for a cut of even depth all the way round.
    Source: geometry.
    Raises ValueError naming the number when one is out of range.

    >>> round(axial_sink(0.10, 45.0), 4), round(axial_sink(0.10, 30.0), 4)
    (0.1414, 0.1155)
    """
    _bounds.at_least("normal_cut", normal_cut, 0.0, "mm")
    _check_angle(seat_angle)
    return normal_cut / math.cos(math.radians(seat_angle))


def recession_after_work(
    recession: float,
    head_cut: float = 0.0,
    seat_sink: float = 0.0,
    face_sink: float = 0.0,
    raised_by_new_parts: float = 0.0,
) -> float:
    """Valve recession after surfacing, seat and valve work.

    new = old − head cut + seat sink + face sink − raised by a new insert or valve.

    recession: valve below the head face before, positive down [mm].
    head_cut: taken off the head face [mm], zero or more.
    seat_sink: along the stem, from cutting the seat [mm], zero or more.
    face_sink: along the stem, from grinding the valve face [mm], zero or more.
    raised_by_new_parts: along the stem, by a new insert or valve [mm], zero or more.
    Returns the recession after [mm]; negative, the valve stands proud.
    Holds for a valve square to the head face; for one tilted by γ the cut counts head cut ÷ cos γ.
    Source: geometry; common practice.
    Raises ValueError naming the number when one is out of range.

    >>> round(recession_after_work(0.95, head_cut=0.14, seat_sink=0.06), 3)
    0.87
    """
    for name, value in (
        ("head_cut", head_cut),
        ("seat_sink", seat_sink),
        ("face_sink", face_sink),
        ("raised_by_new_parts", raised_by_new_parts),
    ):
        _bounds.at_least(name, value, 0.0, "mm")
    _bounds.finite("recession", recession, "mm")
    return recession - head_cut + seat_sink + face_sink - raised_by_new_parts

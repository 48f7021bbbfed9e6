"""The three cones of a valve seat: where they cross, where the valve sits on them, how deep.

All angles are from the plane of the head face; depths are along the guide, positive into the head.
A seat of angle α lies at depth d = Ds − r × tan α; the flatter top cut and the steeper throat cut
are lines of the same kind, and the seat is what is left between its crossings with them.

Source: geometry; the tests cut the same seat and drop the same valve numerically.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import NamedTuple

from sparkout.engine.characteristics import Sense
from sparkout.mechanics.valve_seat import seat_contact
from sparkout.setups._build import above_zero, by_rule, exact, given, total, worked_out
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["Cones", "cut_cones", "seat_cones"]

KIND = "cut the three angles of a seat"
_DEGREE = Fraction(1, 100)
_HUNDREDTH = Fraction(1, 100)


class Cones(NamedTuple):
    """A seat between its top and throat cuts: diameters and depths below the head face [mm]."""

    outer: float
    inner: float
    contact: float
    """where the valve touches: the middle of the seat, or its edge when the angles differ"""
    outer_depth: float
    inner_depth: float
    seat_at_axis: float
    """depth at which the seat's cone would meet the guide's axis"""
    top_at_axis: float
    throat_at_axis: float


def seat_cones(
    valve_diameter: float,
    margin: float,
    recession: float,
    seat_outer: float,
    width: float,
    seat_angle: float = 45.0,
    top_angle: float = 30.0,
    throat_angle: float = 60.0,
    face_angle: float | None = None,
) -> Cones:
    """Where the three cones of a seat have to lie for a contact and a recession.

    Ds = recession + margin + Rv × tan αv + rc × (tan α − tan αv), rc the radius it touches at;
    inner diameter = outer − 2 × width × cos α; the top cone passes the seat at the outer diameter,
    the throat cone at the inner one.

    valve_diameter: across the outer edge of the valve's face [mm], above zero.
    margin: cylindrical rim of the valve between face and head [mm], zero or more.
    recession: of the valve below the head face, negative when it stands proud [mm].
    seat_outer: outer diameter of the seat [mm], above zero, at most the valve's.
    width: of the seat along its slope [mm], above zero.
    seat_angle: [°], between top and throat angle.
    top_angle: of the top cutter [°], 0 to below the seat angle.
    throat_angle: of the throat cutter [°], above the seat angle, below 90.
    face_angle: of the valve's face [°], or None when it is the seat's.
    Returns diameters, depths below the head face and the three cones' depths on the axis.
    Holds for cones true to one axis and a valve square to the head face.
    Source: geometry.
    Raises ValueError naming the angle or size that cannot be.

    >>> c = seat_cones(40.0, 1.5, 0.95, 39.0, 1.6)
    >>> round(c.inner, 3), round(c.outer_depth, 3)
    (36.737, 2.95)
    """
    face = seat_angle if face_angle is None else face_angle
    above_zero(valve_diameter=valve_diameter, seat_outer=seat_outer, width=width)
    if margin < 0.0:
        raise ValueError(f"margin is {margin:.6g} mm; it has to be 0 mm or more")
    if not 0.0 <= top_angle < seat_angle < throat_angle < 90.0:
        raise ValueError(
            f"top, seat and throat angles are {top_angle:.6g}°, {seat_angle:.6g}° and "
            f"{throat_angle:.6g}°; each has to be steeper than the one before, from 0° to below 90°"
        )
    if not 5.0 <= face <= 75.0:
        raise ValueError(f"face_angle is {face:.6g}°; it has to lie from 5° to 75°")
    if seat_outer > valve_diameter:
        raise ValueError(
            f"seat_outer is {seat_outer:.6g} mm, past the valve's {valve_diameter:.6g} mm; it has "
            "to be inside it"
        )
    inner = seat_outer - 2.0 * width * math.cos(math.radians(seat_angle))
    if inner <= 0.0:
        raise ValueError(
            f"width is {width:.6g} mm; it has to be below {seat_outer / 2.0:.6g} mm, where the "
            "seat would reach the axis"
        )
    seat, valve = math.tan(math.radians(seat_angle)), math.tan(math.radians(face))
    top, throat = math.tan(math.radians(top_angle)), math.tan(math.radians(throat_angle))
    # A flatter face than the seat's touches at the outer edge, a steeper one at the inner edge.
    touches = (seat_outer + inner) / 2.0
    if face < seat_angle:
        touches = seat_outer
    elif face > seat_angle:
        touches = inner
    axis = recession + margin + valve_diameter / 2.0 * valve + touches / 2.0 * (seat - valve)
    return Cones(
        seat_outer,
        inner,
        touches,
        axis - seat_outer / 2.0 * seat,
        axis - inner / 2.0 * seat,
        axis,
        axis - seat_outer / 2.0 * (seat - top),
        axis + inner / 2.0 * (throat - seat),
    )


def cut_cones(
    valve_diameter: Plain,
    margin: Plain,
    recession: Plain,
    seat_outer: Plain,
    width: Plain,
    seat_angle: Plain = 45,
    top_angle: Plain = 30,
    throat_angle: Plain = 60,
    face_angle: Plain | None = None,
    face_width: Plain | None = None,
    outer_now: Plain | None = None,
    inner_now: Plain | None = None,
) -> SetUp:
    """Diameters, depths and feeds for the seat, top and throat cuts of one valve.

    cones after `seat_cones`; top feed = (outer now − outer) ÷ 2 × (tan α − tan τ); throat feed =
    (inner − inner now) ÷ 2 × (tan γ − tan α), each from touching the seat's edge.

    valve_diameter: across the outer edge of the valve's face [mm], above zero.
    margin: cylindrical rim of the valve [mm], zero or more.
    recession: wanted, of the valve below the head face [mm].
    seat_outer: outer diameter wanted [mm], above zero.
    width: of the seat along its slope, wanted [mm], above zero.
    seat_angle: [°], between top and throat angle.
    top_angle: of the top cutter [°], 0 to below the seat angle.
    throat_angle: of the throat cutter [°], above the seat angle.
    face_angle: of the valve's face [°], or None when it is the seat's.
    face_width: of the valve's face along its slope [mm], or None.
    outer_now: outer diameter of the seat as cut to depth [mm], or None.
    inner_now: inner diameter of the seat as cut to depth [mm], or None.
    Returns the set-up: both diameters, contact, depths below the face, feeds.
    Holds as `seat_cones`; feeds count once the seat itself is at its depth.
    Source: geometry.
    Raises ValueError when the seat hangs over the valve's face or an angle or size cannot be.

    >>> made = cut_cones(40, 1.5, 0.95, 39.0, 1.6, outer_now=39.6)
    >>> round(float(made.number("top cut, from touching the seat's edge").value), 4)
    0.1268
    """
    names = {
        "valve": given(valve_diameter, "across the valve's face"),
        "margin": given(margin, "valve margin"),
        "recession": given(recession, "recession wanted"),
        "outer": given(seat_outer, "seat outer diameter"),
        "width": given(width, "seat width"),
    }
    angles = [given(a, w, "angle", _DEGREE) for a, w in
              ((seat_angle, "seat"), (top_angle, "top"), (throat_angle, "throat"))]  # fmt: skip
    alpha, tau, gamma = angles
    face = None if face_angle is None else given(face_angle, "valve face", "angle", _DEGREE)
    cones = seat_cones(
        float(names["valve"].value),
        float(names["margin"].value),
        float(names["recession"].value),
        float(names["outer"].value),
        float(names["width"].value),
        float(alpha.value),
        float(tau.value),
        float(gamma.value),
        None if face is None else float(face.value),
    )
    numbers = _diameters(cones, names["outer"], names["width"], alpha)
    if face_width is not None:
        numbers += _on_face(cones, names, given(face_width, "face width"), alpha)
    numbers += _depths(cones, names, alpha, face)
    if outer_now is not None:
        numbers.append(_feed("top cut, from touching the seat's edge",
                             given(outer_now, "outer now"), names["outer"], alpha, tau,
                             "(outer now − outer) ÷ 2 × (tan α − tan τ)", "τ"))  # fmt: skip
    if inner_now is not None:
        inner = numbers[1].given("seat inner diameter")
        numbers.append(_feed("throat cut, from touching the seat's edge", inner,
                             given(inner_now, "inner now"), gamma, alpha,
                             "(inner − inner now) ÷ 2 × (tan γ − tan α)", "α"))  # fmt: skip
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        looks=(
            "Blue the valve, turn it once: the ring has to be unbroken and where it was meant.",
        ),
        notes=("Top and throat cuts narrow the seat and move it; they do not sink the valve.",),
    )


def _diameters(cones: Cones, outer: Given, width: Given, alpha: Given) -> list[Number]:
    inner = by_rule("seat inner diameter, throat cut ends here", round(cones.inner, 6),
                    "outer − 2 × width × cos α",
                    (("outer", outer), ("width", width), ("α", alpha)),
                    Sense.DIAMETRAL, step=_HUNDREDTH)  # fmt: skip
    middle = total(
        "middle of the contact ring",
        (outer + inner.given("inner")) / 2,
        Sense.DIAMETRAL,
        step=_HUNDREDTH,
    )
    ends = total("seat outer diameter, top cut ends here", outer, Sense.DIAMETRAL, step=_HUNDREDTH)
    numbers = [ends, inner, middle]
    if cones.contact != (cones.outer + cones.inner) / 2.0:
        edge = ends if cones.contact == cones.outer else inner
        touches = edge.given("the edge that touches, as the angles differ")
        numbers.append(total("touches first at", touches, Sense.DIAMETRAL, step=_HUNDREDTH))
    return numbers


def _on_face(
    cones: Cones, names: dict[str, Given], face_width: Given, alpha: Given
) -> list[Number]:
    """What is left of the valve's face each side of the seat; refused where the seat hangs over."""
    valve = names["valve"]
    slope = math.cos(math.radians(float(alpha.value)))
    face_inner = float(valve.value) - 2.0 * float(face_width.value) * slope
    left = seat_contact(
        cones.outer, cones.inner, float(valve.value), face_inner, float(alpha.value)
    )
    outside = by_rule("face left outside the seat", round(left.outer_margin, 6),
                      "(valve − outer) ÷ (2 × cos α)",
                      (("valve", valve), ("outer", names["outer"]), ("α", alpha)),
                      step=_HUNDREDTH)  # fmt: skip
    rest = face_width - names["width"] - outside.given("face left outside")
    return [outside, total("face left inside the seat", rest, step=_HUNDREDTH)]


def _depths(
    cones: Cones, names: dict[str, Given], alpha: Given, face: Given | None
) -> list[Number]:
    """Depth of both edges below the head face, where a depth gauge with a pin can find them."""
    inputs = (
        ("recession", names["recession"]),
        ("margin", names["margin"]),
        ("valve", names["valve"]),
        ("outer", names["outer"]),
        ("α", alpha),
        *((("width", names["width"]), ("αv", face)) if face is not None else ()),
    )
    rule = "recession + margin + (valve − outer) ÷ 2 × tan α"
    if face is not None:
        rule = "recession + margin + valve ÷ 2 × tan αv + touching ÷ 2 × (tan α − tan αv) − " \
               "outer ÷ 2 × tan α"  # fmt: skip
    outer = by_rule("its outer edge lies below the face", round(cones.outer_depth, 6), rule, inputs,
                    Sense.AXIAL, step=_HUNDREDTH)  # fmt: skip
    inner = by_rule(
        "its inner edge lies below the face",
        round(cones.inner_depth, 6),
        "outer edge + width × sin α",
        (("outer edge", outer.given()), ("width", names["width"]), ("α", alpha)),
        Sense.AXIAL,
        step=_HUNDREDTH,
    )
    return [outer, inner]


def _feed(
    label: str, large: Given, small: Given, steep: Given, flat: Given, rule: str, symbol: str
) -> Number:
    """Feed along the guide that moves an edge from one diameter to another."""
    if large.value < small.value:
        raise ValueError(
            f"{small.words} is {float(small.value):.6g} mm and {large.words} "
            f"{float(large.value):.6g} mm: the cut is past the edge wanted already; sink the seat, "
            "or take another diameter"
        )
    radius = worked_out((large - small) / 2, "edge moves by")
    slope = math.tan(math.radians(float(steep.value))) - math.tan(math.radians(float(flat.value)))
    first, second = ("α", symbol) if symbol == "τ" else ("γ", symbol)
    return by_rule(
        label,
        exact(round(float(radius.value) * slope, 6)),
        rule,
        ((large.words, large), (small.words, small), (first, steep), (second, flat)),
        Sense.AXIAL,
        step=_HUNDREDTH,
    )

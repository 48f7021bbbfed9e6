"""Compression ratio, kept linear: a limit on the ratio is a limit on swept and clearance volume.

ratio = 1 + V_s / V_c (Heywood, Internal Combustion Engine Fundamentals, 1988, eq. 2.1), so

    ratio ≤ b  ⇔  (b − 1)·V_c − V_s ≥ 0        ratio ≥ a  ⇔  V_s − (a − 1)·V_c ≥ 0

and both volumes are linear in the sizes that work changes: heights times areas, and the bore about
its nominal (a bore 0.5 % over errs by 1 part in 40 000 of V_s).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Feature, Frame
from sparkout.fits.cylinders import STACK
from sparkout.fits.forms import Instance, evaluate
from sparkout.fits.places import base_gasket, gasket_of

__all__ = ["clearance_volume", "ratio_bound", "ratio_instances", "ratio_of", "swept_volume"]

_FIXED = ("head chamber volume", "bowl volume", "crevice volume")


def swept_volume(geometry: Mapping[str, Fraction]) -> Fraction | None:
    """π/4 · D² · S of the nominal bore and stroke [mm³], as an exact fraction of a close float."""
    bore, stroke = geometry.get("bore"), geometry.get("stroke")
    if bore is None or stroke is None:
        return None
    return _area(bore) * stroke


def _area(diameter: Fraction) -> Fraction:
    return Fraction(math.pi / 4).limit_denominator(10**9) * diameter * diameter


def clearance_volume(
    frame: Frame, bore: Feature, geometry: Mapping[str, Fraction]
) -> Instance | None:
    """Clearance volume over one piston [mm³]: what is fixed, and heights times areas.

    Where the data sheet gives no fixed volumes it goes by change from a measured one.
    """
    size = geometry.get("bore")
    if size is None:
        return None
    area = _area(size)
    gasket_area = _area(geometry.get("gasket bore", size))
    terms: list[tuple[Fraction, Key]] = []
    gasket, base = gasket_of(frame, bore), base_gasket(frame, bore)
    if gasket is not None:
        terms.append((gasket_area, Key(gasket, "gasket thickness")))
    if base is not None and frame.feature(base):
        terms.append((area, Key(base, "base gasket thickness")))
    for term in STACK:
        partner = term.where(frame, bore)
        if partner is None:
            return None
        terms.append((-term.weight * area, Key(partner, term.characteristic)))
    if geometry.get("recess volume per mm"):
        # Valves anywhere within their recession limits: a few tenths of a cubic centimetre, taken
        # as one size with its range, so that a ratio does not hang on every single seat.
        terms.append((Fraction(1), Key(bore.name, "recess volume")))
    chamber = geometry.get("chamber volume per mm")
    if chamber:
        terms.append((chamber, Key(f"chamber {bore.number}", "chamber depth")))
    fixed = [geometry[name] for name in _FIXED if name in geometry]
    constant = sum(fixed, Fraction(0)) - geometry.get("dome volume", Fraction(0))
    return Instance(
        "clearance volume",
        bore.name,
        tuple(terms),
        bore.tags,
        by_change=True,
        constant=constant if fixed else None,
    )


def ratio_instances(
    frame: Frame, bore: Feature, geometry: Mapping[str, Fraction], least: Fraction | None,
    most: Fraction | None,
) -> tuple[Instance, ...]:  # fmt: skip
    """Fits that are at least nothing while a cylinder's ratio is within these."""
    volume = clearance_volume(frame, bore, geometry)
    swept, size = swept_volume(geometry), geometry.get("bore")
    if volume is None or swept is None or size is None:
        return ()
    found = []
    for ratio, sign in ((least, 1), (most, -1)):
        if ratio is not None:
            # d V_s / d D = 2 V_s / D about the nominal bore, so V_s = 2 V_s/D · D − V_s there
            slope = sign * 2 * swept / size
            found.append(
                Instance(
                    "compression ratio",
                    bore.name,
                    ((slope, Key(bore.name, "bore diameter")),),
                    bore.tags,
                    constant=-sign * swept,
                    inner=((-sign * (ratio - 1), volume),),
                )
            )
    return tuple(found)


def ratio_of(instance: Instance, sizes: Mapping[Key, Dimension]) -> tuple[float, float] | None:
    """Smallest and largest compression ratio of a cylinder, from the volumes of one of its fits."""
    _, volume = instance.inner[0]
    read = sizes.get(volume.key)
    found = (read.low, read.high) if read is not None else evaluate(volume, sizes)
    slope, key = instance.terms[0]
    bore = sizes.get(key)
    if found is None or bore is None or instance.constant is None:
        return None
    sign = 1 if slope > 0 else -1
    swept = [float(sign * slope * end.value + sign * instance.constant) for end in
             (bore.low, bore.high)]  # fmt: skip
    return 1 + swept[0] / float(found[1].value), 1 + swept[1] / float(found[0].value)


def ratio_bound(instance: Instance) -> tuple[float | None, float | None]:
    """The end of the limit that a fit of a ratio stands for: least ratio, or most."""
    weight, _ = instance.inner[0]
    bound = float(1 + abs(weight))
    return (bound, None) if instance.terms[0][0] > 0 else (None, bound)

"""The short bearing of DuBois and Ocvirk in closed form: narrow films, quick answers."""

from __future__ import annotations

import math

from sparkout.mechanics import _bounds
from sparkout.mechanics._root import root_between
from sparkout.mechanics.oil_film.film_numbers import FilmNumbers, friction_variable

__all__ = ["short_bearing_eccentricity", "short_bearing_film", "short_bearing_load"]


def _root(eccentricity: float) -> float:
    return math.sqrt(math.pi**2 * (1.0 - eccentricity**2) + 16.0 * eccentricity**2)


def short_bearing_sommerfeld(length_ratio: float, eccentricity: float) -> float:
    """S of the short bearing; no checks, the table of `steady` is scaled with it."""
    return (1.0 - eccentricity**2) ** 2 / (
        math.pi * eccentricity * _root(eccentricity) * length_ratio**2
    )


def short_bearing_attitude(eccentricity: float) -> float:
    """Attitude of the short bearing [°]; no checks."""
    return math.degrees(math.atan2(math.pi * math.sqrt(1.0 - eccentricity**2), 4.0 * eccentricity))


def short_bearing_film(length_ratio: float, eccentricity: float) -> FilmNumbers:
    """Performance of a steady film after the short-bearing theory.

    S = (D/L)² (1 − ε²)² ÷ (π ε √(π² (1 − ε²) + 16 ε²)); tan φ = π √(1 − ε²) ÷ (4 ε);
    Q = π (1 + ε); Qs ÷ Q = 2 ε ÷ (1 + ε); largest pressure in closed form at
    cos θ = (1 − √(1 + 24 ε²)) ÷ (4 ε).

    length_ratio: length over diameter [-], above 0.
    eccentricity: offset of the centres over radial clearance [-], above 0, below 1.
    Returns load number, attitude, friction, flow, side flow share and pressure ratio.
    Holds for length ratios below about a quarter: at a half and ε 0.8 it carries two thirds more
    than the finite bearing of `steady`, so it flatters the film.
    Source: DuBois and Ocvirk, NACA Report 1157 (1953).
    Raises ValueError naming the number when one is out of range.

    >>> round(short_bearing_film(0.3, 0.2663).sommerfeld, 2)
    3.57
    """
    _bounds.above("length_ratio", length_ratio, 0.0)
    _bounds.above("eccentricity", eccentricity, 0.0)
    _bounds.below("eccentricity", eccentricity, 1.0)
    sommerfeld = short_bearing_sommerfeld(length_ratio, eccentricity)
    attitude = short_bearing_attitude(eccentricity)
    cosine = (1.0 - math.sqrt(1.0 + 24.0 * eccentricity**2)) / (4.0 * eccentricity)
    # p = 6 µ ω (r/c)² × (L/D)² × ε sin θ ÷ (2 h³) at mid-length; P follows from S.
    peak = length_ratio**2 * eccentricity * math.sqrt(1.0 - cosine**2)
    peak /= 2.0 * (1.0 + eccentricity * cosine) ** 3
    mean = 1.0 / (12.0 * math.pi * sommerfeld)
    return FilmNumbers(
        sommerfeld,
        attitude,
        friction_variable(eccentricity, sommerfeld, attitude),
        math.pi * (1.0 + eccentricity),
        2.0 * eccentricity / (1.0 + eccentricity),
        mean / peak,
    )


def short_bearing_load(
    length: float,
    diameter: float,
    radial_clearance: float,
    viscosity_mpas: float,
    rev_per_min: float,
    eccentricity: float,
) -> float:
    """Load a short bearing carries at an eccentricity.

    F = µ ω D L³ ε √(16 ε² + π² (1 − ε²)) ÷ (8 c² (1 − ε²)²).

    length: of the bearing [mm], above zero.
    diameter: of the journal [mm], above zero.
    radial_clearance: half the diametral clearance [mm], above zero.
    viscosity_mpas: dynamic viscosity [mPa·s], above zero.
    rev_per_min: journal speed, bearing still [1/min], above zero.
    eccentricity: [-], above 0, below 1.
    Returns the load [N].
    Holds as `short_bearing_film`.
    Source: DuBois and Ocvirk, NACA Report 1157 (1953); Friswell and others, Dynamics of Rotating
    Machines (2010), equation 5.86 (form).
    Raises ValueError naming the number when one is out of range.

    >>> round(short_bearing_load(30.0, 100.0, 0.1, 100.0, 1500.2, 0.2663))
    525
    """
    for name, value, unit in (
        ("length", length, "mm"),
        ("diameter", diameter, "mm"),
        ("radial_clearance", radial_clearance, "mm"),
        ("viscosity_mpas", viscosity_mpas, "mPa·s"),
        ("rev_per_min", rev_per_min, "1/min"),
    ):
        _bounds.above(name, value, 0.0, unit)
    film = short_bearing_film(length / diameter, eccentricity)
    # 1 mPa·s is 1e-9 N·s/mm².
    mean = viscosity_mpas * 1e-9 * rev_per_min / 60.0 * (diameter / 2.0 / radial_clearance) ** 2
    return mean / film.sommerfeld * length * diameter


def short_bearing_eccentricity(length_ratio: float, sommerfeld: float) -> float:
    """Eccentricity of a short bearing at a load number.

    Inverse of S(ε), which falls all the way.

    length_ratio: length over diameter [-], above 0.
    sommerfeld: S = (r/c)² µ N ÷ P [-], above zero.
    Returns the eccentricity [-].
    Holds as `short_bearing_film`.
    Source: DuBois and Ocvirk, NACA Report 1157 (1953).
    Raises ValueError naming the number when one is out of range.

    >>> round(short_bearing_eccentricity(0.3, 3.334), 3)
    0.28
    """
    _bounds.above("length_ratio", length_ratio, 0.0)
    _bounds.above("sommerfeld", sommerfeld, 0.0)
    # 24 steps of -ln(1 - ε) reach a film of 4e-11 of the clearance; beyond it there is no film.
    found = root_between(
        lambda spread: math.log(
            short_bearing_sommerfeld(length_ratio, -math.expm1(-spread)) / sommerfeld
        ),
        1e-12,
        24.0,
    )
    return -math.expm1(-found)

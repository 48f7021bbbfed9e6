"""What a clearance means: film, friction, oil temperature and flow of a bearing in balance."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from sparkout.mechanics import _bounds
from sparkout.mechanics.cautions import Caution
from sparkout.mechanics.oil_film.film_numbers import FilmNumbers
from sparkout.mechanics.oil_film.steady import (
    FilmTooThinError,
    eccentricity_for_load,
    sommerfeld_number,
    steady_film,
)
from sparkout.mechanics.oil_film.viscosity import Oil, dynamic_viscosity_mpas, oil_density

__all__ = ["FilmState", "film_at_viscosity", "groove_fed_film", "self_fed_film"]

_HOTTEST = 190.0
"""°C at which the search for a balance ends; the viscosity law is not trusted above 200 °C."""


class FilmState(NamedTuple):
    """A bearing in balance. Film and clearance radial where they are thicknesses."""

    mean_temperature: float
    """of the film [°C]"""
    temperature_rise: float
    """of the oil through the bearing [°C]"""
    viscosity_mpas: float
    sommerfeld: float
    eccentricity: float
    least_film_um: float
    """[µm]"""
    friction_coefficient: float
    friction_torque: float
    """[N·m]"""
    friction_power_w: float
    flow_cm3_s: float
    """oil that leaves at the sides [cm³/s]"""
    largest_pressure: float
    """in the film [MPa]"""
    cautions: tuple[Caution, ...]


def film_at_viscosity(
    load: float,
    rev_per_min: float,
    diameter: float,
    length: float,
    diametral_clearance: float,
    viscosity_mpas: float,
) -> tuple[FilmNumbers, float]:
    """Dimensionless film and eccentricity of a bearing at a known viscosity.

    S from load, speed and sizes; ε from S.

    load: on the bearing [N], above zero.
    rev_per_min: journal speed, bearing still [1/min], above zero.
    diameter: of the journal [mm], above zero.
    length: of the bearing [mm], 0.177 to 2 times the diameter.
    diametral_clearance: bore less journal [mm], above zero.
    viscosity_mpas: dynamic viscosity of the film [mPa·s], above zero.
    Returns the film's numbers and the eccentricity [-].
    Holds as `steady.steady_film`.
    Source: A. A. Raimondi and J. Boyd, ASLE Transactions 1 (1958).
    Raises ValueError naming the number when one is out of range.

    >>> film, eps = film_at_viscosity(2224.1, 1800.0, 38.1, 38.1, 0.0762, 27.58)
    >>> round(film.sommerfeld, 3), round(1 - eps, 2)
    (0.135, 0.43)
    """
    sommerfeld = sommerfeld_number(
        load, rev_per_min, diameter, length, diametral_clearance / 2.0, viscosity_mpas
    )
    eccentricity = eccentricity_for_load(length / diameter, sommerfeld)
    return steady_film(length / diameter, eccentricity), eccentricity


def _balance(rise_at: Callable[[float], float], inlet_temperature: float) -> float:
    """Mean film temperature at which inlet plus half the rise comes back to itself.

    Hot oil may be too thin to carry the load at all; then the balance, if there is one, is cooler.
    """

    def heats_up(temperature: float) -> bool:
        try:
            return inlet_temperature + rise_at(temperature) / 2.0 > temperature
        except FilmTooThinError:
            return False

    low, high = inlet_temperature, _HOTTEST
    if heats_up(high):
        raise ValueError(
            f"inlet_temperature is {inlet_temperature:.6g} °C and the film finds no balance below "
            f"{_HOTTEST:.0f} °C; it has to carry its heat off cooler: more clearance, more oil or "
            "less speed"
        )
    for _ in range(60):
        middle = (low + high) / 2.0
        if heats_up(middle):
            low = middle
        else:
            high = middle
    # Ending at the edge of what the oil carries instead of at a balance: say so.
    rise_at(high)
    return (low + high) / 2.0


def _cautions(least_film_um: float, wanted_um: float | None) -> tuple[Caution, ...]:
    if wanted_um is None or least_film_um >= wanted_um:
        return ()
    return (
        Caution(
            "thin_film", least_film_um, wanted_um, "µm",
            "the film is thinner than asked for",
        ),
    )  # fmt: skip


def self_fed_film(
    load: float,
    rev_per_min: float,
    diameter: float,
    length: float,
    diametral_clearance: float,
    oil: Oil,
    inlet_temperature: float,
    least_film_um: float | None = None,
) -> FilmState:
    """Film of a plain bearing that draws its own oil, at the temperature it settles at.

    ΔT = friction power ÷ (ρ cp Q × (1 − ½ Qs/Q)); mean film temperature = inlet + ΔT ÷ 2, found
    together with the viscosity there.

    load: steady, on the bearing [N], above zero.
    rev_per_min: journal speed, bearing still [1/min], above zero.
    diameter: of the journal [mm], above zero.
    length: of the bearing [mm], 0.177 to 2 times the diameter.
    diametral_clearance: bore less journal [mm], above zero.
    oil: viscosities, density and heat [mm²/s, g/cm³, J/(g·K)].
    inlet_temperature: of the oil at the feed hole [°C], −20 to below 190.
    least_film_um: film asked for [µm], or None when no limit is given.
    Returns temperatures, film, friction, flow and pressure; a caution "thin_film" where it is less.
    Holds for steady load, all heat carried off by the oil: engine bearings see moving loads, so use
    it to compare clearances, and `orbit` for the film over a cycle.
    Source: Raimondi and Boyd (1958); Shigley's Mechanical Engineering Design, 10th edition, 12-9.
    Raises ValueError naming the number when one is out of range, or without a balance.

    >>> state = self_fed_film(4000.0, 3000.0, 50.0, 25.0, 0.05, Oil(94.0, 14.4), 90.0)
    >>> round(state.mean_temperature), round(state.least_film_um, 1)
    (109, 6.7)
    """
    _bounds.within("inlet_temperature", inlet_temperature, -20.0, _HOTTEST, "°C")
    mean_pressure = load / (diameter * length)

    def solve(temperature: float) -> tuple[float, FilmNumbers, float]:
        viscosity = dynamic_viscosity_mpas(oil, temperature)
        film, eccentricity = film_at_viscosity(
            load, rev_per_min, diameter, length, diametral_clearance, viscosity
        )
        return viscosity, film, eccentricity

    def rise_at(temperature: float) -> float:
        _, film, _ = solve(temperature)
        # ΔT = 4 π P ÷ (ρ cp) × (r/c) f ÷ (Q/(r c N l)) ÷ (1 − ½ Qs/Q); MPa ÷ (J/cm³·K) is K.
        heat = oil_density(oil, temperature) * oil.specific_heat
        carried = film.flow * (1.0 - 0.5 * film.side_share)
        return 4.0 * math.pi * mean_pressure / heat * film.friction / carried

    temperature = _balance(rise_at, inlet_temperature)
    viscosity, film, eccentricity = solve(temperature)
    radius, clearance = diameter / 2.0, diametral_clearance / 2.0
    friction = film.friction * clearance / radius
    torque = friction * load * radius / 1000.0
    flow = film.flow * radius * clearance * rev_per_min / 60.0 * length / 1000.0
    thickness = clearance * (1.0 - eccentricity) * 1000.0
    return FilmState(
        temperature,
        rise_at(temperature),
        viscosity,
        film.sommerfeld,
        eccentricity,
        thickness,
        friction,
        torque,
        torque * rev_per_min * math.pi / 30.0,
        flow * film.side_share,
        mean_pressure / film.pressure_ratio,
        _cautions(thickness, least_film_um),
    )


def groove_fed_film(
    load: float,
    rev_per_min: float,
    diameter: float,
    land_length: float,
    diametral_clearance: float,
    oil: Oil,
    feed_pressure: float,
    inlet_temperature: float,
    least_film_um: float | None = None,
) -> FilmState:
    """Film of a bearing fed under pressure by a groove round its middle, in heat balance.

    Each land carries half the load; Qs = π ps r c³ (1 + 1.5 ε²) ÷ (3 µ l'); ΔT = friction power ÷
    (ρ cp Qs); mean film temperature = inlet + ΔT ÷ 2.

    load: steady, on the whole bearing [N], above zero.
    rev_per_min: journal speed, bearing still [1/min], above zero.
    diameter: of the journal [mm], above zero.
    land_length: of one of the two lands [mm], 0.177 to 2 times the diameter.
    diametral_clearance: bore less journal [mm], above zero.
    oil: viscosities, density and heat [mm²/s, g/cm³, J/(g·K)].
    feed_pressure: in the groove, gauge [MPa], above zero.
    inlet_temperature: of the oil in the groove [°C], −20 to below 190.
    least_film_um: film asked for [µm], or None when no limit is given.
    Returns temperatures, film, friction, flow and pressure; a caution "thin_film" where it is less.
    Holds for steady load and a full groove, as in a main bearing; the feed pressure is left out of
    the load carried.
    Source: Shigley's Mechanical Engineering Design, 10th edition, 12-11 (pressure-fed bearings).
    Raises ValueError naming the number when one is out of range, or without a balance.

    >>> state = groove_fed_film(8000.0, 3000.0, 60.0, 12.0, 0.06, Oil(94.0, 14.4), 0.4, 90.0)
    >>> round(state.mean_temperature), round(state.least_film_um, 1)
    (107, 2.8)
    """
    _bounds.within("inlet_temperature", inlet_temperature, -20.0, _HOTTEST, "°C")
    _bounds.above("feed_pressure", feed_pressure, 0.0, "MPa")
    radius, clearance = diameter / 2.0, diametral_clearance / 2.0
    speed = rev_per_min * math.pi / 30.0

    def solve(temperature: float) -> tuple[float, FilmNumbers, float, float, float]:
        viscosity = dynamic_viscosity_mpas(oil, temperature)
        film, eccentricity = film_at_viscosity(
            load / 2.0, rev_per_min, diameter, land_length, diametral_clearance, viscosity
        )
        flow = math.pi * feed_pressure * radius * clearance**3 * (1.0 + 1.5 * eccentricity**2)
        flow /= 3.0 * viscosity * 1e-9 * land_length * 1000.0  # cm³/s
        torque = film.friction * clearance * load / 1000.0
        return viscosity, film, eccentricity, flow, torque

    def rise_at(temperature: float) -> float:
        _, _, _, flow, torque = solve(temperature)
        return torque * speed / (oil_density(oil, temperature) * oil.specific_heat * flow)

    temperature = _balance(rise_at, inlet_temperature)
    viscosity, film, eccentricity, flow, torque = solve(temperature)
    thickness = clearance * (1.0 - eccentricity) * 1000.0
    return FilmState(
        temperature,
        rise_at(temperature),
        viscosity,
        film.sommerfeld,
        eccentricity,
        thickness,
        film.friction * clearance / radius,
        torque,
        torque * speed,
        flow,
        load / (2.0 * diameter * land_length) / film.pressure_ratio,
        _cautions(thickness, least_film_um),
    )

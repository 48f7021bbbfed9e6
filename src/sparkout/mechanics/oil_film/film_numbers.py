"""The dimensionless answer of a steady film, whatever it was found with."""

from __future__ import annotations

import math
from typing import NamedTuple

__all__ = ["FilmNumbers", "friction_variable"]


class FilmNumbers(NamedTuple):
    """Dimensionless performance of a steady film (the variables of Raimondi and Boyd)."""

    sommerfeld: float
    """S = (r/c)² µ N ÷ P [-]"""
    attitude: float
    """from the load line to the line of centres [°]"""
    friction: float
    """(r/c) f [-]"""
    flow: float
    """Q ÷ (r c N l) [-]"""
    side_share: float
    """side flow ÷ flow [-]"""
    pressure_ratio: float
    """P ÷ largest film pressure [-]"""


def friction_variable(eccentricity: float, sommerfeld: float, attitude: float) -> float:
    """Friction variable from load number and attitude.

    (r/c) f = 2 π² S ÷ √(1 − ε²) + ½ ε sin φ: shear of the whole gap, and the load's own couple.

    eccentricity: offset of the centres over radial clearance [-], 0 to below 1.
    sommerfeld: S = (r/c)² µ N ÷ P [-], above zero.
    attitude: from the load line to the line of centres [°].
    Returns (r/c) f [-].
    Holds with oil sheared all the way round, as Raimondi and Boyd count it.
    Source: moment balance of journal and bearing; Raimondi and Boyd (1958) tabulate it.

    >>> round(friction_variable(0.6, 0.121, 50.6), 2)
    3.22
    """
    shear = 2.0 * math.pi**2 * sommerfeld / math.sqrt(1.0 - eccentricity**2)
    return shear + 0.5 * eccentricity * math.sin(math.radians(attitude))

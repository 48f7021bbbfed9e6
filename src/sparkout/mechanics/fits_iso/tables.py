"""The tables of ISO 286-1:2010 behind `limits`: the table is normative, not its formula.

Recalled from memory, then compared number by number with a stored copy of the deviations d, e, f,
g, k, m, n, p, r, s and of the grades in a public code base, and with the formula of the grades
(which misses the table at six places, so the table is what counts).
"""

from __future__ import annotations

__all__ = ["DEVIATIONS", "FINE_DEVIATIONS", "FINE_STEPS", "GRADES", "STEPS"]

STEPS: tuple[int, ...] = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
"""Upper ends of the size steps [mm], each included; the first starts above 0."""

GRADES: dict[int, tuple[int, ...]] = {
    4: (3, 4, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20),
    5: (4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27),
    6: (6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40),
    7: (10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63),
    8: (14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97),
    9: (25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155),
    10: (40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250),
    11: (60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400),
}
"""Standard tolerances [µm] by grade and step (ISO 286-1:2010, table 1). 4 serves holes K to S."""

DEVIATIONS: dict[str, tuple[int, ...]] = {
    "d": (-20, -30, -40, -50, -65, -80, -100, -120, -145, -170, -190, -210, -230),
    "e": (-14, -20, -25, -32, -40, -50, -60, -72, -85, -100, -110, -125, -135),
    "f": (-6, -10, -13, -16, -20, -25, -30, -36, -43, -50, -56, -62, -68),
    "g": (-2, -4, -5, -6, -7, -9, -10, -12, -14, -15, -17, -18, -20),
    "h": (0,) * 13,
    "k": (0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5),
    "m": (2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23),
    "n": (4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40),
    "p": (6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68),
}
"""Fundamental deviations of shafts [µm] (table 4 and 5): d to h the upper, k to p the lower one.
k is for grades 4 to 7; outside them it is 0."""

FINE_STEPS: tuple[int, ...] = (
    3, 6, 10, 18, 30, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450,
    500,
)  # fmt: skip
"""Upper ends of the finer size steps of r and s [mm]."""

FINE_DEVIATIONS: dict[str, tuple[int, ...]] = {
    "r": (
        10, 15, 19, 23, 28, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114, 126, 132,
    ),
    "s": (
        14, 19, 23, 28, 35, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170, 190, 208,
        232, 252,
    ),
}  # fmt: skip
"""Lower fundamental deviations of shafts r and s [µm] (ISO 286-1:2010, table 5)."""

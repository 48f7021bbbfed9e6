"""The rows behind `materials`: every number with its source, a range where the source gives one."""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["ROWS", "Constant", "Material"]


class Constant(NamedTuple):
    """A material constant as its source gives it: lowest, highest (equal when it is one number)."""

    low: float
    high: float
    source: str

    @property
    def value(self) -> float:
        """The number, or the middle of the range."""
        return self.low if self.low == self.high else (self.low + self.high) / 2.0

    @property
    def is_range(self) -> bool:
        return self.low != self.high


class Material(NamedTuple):
    """One metal. Strength is None where a casting has no yield point; then tensile stands alone.

    coldest and hottest bound chilling and heating for assembly, not service; they are rules of
    thumb unless their source says otherwise.
    """

    name: str
    expansion: Constant
    """mean linear expansion near room temperature [1/°C]"""
    youngs_modulus: Constant
    """[MPa]"""
    poisson: Constant
    """[-]"""
    density: Constant
    """[g/cm³]"""
    conductivity: Constant
    """[W/(m·K)]"""
    yield_strength: Constant | None
    """[MPa]"""
    tensile_strength: Constant | None
    """[MPa]"""
    coldest: Constant
    """[°C]"""
    hottest: Constant
    """[°C]"""


_B6 = "Callister, Materials Science and Engineering, table B.6 (read in a stored copy)"
_MEMORY = "Callister, Materials Science and Engineering, appendix B (recalled from memory)"
_GRADE = "minimum by the grade's designation (ksi turned into MPa)"
_CP = "common practice, a rule of thumb"
_OIL_BATH = (
    "TM 9-2815-256-24 keeps the hot-oil bath for one engine's gears at or below 360 °F; "
    "used here as a rule of thumb for hardened steel"
)
_HANDBOOK = "typical handbook figure (recalled from memory)"


def _one(value: float, source: str) -> Constant:
    return Constant(value, value, source)


def _ppm(value: float, source: str) -> Constant:
    return _one(value * 1e-6, source)


def _gpa(low: float, high: float, source: str = _MEMORY) -> Constant:
    return Constant(low * 1000.0, high * 1000.0, source)


def _ferrous(
    name: str,
    expansion: Constant,
    stiffness: Constant,
    poisson: float,
    density: float,
    conductivity: float,
    strength: tuple[Constant | None, Constant | None],
    hottest: Constant,
) -> Material:
    # Ferritic metals turn brittle in liquid nitrogen; dry ice in spirit (-78 °C) is the habit.
    return Material(
        name,
        expansion,
        stiffness,
        _one(poisson, _MEMORY),
        _one(density, _MEMORY),
        _one(conductivity, _MEMORY),
        *strength,
        coldest=_one(-80.0, _CP),
        hottest=hottest,
    )


def _face_centred(
    name: str,
    expansion: Constant,
    stiffness: Constant,
    poisson: float,
    density: float,
    conductivity: float,
    strength: tuple[Constant | None, Constant | None],
    hottest: Constant,
) -> Material:
    # Aluminium and copper alloys stay tough down to liquid nitrogen.
    return Material(
        name,
        expansion,
        stiffness,
        _one(poisson, _MEMORY),
        _one(density, _MEMORY),
        _one(conductivity, _MEMORY),
        *strength,
        coldest=_one(-196.0, _CP),
        hottest=hottest,
    )


_IRON_HOT = _one(200.0, _CP)
_ALUMINIUM_HOT = _one(150.0, _CP + ": artificially aged castings soften above their ageing heat")
_BRONZE_HOT = _one(200.0, _CP)
_STEEL_HOT = _one(182.0, _OIL_BATH)

ROWS: tuple[Material, ...] = (
    _ferrous(
        "grey iron G1800", _ppm(11.4, _B6), _gpa(66, 97), 0.26, 7.30, 46.0,
        (None, _one(124.0, _GRADE)), _IRON_HOT,
    ),
    _ferrous(
        "grey iron G3000", _ppm(11.4, _B6), _gpa(90, 113), 0.26, 7.30, 46.0,
        (None, _one(207.0, _GRADE)), _IRON_HOT,
    ),
    _ferrous(
        "grey iron G4000", _ppm(11.4, _B6), _gpa(110, 138), 0.26, 7.30, 46.0,
        (None, _one(276.0, _GRADE)), _IRON_HOT,
    ),
    _ferrous(
        "ductile iron 60-40-18", _ppm(11.2, _B6), _gpa(169, 169), 0.29, 7.10, 36.0,
        (_one(276.0, _GRADE), _one(414.0, _GRADE)), _IRON_HOT,
    ),
    _ferrous(
        "ductile iron 80-55-06", _ppm(10.6, _B6), _gpa(168, 168), 0.31, 7.10, 36.0,
        (_one(379.0, _GRADE), _one(552.0, _GRADE)), _IRON_HOT,
    ),
    _ferrous(
        "steel 1020", _ppm(11.7, _B6), _gpa(207, 207), 0.30, 7.85, 51.9,
        (_one(210.0, _MEMORY), _one(380.0, _MEMORY)), _STEEL_HOT,
    ),
    _ferrous(
        "steel 1040", _ppm(11.3, _B6), _gpa(207, 207), 0.30, 7.85, 51.9,
        (_one(290.0, _MEMORY), _one(520.0, _MEMORY)), _STEEL_HOT,
    ),
    _ferrous(
        "steel 4140", _ppm(12.3, _B6), _gpa(207, 207), 0.30, 7.85, 42.7,
        (_one(655.0, _MEMORY + ", normalised"), _one(1020.0, _MEMORY + ", normalised")),
        _STEEL_HOT,
    ),
    _ferrous(
        "steel 4340", _ppm(12.3, _B6), _gpa(207, 207), 0.30, 7.85, 44.5,
        (_one(862.0, _MEMORY + ", normalised"), _one(1280.0, _MEMORY + ", normalised")),
        _STEEL_HOT,
    ),
    _face_centred(
        "aluminium 356.0", _ppm(21.5, _B6), _gpa(72.4, 72.4), 0.33, 2.69, 150.0,
        (_one(164.0, _MEMORY + ", T6"), _one(228.0, _MEMORY + ", T6")), _ALUMINIUM_HOT,
    ),
    _face_centred(
        "aluminium 6061", _ppm(23.6, _B6), _gpa(69, 69), 0.33, 2.70, 180.0,
        (_one(276.0, _MEMORY + ", T6"), _one(310.0, _MEMORY + ", T6")), _ALUMINIUM_HOT,
    ),
    _face_centred(
        "aluminium 2024", _ppm(22.9, _B6), _gpa(72.4, 72.4), 0.33, 2.77, 190.0,
        (_one(345.0, _MEMORY + ", T3"), _one(485.0, _MEMORY + ", T3")), _ALUMINIUM_HOT,
    ),
    _face_centred(
        "aluminium 4032", _ppm(19.4, _HANDBOOK), _gpa(79, 79, _HANDBOOK), 0.33, 2.68, 138.0,
        (_one(315.0, _HANDBOOK + ", T6"), _one(380.0, _HANDBOOK + ", T6")), _ALUMINIUM_HOT,
    ),
    _face_centred(
        "aluminium silicon 12", Constant(20.5e-6, 21.0e-6, _HANDBOOK), _gpa(80, 80, _HANDBOOK),
        0.33, 2.70, 142.0, (None, None), _ALUMINIUM_HOT,
    ),
    _face_centred(
        "aluminium silicon 18", Constant(18.5e-6, 19.5e-6, _HANDBOOK), _gpa(84, 84, _HANDBOOK),
        0.33, 2.68, 134.0, (None, None), _ALUMINIUM_HOT,
    ),
    _face_centred(
        "bronze C93200", _ppm(18.0, _B6), _gpa(100, 100), 0.34, 8.93, 59.0,
        (_one(125.0, _MEMORY), _one(240.0, _MEMORY)), _BRONZE_HOT,
    ),
    _face_centred(
        "copper beryllium C17200", _ppm(16.7, _B6), _gpa(128, 128), 0.30, 8.25, 118.0,
        (None, None), _BRONZE_HOT,
    ),
)  # fmt: skip

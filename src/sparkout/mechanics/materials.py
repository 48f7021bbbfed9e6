"""Constants of the metals an engine is made of, each with where it comes from.

Grey iron varies twofold in stiffness from grade to grade, so asking for plain "grey iron" is
refused: the grade has to be said. A constant that is a range in its source stays a range here.
"""

from __future__ import annotations

from typing import NamedTuple

from sparkout.mechanics.materials_table import ROWS, Constant, Material

__all__ = ["Constant", "Material", "material", "material_names"]


class _Family(NamedTuple):
    name: str
    why: str


_FAMILIES = (
    _Family("grey iron", "its stiffness runs from 66 to 138 GPa by grade"),
    _Family("ductile iron", "expansion and strength differ by grade"),
    _Family("steel", "expansion differs by a tenth between plain carbon and chromium steels"),
    _Family("aluminium", "expansion runs from 19 to 24 millionths per °C by alloy"),
    _Family("bronze", "stiffness and expansion differ by alloy"),
)


def material_names() -> tuple[str, ...]:
    """Names that `material` knows, in the order of the table.

    The names of the rows of the materials table.

    Returns the names, one per material [-].
    Holds for the metals listed; another one is entered by its own constants.
    Source: the table states one beside each constant.

    >>> material_names()[:2]
    ('grey iron G1800', 'grey iron G3000')
    """
    return tuple(row.name for row in ROWS)


def material(name: str) -> Material:
    """Constants of one metal by grade, each with its source.

    A look-up: letter case and doubled spaces do not matter.

    name: grade as in `material_names` [-], such as "grey iron G3000".
    Returns the row: mean expansion near room temperature [1/°C], Young's modulus [MPa], Poisson's
    ratio [-], density [g/cm³], conductivity [W/(m·K)], strength [MPa], temperatures [°C].
    Holds near room temperature for sound metal; castings scatter: a test of the part wins.
    Source: beside each constant of the row.
    Raises ValueError for an unknown name, or for a family where the grade matters.

    >>> material("Grey iron G3000").expansion.value
    1.14e-05
    """
    wanted = " ".join(name.casefold().split())
    for row in ROWS:
        if row.name.casefold() == wanted:
            return row
    for family in _FAMILIES:
        if wanted == family.name:
            grades = ", ".join(r.name for r in ROWS if r.name.casefold().startswith(wanted))
            raise ValueError(
                f"material is {name!r}, but {family.why}; name the grade, one of: {grades}"
            )
    raise ValueError(f"material is {name!r}; known are: {', '.join(material_names())}")

"""Which cut-off belongs to how rough a surface: the standard's steps.

ISO 21920-3:2021 keeps the same lengths as setting classes Sc1 to Sc5 (recalled from memory) but
picks the class from the limit on the drawing; ISO 4288 picks it from what the surface turns out to
be.
"""

from __future__ import annotations

__all__ = ["CUTOFFS", "cutoff_for_ra", "cutoff_for_rsm", "cutoff_for_rz", "short_cutoff"]

CUTOFFS = (0.08, 0.25, 0.8, 2.5, 8.0)
"""Cut-offs and sampling lengths [mm] of ISO 4288:1996; the evaluation length is five of them."""

# Upper ends of the steps, ISO 4288:1996 tables 1 to 3 (recalled from memory): above the step
# before, up to and including this one.
_RA_UM = (0.02, 0.1, 2.0, 10.0, 80.0)
_RZ_UM = (0.1, 0.5, 10.0, 50.0, 200.0)
_RSM = (0.04, 0.13, 0.4, 1.3, 4.0)
# ISO 3274:1996 table 1: short cut-off [mm] beside each cut-off (recalled from memory).
_SHORT = (0.0025, 0.0025, 0.0025, 0.008, 0.025)


def _step(value: float, ends: tuple[float, ...], name: str, unit: str) -> float:
    if not 0.0 < value <= ends[-1]:
        raise ValueError(f"{name} must be above 0 and up to {ends[-1]:g} {unit}, got {value!r}")
    return CUTOFFS[next(i for i, end in enumerate(ends) if value <= end)]


def cutoff_for_ra(ra_um: float) -> float:
    """Cut-off for a surface without regular marks, from its Ra.

    Ra up to 0.02, 0.1, 2, 10, 80 µm: cut-off 0.08, 0.25, 0.8, 2.5, 8 mm.

    ra_um: arithmetic mean height [µm], above zero, up to 80.
    Returns the cut-off, which is the sampling length [mm].
    Holds for ground, honed, lapped surfaces; turned ones go by the spacing of their marks.
    Source: ISO 4288:1996, table 1.
    Raises ValueError naming the value when it is out of range.

    >>> cutoff_for_ra(0.4)
    0.8
    """
    return _step(ra_um, _RA_UM, "Ra", "µm")


def cutoff_for_rz(rz_um: float) -> float:
    """Cut-off for a surface without regular marks, from its Rz.

    Rz up to 0.1, 0.5, 10, 50, 200 µm: cut-off 0.08, 0.25, 0.8, 2.5, 8 mm.

    rz_um: mean height of the profile per sampling length [µm], above zero, up to 200.
    Returns the cut-off, which is the sampling length [mm].
    Holds for ground, honed, lapped surfaces; turned ones go by the spacing of their marks.
    Source: ISO 4288:1996, table 2.
    Raises ValueError naming the value when it is out of range.

    >>> cutoff_for_rz(12.0)
    2.5
    """
    return _step(rz_um, _RZ_UM, "Rz", "µm")


def cutoff_for_rsm(rsm: float) -> float:
    """Cut-off for a surface with regular marks, from their mean spacing.

    RSm up to 0.04, 0.13, 0.4, 1.3, 4 mm: cut-off 0.08, 0.25, 0.8, 2.5, 8 mm.

    rsm: mean spacing of the marks, for turning and fly-cutting the feed [mm], above zero, up to 4.
    Returns the cut-off, which is the sampling length [mm].
    Holds for turned, bored, milled and fly-cut surfaces.
    Source: ISO 4288:1996, table 3.
    Raises ValueError naming the value when it is out of range.

    >>> cutoff_for_rsm(0.25)
    0.8
    """
    return _step(rsm, _RSM, "the spacing of marks", "mm")


def short_cutoff(cutoff: float) -> float:
    """Lower cut-off that goes with a cut-off.

    0.08, 0.25, 0.8 mm: 0.0025 mm; 2.5 mm: 0.008 mm; 8 mm: 0.025 mm.

    cutoff: the cut-off [mm], one of the standard's steps.
    Returns the lower cut-off [mm].
    Holds for stylus tips of 2 µm radius up to 0.8 mm, 5 µm at 2.5 mm, 10 µm at 8 mm.
    Source: ISO 3274:1996, table 1.
    Raises ValueError naming the value when it is not one of the steps.

    >>> short_cutoff(2.5)
    0.008
    """
    if cutoff not in CUTOFFS:
        raise ValueError(f"a cut-off is one of {CUTOFFS} mm, got {cutoff!r}")
    return _SHORT[CUTOFFS.index(cutoff)]

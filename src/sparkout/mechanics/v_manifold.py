"""Intake manifold of a V engine after decks or heads were surfaced: what to cut off it."""

from __future__ import annotations

import math
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["ManifoldCuts", "head_drop", "manifold_cuts"]


class ManifoldCuts(NamedTuple):
    """Cut off each intake face, square to it, and how far the manifold comes down [mm]."""

    face_cut: float
    drop: float
    """take as much off the end rails, or use thicker seals"""


def head_drop(deck_cut: float, head_cut: float, gasket_increase: float) -> float:
    """How far a head comes down along its bank.

    c = deck cut + head cut − gasket increase.

    deck_cut: taken off the deck [mm], zero or more.
    head_cut: taken off the head face [mm], zero or more.
    gasket_increase: new gasket's compressed thickness less the old one's [mm].
    Returns the drop along the bank [mm]; negative, the head rises.
    Holds for one bank; work each bank by its own numbers.
    Source: geometry.
    Raises ValueError naming the number when one is out of range.

    >>> round(head_drop(0.20, 0.10, 0.05), 3)
    0.25
    """
    _bounds.at_least("deck_cut", deck_cut, 0.0, "mm")
    _bounds.at_least("head_cut", head_cut, 0.0, "mm")
    _bounds.finite("gasket_increase", gasket_increase, "mm")
    return deck_cut + head_cut - gasket_increase


def manifold_cuts(drop: float, half_bank_angle: float, face_angle: float) -> ManifoldCuts:
    """What to cut off the manifold so that faces meet and ports line up again.

    face cut = c × sin β ÷ cos φ; the manifold comes down c × cos(β − φ) ÷ cos φ.

    drop: of both heads along their banks, from `head_drop` [mm], zero or more.
    half_bank_angle: half the angle between the banks [°], above 0, at most 90.
    face_angle: of the intake faces from the vertical [°], 0 to below 90.
    Returns the cut square to each face and the way down [mm].
    Holds for both banks dropped alike and passages square to their faces.
    Source: derived from the geometry; the tests solve the same geometry numerically.
    Raises ValueError naming the number when one is out of range.

    >>> cuts = manifold_cuts(0.25, 45.0, 45.0); round(cuts.face_cut, 3), round(cuts.drop, 3)
    (0.25, 0.354)
    """
    _bounds.at_least("drop", drop, 0.0, "mm")
    _bounds.above("half_bank_angle", half_bank_angle, 0.0, "°")
    _bounds.within("half_bank_angle", half_bank_angle, 0.0, 90.0, "°")
    _bounds.at_least("face_angle", face_angle, 0.0, "°")
    _bounds.below("face_angle", face_angle, 90.0, "°")
    bank, face = math.radians(half_bank_angle), math.radians(face_angle)
    return ManifoldCuts(
        drop * math.sin(bank) / math.cos(face), drop * math.cos(bank - face) / math.cos(face)
    )

"""Rules of thumb for what nobody has measured and no sheet or history speaks of.

They are marked as such in every output. A shop that keeps its history, or writes `priors` into its
data sheet, does not need them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = [
    "ALIKE",
    "CUT",
    "CUT_AWAY",
    "ENGINE_SHARE",
    "FAILS",
    "JITTER",
    "PLACES",
    "SCATTER",
    "THUMB",
    "WORN",
]

THUMB = "rule of thumb"

# Eight engines in ten that come in have used this much of the room between the middle of the new
# range and the service limit.
WORN = (0.2, 1.1)

# What only earlier work takes away has seldom been touched: of its room this much is gone.
CUT = (0.02, 0.4)
CUT_AWAY = (
    "deck height",
    "head height",
    "spring installed height",
    "tip height",
    "valve margin",
    "valve recession",
)

# What does not wear lies within this share of its tolerance in eight engines of ten.
SCATTER = 0.3

# One test in twenty is failed.
FAILS = 0.05

# Half of the scatter of wear is between engines, half between the features of one engine; of what
# is between engines, this share is common to everything that wears (hours, oil, dust).
ALIKE = 0.5
ENGINE_SHARE = 0.4

# Readings elsewhere than at the most worn place scatter about their share of the wear by this.
JITTER = 0.3

# Where a feature is read, and how much of the largest wear stands there.
PLACES: Mapping[str, tuple[tuple[str, str, float], ...]] = MappingProxyType(
    {
        "bore diameter": (
            ("top", "thrust", 1.0),
            ("top", "axial", 0.6),
            ("middle", "thrust", 0.6),
            ("middle", "axial", 0.4),
            ("bottom", "thrust", 0.3),
            ("bottom", "axial", 0.2),
        ),
        "parent bore diameter": (
            ("top", "thrust", 1.0),
            ("top", "axial", 0.8),
            ("bottom", "thrust", 0.6),
            ("bottom", "axial", 0.5),
        ),
        "main journal diameter": (
            ("front", "vertical", 1.0),
            ("front", "horizontal", 0.6),
            ("rear", "vertical", 0.8),
            ("rear", "horizontal", 0.5),
        ),
        "rod journal diameter": (
            ("front", "in line", 1.0),
            ("front", "across", 0.6),
            ("rear", "in line", 0.8),
            ("rear", "across", 0.5),
        ),
        "main housing diameter": (
            ("front", "vertical", 1.0),
            ("front", "left", 0.7),
            ("front", "right", 0.7),
        ),
        "rod housing diameter": (
            ("", "vertical", 1.0),
            ("", "left", 0.7),
            ("", "right", 0.7),
        ),
        "ledge depth": (
            ("front", "", 1.0),
            ("right", "", 0.9),
            ("rear", "", 0.9),
            ("left", "", 0.9),
        ),
        "deck height": (("front", "", 1.0), ("rear", "", 0.9)),
        "head height": (("front", "", 1.0), ("rear", "", 0.9)),
    }
)

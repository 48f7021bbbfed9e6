"""What is said of several parts, and what of it is left where the step has one alone.

Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

__all__ = ["OF_ONE", "OF_ONE_CYLINDER", "for_one"]

OF_ONE: Mapping[str, str] = MappingProxyType(
    {
        "Measure cool; the last bite small. Hone every second bore, then the others.": (
            "Measure cool; the last bite small."
        ),
        "Worst journal first; a dark spot left near size means stop: no clean-up.": (
            "A dark spot left near size means stop: no clean-up."
        ),
        "Cut the deepest valve first, then match the others to it.": "",
        "Fit one, seat it at force, let it settle, measure, compare; only then the rest.": (
            "Seat it at force, let it settle, measure, compare."
        ),
        "Hone rods in pairs and turn them end for end; measure at three angles, two depths.": (
            "Turn the rod end for end; measure at three angles, two depths."
        ),
        "Stop as soon as the face is clean all round; look at the rim before the next one.": (
            "Stop as soon as the face is clean all round; look at the rim."
        ),
    }
)
"""Sentence for several parts: the same for one, empty where nothing is left of it."""

OF_ONE_CYLINDER: Mapping[str, str] = MappingProxyType(
    {"Neighbouring bores move when it goes in: finish all of them afterwards.": ""}
)
"""The same, where the engine has one cylinder: another bore moves even if one is sleeved."""


def for_one(sentences: Iterable[str], parts: int, cylinders: int) -> tuple[str, ...]:
    """Sentences as they read for so many parts of a step and so many cylinders of the engine."""
    said = tuple(sentences)
    if parts == 1:
        said = tuple(OF_ONE.get(text, text) for text in said)
    if cylinders == 1:
        said = tuple(OF_ONE_CYLINDER.get(text, text) for text in said)
    return tuple(text for text in said if text)

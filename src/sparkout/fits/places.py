"""Finding the partner of a feature: the same number, the pin of a rod, the deck over a bore."""

from __future__ import annotations

from sparkout.engine.frame import Feature, Frame
from sparkout.fits.forms import Where

__all__ = [
    "base_gasket",
    "deck_at",
    "gasket_of",
    "head_of",
    "of_cylinder",
    "of_valve",
    "one",
    "pin",
    "same_number",
]


def same_number(kind: str) -> Where:
    def where(frame: Frame, feature: Feature) -> str | None:
        name = f"{kind} {feature.number}"
        return name if frame.feature(name) else None

    return where


def of_cylinder(kind: str) -> Where:
    def where(frame: Frame, feature: Feature) -> str | None:
        name = f"{kind} {feature.cylinder}"
        return name if frame.feature(name) else None

    return where


def of_valve(kind: str) -> Where:
    def where(frame: Frame, feature: Feature) -> str | None:
        name = f"{kind} {feature.name.rsplit(' ', 1)[-1]}"
        return name if frame.feature(name) else None

    return where


def pin(frame: Frame, feature: Feature) -> str | None:
    """The rod journal that a cylinder's rod sits on."""
    name = f"rod journal {frame.pin_of(feature.cylinder)}"
    return name if frame.feature(name) else None


def deck_at(frame: Frame, feature: Feature) -> str | None:
    """The deck over one bore: its height there, in line between what was read at both ends."""
    return f"deck at bore {feature.cylinder}"


def gasket_of(frame: Frame, feature: Feature) -> str | None:
    bank = frame.bank_of(feature.cylinder)
    return f"head gasket{frame.bank_suffix(bank)}"


def head_of(frame: Frame, feature: Feature) -> str | None:
    """The head over a cylinder: one for its bank, or one of its own."""
    bank = frame.bank_of(feature.cylinder)
    for name in (f"head {feature.cylinder}", f"head{frame.bank_suffix(bank)}"):
        if frame.feature(name):
            return name
    return None


def base_gasket(frame: Frame, feature: Feature) -> str | None:
    """The gasket under the barrels, where there is one."""
    return "base gasket" if frame.feature("base gasket") else None


def one(name: str) -> Where:
    def where(frame: Frame, feature: Feature) -> str | None:
        return name

    return where

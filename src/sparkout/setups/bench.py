"""What only the person at the machine knows: temperatures, grades of metal, a trial reading.

None of it is guessed: where it is needed and not said, the set-up names it as what to read first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType

from sparkout.setups._practice import Cuts
from sparkout.sheet.practice import METALS

__all__ = ["GRADES", "KNOWN", "Bench", "Trial"]

KNOWN: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "block temperature": ("temperature", "the block or barrel, at the size-deciding reading"),
        "gauge temperature": ("temperature", "the gauge and its master at that moment"),
        "centre offset limit": ("length", "how far off its true centre a bore may be moved"),
        "liner length": ("length", "overall, under the flange where it has one"),
        "block wall outside diameter": ("length", "of the metal round a liner or sleeve, least"),
        "sleeve length": ("length", "of the repair sleeve"),
        "sleeve inside diameter": ("length", "of the repair sleeve as it is pressed in"),
        "guide outside diameter": ("length", "of the new guide, micrometer"),
        "guide hole diameter": ("length", "in the head, guide out"),
        "guide length": ("length", "of the new guide in the head"),
        "head wall outside diameter": ("length", "of the metal round a guide or insert, roughly"),
        "insert outside diameter": ("length", "of the new seat insert, micrometer"),
        "insert inside diameter": ("length", "of the new seat insert"),
        "insert height": ("length", "of the new seat insert"),
        "bush outside diameter": ("length", "of the new small-end bush, micrometer"),
        "small end hole diameter": ("length", "of the rod, bush out"),
        "bush length": ("length", "of the new small-end bush"),
        "small end outside diameter": ("length", "of the rod round the bush, least"),
        "rocker shaft diameter": ("length", "where the rocker runs"),
        "valve head diameter": ("length", "across the outer edge of the face"),
        "valve face width": ("length", "of the ground face along its slope"),
        "seat outer diameter": ("length", "as wanted; the top cut ends there"),
        "seat outer diameter now": ("length", "of the seat as it is cut"),
        "seat inner diameter now": ("length", "of the seat as it is cut"),
        "top cutter angle": ("angle", "from the plane of the head face"),
        "throat cutter angle": ("angle", "from the plane of the head face"),
        "valve face angle": (
            "angle",
            "from the plane of the face, where not the seat's",
        ),
        "spring rate": ("stiffness", "from two test heights"),
        "spring test height": ("length", "at which the load on the tester was read"),
        "spring solid length": ("length", "measured solid"),
        "valve lift": ("length", "largest"),
        "sprocket bolt circle radius": ("length", "where the slots are cut"),
        "adjuster travel": ("length", "left on the adjuster, outwards"),
    }
)
"""Name, dimension and what it is. A feature's name may follow: `insert outside diameter E3`."""

GRADES: Mapping[str, str] = METALS
"""Parts whose metal can be said; the shop's file knows the same."""


@dataclass(frozen=True, slots=True)
class Trial:
    """A trial cut: where the spindle's read-out stood, and the recession read then [mm]."""

    spindle: Fraction
    recession: Fraction


@dataclass(frozen=True, slots=True)
class Bench:
    """What was said at the machine.

    values: by a name of `KNOWN`, in base units. grades: by a name of `GRADES`, a grade that
    `mechanics.materials` knows. trials: by valve (`E3`). friction: lowest and highest coefficient
    in a press fit. cuts: the shop's own depths of cut, by kind of work.
    """

    values: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}))
    grades: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    trials: Mapping[str, Trial] = field(default_factory=lambda: MappingProxyType({}))
    friction: tuple[Fraction, Fraction] | None = None
    cuts: Mapping[str, Cuts] = field(default_factory=lambda: MappingProxyType({}))

"""A shop's own habits at its machines: depths of cut, what it leaves, its metals and cutters.

Where the file is silent the set-ups take common practice and mark it so on every line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING

from sparkout.mechanics.materials import material, material_names
from sparkout.sheet.convert import Path, Reader
from sparkout.sheet.nearest import nearest

if TYPE_CHECKING:
    from sparkout.sheet.shop_form import PassesForm

__all__ = [
    "ALLOWANCES",
    "CUTTERS",
    "METALS",
    "PASSES",
    "PassDepths",
    "Practice",
    "to_passes",
    "to_practice",
]

ALLOWANCES: Mapping[str, str] = MappingProxyType(
    {
        "hone stock": "left on diameter for honing a bored cylinder",
        "deglaze stock": "most that deglazing takes off the diameter",
        "bush hone stock": "left on diameter in a bored bush",
        "guide hone stock": "left on diameter in a reamed guide",
        "polish stock": "left on diameter for polishing a ground journal",
        "housing hone stock": "least on diameter when a housing is closed to be honed",
        "face cut step": "step in which the faces of caps are cut",
        "centre offset": "farthest the centre of a bore may be moved off its true place",
        "thin shell": "wall of an old liner that is left when it is bored out",
        "stop short": "how far above the end of an old liner boring stops",
        "sleeve interference": "on diameter, of a repair sleeve",
        "insert interference": "on diameter, of a seat insert",
        "drop-in gap": "on diameter, for a part that is dropped in hot or cold",
        "witness skim": "depth of the first skim of a face, to look at",
        "trial cut": "length of a trial cut",
    }
)
"""What a shop can set of its own; the set-ups know the same names."""

METALS: Mapping[str, str] = MappingProxyType(
    {
        "block": "block or barrel round a liner or sleeve",
        "bore": "what the piston runs in",
        "liner": "liner or repair sleeve",
        "head": "head round guides and inserts",
        "guide": "valve guide",
        "insert": "seat insert",
        "rod": "connecting rod",
        "bush": "small-end or cam bush",
        "piston": "piston, for a reading off 20 °C",
        "crankshaft": "crankshaft, for a reading off 20 °C",
    }
)
"""Parts whose metal a press fit or a warm reading asks for."""

CUTTERS: Mapping[str, str] = MappingProxyType(
    {
        "top cutter angle": "from the plane of the head face",
        "throat cutter angle": "from the plane of the head face",
    }
)
"""Angles of the shop's seat cutters."""


PASSES: Mapping[str, str] = MappingProxyType(
    {
        "grind main journals": "grind journals",
        "grind rod journals": "grind journals",
        "bore cylinder": "bore cylinder",
        "sleeve cylinder": "bore cylinder",
        "fit dry liner": "bore cylinder",
        "hone cylinder": "hone cylinder",
        "surface deck": "surface",
        "surface head": "surface",
        "recut ledge": "recut ledge",
        "align-hone mains": "hone housing",
        "resize rod": "hone housing",
        "grind stem tips": "grind tips",
        "cut seat": "cut seat",
        "reface valve": "reface valve",
        "mill manifold": "mill manifold",
    }
)
"""Operations whose stock comes off in passes, and the kind of cut each of them is."""


@dataclass(frozen=True, slots=True)
class PassDepths:
    """How one operation takes its stock off here [mm], in the sense of its set-up.

    rough, finish: depth of one pass of each; finishes: how many of the last; ends: how it ends
    without feed.
    """

    rough: Fraction
    finish: Fraction
    finishes: int = 1
    ends: str = ""


@dataclass(frozen=True, slots=True)
class Practice:
    """allowances by a name of `ALLOWANCES` [mm]; metals by a name of `METALS`, as
    `mechanics.materials` knows them; cutters by a name of `CUTTERS` [°]."""

    allowances: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}))
    metals: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    cutters: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}))


def to_passes(
    path: Path, operation: str, form: PassesForm | None, read: Reader
) -> PassDepths | None:
    """Depths of cut, or None where there are none or they cannot be."""
    if form is None:
        return None
    if operation not in PASSES:
        read.fault(path, f"passes of '{operation}'", "passes of one of: " + ", ".join(PASSES),
                   "Leave them out: no set-up of this operation has any.")  # fmt: skip
        return None
    rough = read.quantity((*path, "rough"), form.rough, "length")
    finish = read.quantity((*path, "finish"), form.finish, "length")
    finishes = read.whole((*path, "finishes"), form.finishes, 1)
    if rough is None or finish is None:
        return None
    if finish <= 0:
        read.fault((*path, "finish"), f"'{form.finish}'", "a depth above zero")
    elif finish > rough:
        read.fault((*path, "finish"), f"'{form.finish}', deeper than the roughing pass",
                   f"at most '{form.rough}'")  # fmt: skip
    else:
        return PassDepths(rough, finish, finishes, form.ends)
    return None


def to_practice(
    allowances: Mapping[str, str],
    metals: Mapping[str, str],
    cutters: Mapping[str, str],
    read: Reader,
) -> Practice:
    """The shop's own figures; a name that is not known is a fault."""
    stocks: dict[str, Fraction] = {}
    for name, text in allowances.items():
        if _known(("allowances", name), name, ALLOWANCES, read):
            value = read.quantity(("allowances", name), text, "length")
            if value is not None and value < 0:
                read.fault(("allowances", name), f"'{text}'", "zero or more")
            elif value is not None:
                stocks[name] = value
    angles: dict[str, Fraction] = {}
    for name, text in cutters.items():
        if _known(("cutters", name), name, CUTTERS, read):
            value = read.quantity(("cutters", name), text, "angle")
            if value is not None and not 0 <= value < 90:
                read.fault(("cutters", name), f"'{text}'", "from 0 to below 90 degrees")
            elif value is not None:
                angles[name] = value
    return Practice(
        MappingProxyType(stocks),
        MappingProxyType(
            {
                part: metal
                for part, metal in metals.items()
                if _known(("metals", part), part, METALS, read) and _metal(part, metal, read)
            }
        ),
        MappingProxyType(angles),
    )


def _known(path: Path, name: str, known: Mapping[str, str], read: Reader) -> bool:
    if name in known:
        return True
    hint = nearest(name, tuple(known))
    read.fault(path, f"'{name}'", "one of " + ", ".join(known),
               f"Did you mean '{hint}'?" if hint else "")  # fmt: skip
    return False


def _metal(part: str, metal: str, read: Reader) -> bool:
    try:
        material(metal)
    except ValueError as wrong:
        hint = nearest(metal, material_names())
        remedy = f"Did you mean '{hint}'?" if hint else f"{wrong}."
        read.fault(("metals", part), f"'{metal}'", "a metal by its grade", remedy)
        return False
    return True

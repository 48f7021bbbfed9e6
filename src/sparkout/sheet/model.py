"""What a data sheet says, as plain frozen records: the maker's word, each figure with its source.

Layers: this room knows lengths and names, not readings. Numbers are exact fractions in base units
(mm, N, N·m, MPa, °C, g, mm³, degree) with the text they were typed as.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType

from sparkout.sheet.assembly_model import AssemblySpec

__all__ = [
    "EMPTY",
    "Bounds",
    "DataSheet",
    "Identity",
    "Limit",
    "PartSpec",
    "PriorSpec",
    "RepairSpec",
    "Side",
]

EMPTY: Mapping[str, object] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Bounds:
    """An interval with closed ends; None is no bound on that side. typed: as it stands written."""

    low: Fraction | None
    high: Fraction | None
    typed: str = ""

    @property
    def middle(self) -> Fraction:
        if self.low is None or self.high is None:
            raise ValueError(f"{self.typed or self!r} has no middle: one side is open")
        return (self.low + self.high) / 2

    @property
    def width(self) -> Fraction | None:
        return None if self.low is None or self.high is None else self.high - self.low


class Side:
    """Which question a limit answers: may it go back as new, or may it be used again."""

    NEW = "new"
    SERVICE = "service"


@dataclass(frozen=True, slots=True)
class Limit:
    """What one characteristic may be.

    name: as the sheet has it, with its qualifier (`intake stem clearance`).
    statistic: what of the readings the limit is for (`every position` unless the sheet says).
    held: the state it is measured in (`liner clamped, no seals`). judged: `always`, or `when new`
    where only a part going back as new is judged. thumb: name of the rule of thumb that filled it,
    empty when the sheet gives the figures.
    """

    name: str
    characteristic: str
    qualifier: str = ""
    new: Bounds | None = None
    service: Bounds | None = None
    statistic: str = "every position"
    held: str = ""
    judged: str = "always"
    must: bool = True
    source: str = ""
    thumb: str = ""

    def side(self, side: str) -> Bounds | None:
        """The bounds for that question; each stands in for the other where only one is given."""
        first, second = (self.new, self.service) if side == Side.NEW else (self.service, self.new)
        return first if first is not None else second


@dataclass(frozen=True, slots=True)
class PartSpec:
    """One part as sold for this engine, with the sizes it brings."""

    name: str
    kind: str
    sizes: Mapping[str, Bounds]
    for_bore: Fraction | None = None
    undersize: Fraction | None = None
    protrusion: Bounds | None = None
    supplied: str = "finished"
    fits: str = ""
    with_parts: tuple[str, ...] = ()
    note: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class RepairSpec:
    """A way to mend one kind of feature: the program's own rows, and those a sheet adds."""

    kind: str
    name: str
    words: str
    makes: tuple[str, ...]
    operation: str = ""
    part: str = ""
    together: bool = False


@dataclass(frozen=True, slots=True)
class Identity:
    """Name of the engine and what the frame needs said in words."""

    name: str
    note: str = ""
    cycle: str = "four-stroke diesel"
    cylinder_one: str = ""
    rotation: str = ""
    thrust_side: str = ""
    camshaft: str = "in the block"
    valve_row: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LayoutSpec:
    """How the engine is laid out, as the sheet says it; `engine.frame` turns it into features."""

    layout: str
    cylinders: int
    banks: tuple[tuple[str, tuple[int, ...]], ...]
    firing_order: tuple[int, ...]
    main_bearings: int
    cylinder_kind: str
    intakes: int = 1
    exhausts: int = 1
    heads: str = "per bank"
    cam_bearings: int = 0
    rods_on_pin: tuple[tuple[int, ...], ...] = ()
    gears: tuple[str, ...] = ()
    rings: tuple[str, ...] = ("top", "second", "oil")
    without: tuple[str, ...] = ()
    bank_angle: Fraction | None = None


@dataclass(frozen=True, slots=True)
class PriorSpec:
    """What one characteristic is usually found at.

    found: eight engines in ten lie between its ends; of a range over positions, the end that wear
    moves. fails: for a test, the chance that it is failed. alike: share of the scatter that the
    features of one engine have in common; None where the sheet does not say. source: "" where none
    is given: then it is a rule of thumb, and every output says so.
    """

    name: str
    characteristic: str
    qualifier: str = ""
    found: Bounds | None = None
    fails: Fraction | None = None
    alike: Fraction | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class DataSheet:
    """The whole sheet. geometry: nominal figures by name, in base units."""

    identity: Identity
    layout: LayoutSpec
    geometry: Mapping[str, Fraction]
    limits: Mapping[str, Limit]
    parts: tuple[PartSpec, ...]
    sources: Mapping[str, str]
    repairs: tuple[RepairSpec, ...] = ()
    digest: str = ""
    assembly: AssemblySpec = field(default_factory=AssemblySpec)
    priors: Mapping[str, PriorSpec] = field(default_factory=lambda: MappingProxyType({}))

    def parts_of(self, kind: str) -> tuple[PartSpec, ...]:
        return tuple(part for part in self.parts if part.kind == kind)

    def limit_for(self, characteristic: str, tags: tuple[str, ...] = ()) -> Limit | None:
        """The limit of a characteristic; one qualified by a tag of the feature goes first."""
        for tag in tags:
            qualified = self.limits.get(f"{tag} {characteristic}")
            if qualified is not None:
                return qualified
            # `top ring` + `ring gap` is written `top ring gap`, not `top ring ring gap`
            last = tag.rsplit(" ", 1)[-1]
            if characteristic.startswith(last + " "):
                qualified = self.limits.get(f"{tag}{characteristic[len(last) :]}")
                if qualified is not None:
                    return qualified
        return self.limits.get(characteristic)

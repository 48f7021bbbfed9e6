"""The frame of an engine: which features it has, how they are numbered, what stands beside what.

The right size in the wrong hole is scrap, so numbering is stated once here and echoed everywhere.
Cylinders count from the end the data sheet names; on V and flat engines a bank lists its cylinders
in order from that end.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

__all__ = ["Bank", "CylinderKind", "Feature", "Frame", "Layout", "build_frame"]


class Layout(StrEnum):
    INLINE = "inline"
    V = "V"
    FLAT = "flat"
    SINGLE = "single"


class CylinderKind(StrEnum):
    """What the piston runs in."""

    PARENT_BORE = "parent bore"
    DRY_LINER = "dry liner"
    DRY_FLANGED_LINER = "dry flanged liner"
    WET_LINER = "wet liner"

    @property
    def lined(self) -> bool:
        return self is not CylinderKind.PARENT_BORE

    @property
    def flanged(self) -> bool:
        return self in (CylinderKind.DRY_FLANGED_LINER, CylinderKind.WET_LINER)


@dataclass(frozen=True, slots=True)
class Bank:
    """A row of cylinders with one deck; numbers in order from the end of cylinder 1."""

    name: str
    cylinders: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Feature:
    """One physical thing on this engine: bore 2, main journal 3, valve E3.

    tags qualify limits: a limit for `intake stem clearance` is for guides tagged `intake`.
    """

    name: str
    kind: str
    number: int = 0
    cylinder: int = 0
    bank: str = ""
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Frame:
    """All features of one engine and how they relate. Built by `build_frame`."""

    layout: Layout
    banks: tuple[Bank, ...]
    main_bearings: int
    cylinder_kind: CylinderKind
    firing_order: tuple[int, ...]
    rods_on_pin: tuple[tuple[int, ...], ...]
    valves: tuple[str, ...]
    features: tuple[Feature, ...]
    notes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    _by_name: Mapping[str, Feature] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def cylinders(self) -> tuple[int, ...]:
        return tuple(sorted(number for bank in self.banks for number in bank.cylinders))

    def feature(self, name: str) -> Feature | None:
        return self._by_name.get(name)

    def of_kind(self, kind: str) -> tuple[Feature, ...]:
        return tuple(item for item in self.features if item.kind == kind)

    def kinds(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(item.kind for item in self.features))

    def bank_of(self, cylinder: int) -> Bank:
        for bank in self.banks:
            if cylinder in bank.cylinders:
                return bank
        raise KeyError(f"no cylinder {cylinder} in this engine")

    def pin_of(self, cylinder: int) -> int:
        for number, rods in enumerate(self.rods_on_pin, start=1):
            if cylinder in rods:
                return number
        raise KeyError(f"no cylinder {cylinder} in this engine")

    def along(self, cylinder: int) -> float:
        """How far along its bank a cylinder stands: 0 at the end of cylinder 1, 1 at the other."""
        row = self.bank_of(cylinder).cylinders
        return row.index(cylinder) / (len(row) - 1) if len(row) > 1 else 0.5

    def valve_cylinder(self, valve: str) -> int:
        return int("".join(ch for ch in valve if ch.isdigit()))

    def bank_suffix(self, bank: Bank) -> str:
        """`deck` on an engine with one bank, `deck left` on one with several."""
        return f" {bank.name}" if len(self.banks) > 1 else ""


def valve_names(cylinder: int, intakes: int, exhausts: int) -> tuple[str, ...]:
    """I3, E3 where there is one of each; I3a, I3b where there are several."""

    def letters(letter: str, count: int) -> list[str]:
        if count == 1:
            return [f"{letter}{cylinder}"]
        return [f"{letter}{cylinder}{chr(ord('a') + k)}" for k in range(count)]

    return (*letters("I", intakes), *letters("E", exhausts))


def build_frame(
    layout: Layout,
    banks: tuple[Bank, ...],
    *,
    main_bearings: int,
    cylinder_kind: CylinderKind,
    firing_order: tuple[int, ...],
    intakes: int = 1,
    exhausts: int = 1,
    rods_on_pin: tuple[tuple[int, ...], ...] = (),
    heads: str = "per bank",
    gear_meshes: tuple[str, ...] = (),
    cam_bearings: int = 0,
    rings: tuple[str, ...] = ("top", "second", "oil"),
    without: tuple[str, ...] = (),
    with_: tuple[str, ...] = (),
    notes: Mapping[str, str] | None = None,
) -> Frame:
    """List every feature of an engine.

    heads: `per bank`, `per cylinder` or `none`. without: kinds this engine does not have
    (`pushrod`, `injector`, `main shell` …). with_: kinds that its layout does not bring by itself
    (`base gasket`).
    """
    cylinders = tuple(sorted(number for bank in banks for number in bank.cylinders))
    pins = rods_on_pin or _pins(layout, banks)
    several = len(banks) > 1
    found: list[Feature] = []

    def add(name: str, kind: str, **more: object) -> None:
        if kind not in without:
            found.append(Feature(name, kind, **more))  # type: ignore[arg-type]

    add("block", "block")
    if layout is Layout.SINGLE or "base gasket" in with_:
        add("base gasket", "base gasket")
    for bank in banks:
        suffix = f" {bank.name}" if several else ""
        add(f"deck{suffix}", "deck", bank=bank.name)
        if heads == "per bank":
            add(f"head{suffix}", "head", bank=bank.name)
    for number in range(1, main_bearings + 1):
        for kind in ("main housing", "main shell", "main journal"):
            add(f"{kind} {number}", kind, number=number)
    for number, rods in enumerate(pins, start=1):
        add(f"rod journal {number}", "rod journal", number=number, cylinder=rods[0])
    bank_of = {number: bank.name for bank in banks for number in bank.cylinders}
    for number in cylinders:
        where = {"number": number, "cylinder": number, "bank": bank_of[number]}
        add(f"bore {number}", "bore", **where)
        if cylinder_kind.lined:
            add(f"parent bore {number}", "parent bore", **where)
            add(f"liner {number}", "liner", **where)
        if cylinder_kind.flanged:
            add(f"ledge {number}", "ledge", **where)
        for kind in ("rod", "rod shell", "rod bolt", "piston", "injector", "chamber"):
            add(f"{kind} {number}", kind, **where)
        for ring in rings:
            add(f"{ring} ring {number}", "ring", tags=(f"{ring} ring",), **where)
        if heads == "per cylinder":
            add(f"head {number}", "head", **where)
        for valve in valve_names(number, intakes, exhausts):
            tags = ("intake",) if valve.startswith("I") else ("exhaust",)
            for kind in ("valve", "guide", "seat", "spring", "lobe", "follower", "pushrod",
                         "rocker"):  # fmt: skip
                add(f"{kind} {valve}", kind, tags=tags, **where)
    for number in range(1, cam_bearings + 1):
        add(f"cam bush {number}", "cam bush", number=number)
        add(f"cam journal {number}", "cam journal", number=number)
    for kind in ("crankshaft", "camshaft", "oil pump", "damper", "flywheel", "rods", "pistons",
                 "chambers", "timing chain", "head bolt", "main bolt"):  # fmt: skip
        add(kind, kind)
    for mesh in gear_meshes:
        add(f"gear mesh {mesh}", "gear mesh")
    valves = tuple(
        valve for number in cylinders for valve in valve_names(number, intakes, exhausts)
    )
    return Frame(
        layout,
        banks,
        main_bearings,
        cylinder_kind,
        firing_order,
        pins,
        valves,
        tuple(found),
        MappingProxyType(dict(notes or {})),
        MappingProxyType({item.name: item for item in found}),
    )


def _pins(layout: Layout, banks: tuple[Bank, ...]) -> tuple[tuple[int, ...], ...]:
    """Which rods sit on which crankpin, where the data sheet does not say.

    In-line, single and flat engines: one rod a pin, in order along the crank (common practice). V
    engines: the rods that stand opposite each other share a pin (common practice).
    """
    if layout is Layout.V and len({len(bank.cylinders) for bank in banks}) == 1:
        return tuple(zip(*(bank.cylinders for bank in banks), strict=True))
    if len(banks) > 1:
        longest = max(len(bank.cylinders) for bank in banks)
        in_order = [
            bank.cylinders[k] for k in range(longest) for bank in banks if k < len(bank.cylinders)
        ]
        return tuple((number,) for number in in_order)
    return tuple((number,) for number in banks[0].cylinders)

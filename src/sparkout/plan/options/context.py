"""What the makers of options look things up in: sheet, shop and state, with their short cuts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.frame import Bank, Frame
from sparkout.engine.moves import moves_of
from sparkout.engine.state import State
from sparkout.fits import FITS, Instance, instances
from sparkout.judge.words import Words
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.plan.forms import MoveBy, SetTo
from sparkout.sheet.model import Bounds, DataSheet, Limit, PartSpec
from sparkout.sheet.shop import OperationRate, Shop

__all__ = ["Context", "rank_of"]

# The order in which effects on one size count: a later SetTo wipes out what came before.
_RANK: Mapping[str, int] = {
    "align-hone mains": 10,
    "line-bore mains": 10,
    "straighten crankshaft": 20,
    "true crankshaft": 20,
    "grind main journals": 25,
    "grind rod journals": 25,
    "recut ledge": 30,
    "surface deck": 40,
    "fit dry liner": 45,
    "sleeve cylinder": 46,
    "bore cylinder": 50,
    "hone cylinder": 52,
    "resize rod": 60,
    "straighten rod": 62,
    "re-bush rod": 64,
    "surface head": 70,
    "replace guide": 72,
    "fit seat insert": 74,
    "cut seat": 76,
    "reface valve": 77,
    "grind stem tips": 78,
    "part": 90,
}


def rank_of(operation: str) -> int:
    """Where an operation stands in that order; one without a place stands in the middle."""
    return _RANK.get(operation, 55)


@dataclass(frozen=True, slots=True)
class Context:
    """Everything an option maker may look at."""

    sheet: DataSheet
    shop: Shop
    state: State

    @property
    def frame(self) -> Frame:
        return self.state.frame

    def size(self, feature: str, characteristic: str) -> Dimension | None:
        return self.state.size(feature, characteristic)

    def limit(self, characteristic: str, *tags: str) -> Limit | None:
        return self.sheet.limit_for(characteristic, tags)

    def said(self, value: Fraction, characteristic: str) -> str:
        """A size as this shop reads it."""
        return Words(self.shop.units).value(value, characteristic)

    def nominal(self, name: str) -> Fraction | None:
        return self.sheet.geometry.get(name)

    def operation(self, name: str) -> OperationRate | None:
        return self.shop.operations.get(name)

    def can(self, name: str) -> str:
        """Why an operation cannot be had, or nothing."""
        return "" if name in self.shop.operations else f"this shop lists no operation “{name}”"

    def parts(self, kind: str, fits: str = "") -> tuple[PartSpec, ...]:
        return tuple(
            part
            for part in self.sheet.parts_of(kind)
            if not fits or not part.fits or part.fits == fits
        )

    def supply_gap(self, *names: str) -> str:
        """Why a part cannot be had, or nothing."""
        for name in names:
            supply = self.shop.supply.get(name)
            if supply is None:
                return f"“{name}” is not in the supply list: no price, not known where to get it"
            if supply.on_hand == 0 and supply.lead_days == 0:
                return f"“{name}” is not to be had"
        return ""

    def fit(self, name: str, feature: str) -> Instance | None:
        """A fit of the trade on one feature of this engine, where it has all that it needs."""
        found = instances(FITS[name], self.frame, self.sheet.geometry)
        return next((item for item in found if item.feature == feature), None)

    def days(self, *names: str) -> int:
        """Longest wait for these parts; nothing for what is on the shelf."""
        waits = [0]
        for name in names:
            supply = self.shop.supply.get(name)
            if supply is not None and not supply.on_hand:
                waits.append(supply.lead_days)
        return max(waits)

    # Values an option leaves behind ----------------------------------------------------------

    def held(self, operation: str, characteristic: str) -> Bounds | None:
        rate = self.operation(operation)
        return None if rate is None else rate.holds.get(characteristic)

    def hit(self, operation: str, characteristic: str, source: str) -> tuple[Component, ...]:
        """How well an operation hits a size: half of its expanded uncertainty (k = 2)."""
        held = self.held(operation, characteristic)
        if held is None or held.width is None:
            return ()
        return (Component(source, float(held.width) / 4, Shape.NORMAL),)

    def machined(
        self,
        feature: str,
        characteristic: str,
        target: Fraction,
        operation: str,
        *,
        as_new: bool = True,
        size: Fraction = Fraction(0),
    ) -> SetTo:
        """The size an operation makes: its target, as well as the shop's process hits it."""
        key = Key(feature, characteristic)
        value = Estimate(target, self.hit(operation, characteristic, f"{operation}, {feature}"))
        return SetTo(key, value, value, rank_of(operation), How.MACHINED, as_new, size)

    def formed(self, feature: str, characteristic: str, operation: str) -> SetTo | None:
        """A form the operation leaves (round, flat, straight): at most what the shop's file has."""
        held = self.held(operation, characteristic)
        if held is None or held.high is None:
            return None
        low = Estimate(held.low if held.low is not None else Fraction(0))
        key = Key(feature, characteristic)
        return SetTo(key, low, Estimate(held.high), rank_of(operation))

    def brought(
        self, part: PartSpec, feature: str, characteristic: str, rank: int = rank_of("part")
    ) -> SetTo | None:
        """The size a new part brings: measured if it is in hand, else the range it is sold in."""
        key = Key(feature, characteristic)
        in_hand = self.state.new_parts.get(part.name, {}).get(key)
        if in_hand is not None:
            return SetTo(key, in_hand.low, in_hand.high, rank, How.NEW_PART)
        bounds = part.sizes.get(characteristic)
        if bounds is None or bounds.low is None or bounds.high is None:
            return None
        low, high = Estimate(bounds.low), Estimate(bounds.high)
        return SetTo(key, low, high, rank, How.ASSUMED)

    def all_brought(self, part: PartSpec, feature: str) -> tuple[SetTo, ...]:
        found = (self.brought(part, feature, name) for name in part.sizes)
        return tuple(item for item in found if item is not None)

    def moved(
        self, operation: str, amount: str, *, bank: Bank | None = None, own: str = ""
    ) -> tuple[MoveBy, ...]:
        """Everything a cut moves, from the declarations of what each operation touches."""
        rank = rank_of(operation)
        effects = []
        for move in moves_of(operation):
            for feature in self.reached(move.kind, move.reach, bank, own):
                key = Key(feature, move.characteristic)
                hits = self.hit(operation, move.characteristic, amount)
                error = hits[0] if hits else None
                effects.append(MoveBy(key, amount, move.per, rank, error))
        return tuple(effects)

    def moved_exactly(self, operation: str, amount: str, *, own: str) -> tuple[MoveBy, ...]:
        """The same, by a thickness that is put in and not cut: no error of a cut with it."""
        return tuple(
            replace(move, error=None) for move in self.moved(operation, amount, own=own)
        )  # fmt: skip

    def reached(self, kind: str, reach: str, bank: Bank | None, own: str) -> Iterable[str]:
        if reach == "own":
            number = own.rsplit(" ", 1)[-1]
            return (f"{kind} {number}",) if kind != own.rsplit(" ", 1)[0] else (own,)
        banks = self.frame.banks if reach == "all" or bank is None else (bank,)
        if kind == "deck at bore":
            return [f"deck at bore {number}" for each in banks for number in each.cylinders]
        numbers = {number for each in banks for number in each.cylinders}
        names = {each.name for each in banks}
        return [
            feature.name
            for feature in self.frame.of_kind(kind)
            if feature.cylinder in numbers
            or feature.bank in names
            or not (feature.cylinder or feature.bank)
        ]

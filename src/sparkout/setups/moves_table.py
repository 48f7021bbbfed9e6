"""Operation × affected quantity, with sign and size: worked out, never typed in.

What each cut touches stands in `engine.moves`; what hangs on that stands in the fits. This table
multiplies the one by the other, for every fit that is declared and for three quantities that follow
from declared ones: lash of a pushrod engine, misfit of a V manifold, backlash of timing gears.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Key
from sparkout.engine.frame import Feature, Frame, Layout
from sparkout.engine.moves import MOVES
from sparkout.fits import ALL_FITS, Instance, instances
from sparkout.fits.forms import NO_GEOMETRY
from sparkout.fits.ratio import clearance_volume, swept_volume

__all__ = ["Moved", "MovesRow", "moves_table"]

_PI = Fraction(math.pi).limit_denominator(10**9)


@dataclass(frozen=True, slots=True)
class Moved:
    """One quantity that an operation moves.

    per: by how much for each mm of the operation's amount, None where only the way is known. sign:
    which way. unit: of per. direct: whether the tool touches it, or it follows.
    """

    quantity: str
    per: Fraction | None
    sign: int
    unit: str = "mm/mm"
    direct: bool = False


@dataclass(frozen=True, slots=True)
class MovesRow:
    """One operation: what its amount is, and everything it moves."""

    operation: str
    amount: str
    moved: tuple[Moved, ...]

    def of(self, quantity: str) -> Moved | None:
        """What it does to one quantity; None where it does nothing."""
        return next((item for item in self.moved if item.quantity == quantity), None)


_AMOUNTS = {
    "surface deck": "depth of cut, liners out",
    "surface head": "depth of cut",
    "recut ledge": "depth of cut",
    "align-hone mains": "centre line goes up",
    "cut seat": "valve sinks, along the stem",
    "grind stem tips": "taken off the tip",
    "shim spring": "shim under the spring",
}

# Sizes changed by a part or by a tool that touches nothing else: kind, characteristic, sign.
_CHANGES: Mapping[str, tuple[str, tuple[tuple[str, str, int], ...]]] = {
    "shim under the liner flange": ("shim", (("liner", "liner shim thickness", 1),)),
    "thicker head gasket": ("more, compressed", (("head gasket", "gasket thickness", 1),)),
    "thicker base gasket": ("more, compressed", (("base gasket", "base gasket thickness", 1),)),
    "lower or skimmed crown": ("crown lower by", (("piston", "compression height", -1),)),
    "resize big end": ("rod shorter by", (("rod", "rod length", -1),)),
    "re-bush rod, bored longer": ("offset", (("rod", "rod length", 1),)),
    "bore and hone cylinder": ("on diameter", (("bore", "bore diameter", 1),)),
    "polish main journals": ("on diameter", (("main journal", "main journal diameter", -1),)),
    "polish rod journals": ("on diameter", (("rod journal", "rod journal diameter", -1),)),
    "grind thrust face": ("off the face", (("crankshaft", "thrust gap", 1),)),
    "thicker thrust washers": ("each", (("crankshaft", "thrust washer thickness", 1),)),
    "thicker injector washer": ("more", (("injector", "injector washer thickness", 1),)),
    "thicker lash shim": ("more", (("valve", "lash shim", 1),)),
    "new insert or new valve": ("valve stands up by", (
        ("seat", "valve recession", -1), ("valve", "tip height", -1),
        ("spring", "spring installed height", -1))),
    "reface valve": ("valve sinks, along the stem", (
        ("seat", "valve recession", 1), ("valve", "tip height", 1),
        ("spring", "spring installed height", 1))),
}  # fmt: skip


def moves_table(
    frame: Frame, geometry: Mapping[str, Fraction] = NO_GEOMETRY
) -> tuple[MovesRow, ...]:
    """What every operation does to every quantity of one engine, per millimetre.

    Σ over a fit's terms of weight × what the operation does to that size.

    frame: of the engine [-].
    geometry: its nominal figures: rocker ratio, sprocket radius, bore, pressure angle [mm, °].
    Returns a row for each operation that touches something this engine has [mm per mm].
    Holds for linear fits; of the compression ratio only the way is given, its size hangs on the
    volumes.
    Source: `engine.moves` and the fits; pushrod lash, manifold and backlash are geometry.

    >>> from sparkout.engine.frame import Bank, CylinderKind, Layout, build_frame
    >>> one = build_frame(Layout.SINGLE, (Bank("", (1,)),), main_bearings=2,
    ...     cylinder_kind=CylinderKind.PARENT_BORE, firing_order=(1,))
    >>> deck = moves_table(one)[0]
    >>> deck.operation, int(deck.of("piston protrusion").per), int(deck.of("deck height").per)
    ('surface deck', 1, -1)
    """
    table = _Table(frame, geometry)
    rows = [
        table.row(operation, _AMOUNTS[operation],
                  {(m.kind, m.characteristic): m.per for m in moves})
        for operation, moves in MOVES.items()
        if operation != "align-hone mains" or frame.of_kind("main housing")
    ]  # fmt: skip
    rows += [
        table.row(operation, amount, {(kind, name): Fraction(sign) for kind, name, sign in changes})
        for operation, (amount, changes) in _CHANGES.items()
        if operation != "thicker lash shim" or not frame.of_kind("pushrod")
    ]
    return tuple(row for row in rows if row.moved)


Changes = Mapping[tuple[str, str], Fraction]


@dataclass(frozen=True, slots=True)
class _Table:
    frame: Frame
    geometry: Mapping[str, Fraction]

    def row(self, operation: str, amount: str, changes: Changes) -> MovesRow:
        found = [
            Moved(name, per, _sign(per), direct=True)
            for (kind, name), per in changes.items()
            if self._has(kind) and kind != "deck at bore"
        ]
        for fit in ALL_FITS:
            # A pushrod engine's lash hangs on its head and block too; that fit is not its fit.
            if fit.name == "valve lash" and self._pushrods():
                continue
            per = self._per(instances(fit, self.frame, self.geometry), changes)
            if fit.name == "hydraulic preload" and operation == "align-hone mains":
                # Deck height is read from the crank; the cam does not rise with it.
                per = Fraction(0)
            if per:
                unit = BY_NAME[fit.name].dimension
                found.append(Moved(fit.name, per, _sign(per), "°/mm" if unit == "angle" else
                                   "mm/mm"))  # fmt: skip
        found += self._ratio(changes)
        found += self._derived(operation, changes)
        return MovesRow(operation, amount, tuple(found))

    def _has(self, kind: str) -> bool:
        if kind == "head gasket":
            return bool(self.frame.of_kind("head"))
        if kind == "deck at bore":
            return True
        return bool(self.frame.of_kind(kind))

    def _pushrods(self) -> bool:
        return bool(self.frame.of_kind("pushrod"))

    def _kind(self, key: Key) -> str:
        feature = self.frame.feature(key.feature)
        if feature is not None:
            return feature.kind
        return "deck at bore" if key.feature.startswith("deck at bore") else "head gasket"

    def _per(self, found: tuple[Instance, ...], changes: Changes) -> Fraction:
        """What one instance does; all of a kind do the same, the largest stands for them."""
        values = [
            sum(
                (
                    weight * changes.get((self._kind(key), key.characteristic), Fraction(0))
                    for weight, key in instance.terms
                ),
                Fraction(0),
            )
            for instance in found
        ]
        return max(values, key=abs, default=Fraction(0))

    def _ratio(self, changes: Changes) -> list[Moved]:
        """The way the compression ratio goes: against clearance volume, with swept volume."""
        bores: tuple[Feature, ...] = self.frame.of_kind("bore")
        if not bores:
            return []
        volume = clearance_volume(self.frame, bores[0], self.geometry)
        swept = swept_volume(self.geometry)
        if volume is None or swept is None:
            return []
        per = self._per((volume,), changes)
        wider = changes.get(("bore", "bore diameter"), Fraction(0))
        found = []
        if per:
            found.append(Moved("clearance volume", per, _sign(per), "mm³/mm"))
        if per or wider:
            found.append(Moved("compression ratio", None, -_sign(per) or _sign(wider), ""))
        return found

    def _derived(self, operation: str, changes: Changes) -> list[Moved]:
        found = []
        # the tool cuts the face over the cam; a centre line that rises does not bring the cam along
        deck = changes.get(("deck", "deck height"), Fraction(0))
        if operation == "align-hone mains":
            deck = Fraction(0)
        drop = -(
            deck
            + changes.get(("head", "head height"), Fraction(0))
            + changes.get(("head gasket", "gasket thickness"), Fraction(0))
        )
        rise = changes.get(("valve", "tip height"), Fraction(0))
        ratio = self.geometry.get("rocker ratio")
        if self._pushrods() and ratio:
            lash = -ratio * drop - rise
            if lash:
                found.append(Moved("valve lash", lash, _sign(lash)))
        if self.frame.layout is Layout.V and drop:
            found.append(Moved("manifold misfit", drop, _sign(drop)))
        closer = changes.get(("block", "crank to cam"), Fraction(0))
        angle = self.geometry.get("gear pressure angle")
        if closer and self.frame.of_kind("gear mesh"):
            if angle:
                slope = 2 * Fraction(math.tan(math.radians(float(angle)))).limit_denominator(10**9)
                found.append(Moved("gear backlash", slope * closer, _sign(closer)))
            else:
                found.append(Moved("gear backlash", None, _sign(closer), ""))
        wider = changes.get(("bore", "bore diameter"), Fraction(0))
        if wider and self.frame.of_kind("ring"):
            found.append(Moved("ring gap", _PI * wider, _sign(wider)))
        return found


def _sign(value: Fraction) -> int:
    return (value > 0) - (value < 0)

"""Every characteristic the program knows, by component; a data sheet names them by these names."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from sparkout.engine.characteristics.block import BLOCK
from sparkout.engine.characteristics.crank import CRANK
from sparkout.engine.characteristics.gear import GEAR
from sparkout.engine.characteristics.head import HEAD
from sparkout.engine.characteristics.instruments import INSTRUMENTS
from sparkout.engine.characteristics.kinds import Characteristic, Derive, Sense
from sparkout.engine.characteristics.rods import RODS

__all__ = ["ALL", "BY_NAME", "Characteristic", "Derive", "Sense"]

_SAID = {row.name: row for row in INSTRUMENTS}


def _whole(item: Characteristic) -> Characteristic:
    said = _SAID.get(item.name)
    if said is None:
        return item
    return replace(
        item, gauge=item.gauge or said.gauge, places=item.places or said.places, how=said.how
    )


ALL: tuple[Characteristic, ...] = tuple(
    _whole(item) for item in (*BLOCK, *CRANK, *RODS, *HEAD, *GEAR)
)
BY_NAME = MappingProxyType({item.name: item for item in ALL})
if len(BY_NAME) != len(ALL):
    raise AssertionError("two characteristics share a name")
if _SAID.keys() - BY_NAME.keys() or len(_SAID) != len(INSTRUMENTS):
    raise AssertionError("instruments of a characteristic there is not, or twice of one")

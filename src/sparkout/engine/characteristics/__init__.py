"""Every characteristic the program knows, by component; a data sheet names them by these names."""

from __future__ import annotations

from types import MappingProxyType

from sparkout.engine.characteristics.block import BLOCK
from sparkout.engine.characteristics.crank import CRANK
from sparkout.engine.characteristics.gear import GEAR
from sparkout.engine.characteristics.head import HEAD
from sparkout.engine.characteristics.kinds import Characteristic, Derive, Sense
from sparkout.engine.characteristics.rods import RODS

__all__ = ["ALL", "BY_NAME", "Characteristic", "Derive", "Sense"]

ALL: tuple[Characteristic, ...] = (*BLOCK, *CRANK, *RODS, *HEAD, *GEAR)
BY_NAME = MappingProxyType({item.name: item for item in ALL})
if len(BY_NAME) != len(ALL):
    raise AssertionError("two characteristics share a name")

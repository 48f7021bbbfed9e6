"""Opening data sheets, shop files and supply lists: the record, or every fault with its line."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

from sparkout.faults import Fault
from sparkout.sheet.convert import Reader
from sparkout.sheet.engine_form import SheetForm
from sparkout.sheet.engine_sheet import to_sheet
from sparkout.sheet.model import DataSheet
from sparkout.sheet.names import Names
from sparkout.sheet.reading import open_document
from sparkout.sheet.salvage import salvage
from sparkout.sheet.shop import Shop
from sparkout.sheet.shop_file import to_shop, with_supply
from sparkout.sheet.shop_form import ShopForm, SupplyListForm

__all__ = ["open_sheet", "open_shop", "open_supply"]


def open_sheet(
    path: Path, names: Names, shown: str = ""
) -> tuple[DataSheet | None, tuple[Fault, ...]]:
    """The data sheet in a file, or None and all its faults. shown: how faults name the file."""
    document = open_document(path, SheetForm, shown or path.name)
    form, blanks = document.model, frozenset[tuple[str | int, ...]]()
    if form is None:
        form, blanks = salvage(document.root, SheetForm)
    if form is None:
        return None, document.faults
    read = Reader(document.place, blanks)
    sheet = to_sheet(form, names, read, _digest(path))
    faults = _in_order([*document.faults, *read.faults])
    return (None if any(fault.stops for fault in faults) else sheet), faults


def open_shop(path: Path, names: Names, shown: str = "") -> tuple[Shop | None, tuple[Fault, ...]]:
    """The shop in a file, or None and all its faults."""
    document = open_document(path, ShopForm, shown or path.name)
    form, blanks = document.model, frozenset[tuple[str | int, ...]]()
    if form is None:
        form, blanks = salvage(document.root, ShopForm)
    if form is None:
        return None, document.faults
    read = Reader(document.place, blanks)
    shop = to_shop(form, names, read, _digest(path))
    faults = _in_order([*document.faults, *read.faults])
    return (None if any(fault.stops for fault in faults) else shop), faults


def open_supply(path: Path, shop: Shop, shown: str = "") -> tuple[Shop | None, tuple[Fault, ...]]:
    """The shop with a supply list added."""
    document = open_document(path, SupplyListForm, shown or path.name)
    if document.model is None:
        return None, document.faults
    read = Reader(document.place)
    supplied = with_supply(shop, document.model, read)
    faults = (*document.faults, *_in_order(read.faults))
    both = hashlib.sha256((shop.digest + _digest(path)).encode()).hexdigest()
    return (
        None if any(fault.stops for fault in faults) else replace(supplied, digest=both)
    ), faults


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _in_order(faults: list[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(faults, key=lambda f: (f.place.line or 0, f.place.column or 0)))

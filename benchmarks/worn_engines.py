"""Worn engines of one to twenty cylinders for the benchmarks: data sheet, shop and raw readings.

The sheet is that of the shipped four-cylinder engine laid out anew, as far as a plan needs it. Each
cylinder is worn like one of its four, drawn from a seed, and each wear reading is moved by a step
of its gauge or two, so that no two cylinders read alike.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import sparkout
from sparkout.engine.names import known_names
from sparkout.job.entry import Entry, draft, seal, timestamp
from sparkout.sheet.files import open_sheet, open_shop, open_supply
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop

__all__ = ["SIZES", "Worn", "worn"]

SIZES = (("inline", 1), ("inline", 4), ("inline", 8), ("V", 16), ("V", 20))

_DEMOS = Path(sparkout.__file__).parent / "demos"
_START = datetime(2026, 11, 16, 7, 0, tzinfo=UTC)
_MAINS = ("main housing", "main shell", "main journal", "cam bush", "cam journal")
# What wears by itself: no limit that holds several cylinders together hangs on it.
_WEAR = ("bore diameter", "rod journal diameter", "main journal diameter", "piston pin diameter",
         "guide diameter", "stem diameter", "rod weight", "cam journal diameter")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Worn:
    """One engine as it comes to be planned."""

    name: str
    cylinders: int
    sheet: DataSheet
    shop: Shop
    entries: tuple[Entry, ...]


def worn(layout: str, cylinders: int, seed: int = 0) -> Worn:
    """An engine of this layout, worn as the seed has it."""
    text = (_DEMOS / "workboat_four" / "engine.yaml").read_text("utf-8")
    supply = (_DEMOS / "workboat_four" / "supply.yaml").read_text("utf-8")
    supply = re.sub(r"on hand: (\d+)", lambda m: f"on hand: {int(m[1]) * cylinders}", supply)
    names = known_names()
    with TemporaryDirectory() as folder:
        sheet_file, supply_file = Path(folder, "engine.yaml"), Path(folder, "supply.yaml")
        sheet_file.write_text(_laid_out(text, layout, cylinders), "utf-8")
        supply_file.write_text(supply, "utf-8")
        sheet, wrong = open_sheet(sheet_file, names)
        shop, more = open_shop(_DEMOS / "shop.yaml", names)
        assert shop is not None
        shop, last = open_supply(supply_file, shop)
    faults = (*wrong, *more, *last)
    assert sheet is not None, faults
    assert shop is not None, faults
    entries = tuple(_sealed(_bodies(sheet, random.Random(f"{seed} {layout} {cylinders}"))))
    return Worn(f"{layout} {cylinders}", cylinders, sheet, shop, entries)


def _mains(layout: str, cylinders: int) -> int:
    return (cylinders // 2 if layout == "V" else cylinders) + 1


def _laid_out(text: str, layout: str, cylinders: int) -> str:
    """The sheet of another layout, without what is about putting the engine together."""
    text = text.partition("\n# Putting it together")[0]
    numbers = range(1, cylinders + 1)
    mains = _mains(layout, cylinders)
    lines = {
        "layout": layout,
        "cylinders": str(cylinders),
        "firing order": "-".join(map(str, numbers)),
        "main bearings": str(mains),
        "cam bearings": str(mains),
    }
    for key, value in lines.items():
        text, count = re.subn(rf"(?m)^  {key}: .*$", f"  {key}: {value}", text)
        assert count == 1, key
    text = re.sub(r"(?m)^  valve row: .*\n", "", text)
    if layout == "V":
        rows = {"left": numbers[::2], "right": numbers[1::2]}
        banks = "".join(
            f"    - bank: {name}\n      cylinders: {'-'.join(map(str, row))}\n"
            for name, row in rows.items()
        )
        text = text.replace("  firing order:", f"  banks:\n{banks}  firing order:")
    return text


def _bodies(sheet: DataSheet, draw: random.Random) -> Iterator[tuple[str, dict[str, Any]]]:
    """What stands in the log: the readings of the four cylinders dealt out over all."""
    lines = (_DEMOS / "workboat_four" / "log.jsonl").read_text("utf-8").splitlines()
    read = [(entry["kind"], entry["body"]) for entry in map(json.loads, lines)]
    layout = sheet.layout
    like = {number: draw.randint(1, 4) for number in range(1, layout.cylinders + 1)}
    mains = {1: 1, layout.main_bearings: 5}
    for number in range(2, layout.main_bearings):
        mains[number] = draw.randint(2, 4)
    pins = layout.cylinders // 2 if layout.layout == "V" else layout.cylinders
    for kind, body in read:
        about = str(body.get("feature", body.get("for_feature", "")))
        what, _, which = about.rpartition(" ")
        if about in ("deck", "head"):
            places = [f"{about} {name}" if name else about for name, _ in layout.banks]
        elif what in _MAINS:
            places = [f"{what} {number}" for number, own in mains.items() if own == int(which)]
        elif re.fullmatch(r"[IE]?[1-4]", which):
            places = [
                f"{what} {which[:-1]}{number}"
                for number, own in like.items()
                if own == int(which[-1]) and (what != "rod journal" or number <= pins)
            ]
        else:
            places = [about]
        for place in places:
            mine = dict(body)
            if about:
                mine["feature" if "feature" in body else "for_feature"] = place
            if mine.get("characteristic") in _WEAR:
                mine["typed"] = _moved(mine["typed"], draw)
            yield kind, mine


def _moved(typed: str, draw: random.Random) -> str:
    """A reading a step or two away, in as many digits."""
    _, _, after = typed.partition(".")
    step = Fraction(1, 10 ** len(after))
    return f"{float(Fraction(typed) + step * draw.randint(-2, 2)):.{len(after)}f}"


def _sealed(bodies: Iterator[tuple[str, dict[str, Any]]]) -> Iterator[Entry]:
    previous = ""
    for number, (kind, body) in enumerate(bodies, start=1):
        made, faults = draft(kind, "bench", body)
        assert made is not None, faults
        entry = seal(
            made,
            id_=f"{number:032x}",
            device="bench-1",
            number=number,
            previous=previous,
            at=timestamp(_START + timedelta(seconds=20 * number)),
        )
        previous = entry.hash
        yield entry

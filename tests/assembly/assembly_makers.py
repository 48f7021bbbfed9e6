"""Small engines, joints and logs for the tests of this folder."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from functools import cache
from pathlib import Path

import sparkout
from sparkout.assembly.build import AssemblySheet, assembly_sheet
from sparkout.assembly.records import Record, records
from sparkout.assembly.step import PlanFacts
from sparkout.cautions import shipped_messages
from sparkout.engine.frame import Frame
from sparkout.engine.names import known_names
from sparkout.engine.of_sheet import frame_of
from sparkout.job.entry import Entry, draft, seal, timestamp
from sparkout.job.replay import Standing, replay
from sparkout.sheet.assembly_model import (
    FastenerPlace,
    Joint,
    Pattern,
    Stage,
    StageKind,
)
from sparkout.sheet.files import open_sheet, open_shop
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop

DEMOS = Path(sparkout.__file__).parent / "demos"
NAMES = ("workboat_four", "road_eight", "farm_single")
START = datetime(2026, 12, 1, 7, 0, tzinfo=UTC)


@cache
def demo(name: str) -> tuple[DataSheet, Frame, Shop]:
    sheet, faults = open_sheet(DEMOS / name / "engine.yaml", known_names())
    assert sheet is not None, faults
    own = DEMOS / name / "shop.yaml"
    shop, faults = open_shop(own if own.exists() else DEMOS / "shop.yaml", known_names())
    assert shop is not None, faults
    return sheet, frame_of(sheet), shop


def build(name: str, facts: PlanFacts | None = None) -> AssemblySheet:
    sheet, frame, shop = demo(name)
    found, faults = assembly_sheet(
        sheet, frame, facts or PlanFacts(), shipped_messages(), shop.units
    )
    assert faults == ()
    return found


def place(name: str, x: float, y: float) -> FastenerPlace:
    return FastenerPlace(name, Fraction(str(x)), Fraction(str(y)))


def torque(value: int) -> Stage:
    return Stage(StageKind.TORQUE, f"{value} N·m", Fraction(value), Fraction(1))


def turn(value: int) -> Stage:
    return Stage(StageKind.TURN, f"turn {value} deg", Fraction(value), Fraction(1))


LOOSEN = Stage(StageKind.LOOSEN, "loosen fully")


def joint(
    stages: Iterable[Stage],
    places: Iterable[FastenerPlace] | None = None,
    pattern: Pattern = Pattern.RINGS,
    **more: object,
) -> Joint:
    where = tuple(places or (place("1", 0, 0), place("2", 60, 0)))
    fields: dict[str, object] = {
        "name": "head",
        "fastener": "bolt",
        "count": len(where),
        "thread": "M12",
        "lubrication": "engine oil on thread",
        "stages": tuple(stages),
        "pattern": pattern,
        "places": where,
        "source": "invented",
    }
    return Joint(**{**fields, **more})  # type: ignore[arg-type]


def standing(bodies: Iterable[tuple[str, Mapping[str, object]]], by: str = "Ana") -> (
    tuple[Standing, ...]
):  # fmt: skip
    """A log of entries, each of a kind with its fields, as it counts."""
    entries: list[Entry] = []
    previous = ""
    for number, (kind, body) in enumerate(bodies, start=1):
        made, faults = draft(kind, str(body.get("_by", by)),
                             {k: v for k, v in body.items() if k != "_by"})  # fmt: skip
        assert made is not None, faults
        entry = seal(
            made,
            id_=hashlib.sha256(f"{number}".encode()).hexdigest()[:32],
            device="bench-1",
            number=number,
            previous=previous,
            at=timestamp(START + timedelta(minutes=number)),
        )
        previous = entry.hash
        entries.append(entry)
    result = replay(entries)
    assert result.faults == ()
    return result.effective


def check(step: str, result: str, feature: str = "", **more: str) -> tuple[str, dict[str, str]]:
    body = {"step": step, "result": result, "feature": feature, **more}
    return "check", {key: value for key, value in body.items() if value}


def recorded(*rows: tuple[str, Mapping[str, object]], by: str = "Ana") -> tuple[Record, ...]:
    return records(standing(rows, by))

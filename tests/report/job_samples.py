"""Jobs for the papers: as shipped, without a log, huge, wordy, worked on."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import count
from pathlib import Path
from typing import Any

import sparkout
from sparkout.cautions import SafetyMessage, shipped_messages
from sparkout.job.append import LogWriter
from sparkout.job.entry import draft
from sparkout.job.reader import read_log
from sparkout.load import Job, files_in, load_job
from sparkout.report.documents.findings import findings_sheet
from sparkout.report.documents.record import build_record
from sparkout.report.documents.source import Document, Source, source_of
from sparkout.report.documents.work import work_sheet

DEMOS = Path(sparkout.__file__).parent / "demos"
ENGINES = ("farm_single", "road_eight", "workboat_four")
LONG_WORD = "Kolbenbolzenbuchsenausreibwerkzeug" * 5
FOREIGN = "測量 и Ω"


def copied(to: Path, name: str, *, log: bool = True) -> Path:
    """A shipped job in a folder of its own."""
    folder = to / name
    shutil.copytree(DEMOS / name, folder)
    if not (folder / "shop.yaml").exists():
        shutil.copy(DEMOS / "shop.yaml", folder)
    if not log:
        (folder / "log.jsonl").unlink()
    return folder


def enter(
    folder: Path,
    entries: list[tuple[str, Mapping[str, Any]]],
    by: str = "Ines",
    device: str = "tablet",
    day: int = 1,
) -> list[str]:
    """Put entries into a log, a minute apart, with ids that are the same every time."""
    start = datetime(2027, 3, day, 8, 0, tzinfo=UTC)
    numbers = count()
    made = []
    ids = (f"{device:0>10}{k:016d}" for k in count())
    with LogWriter(folder / "log.jsonl") as log:
        for kind, body in entries:
            entry, faults = draft(kind, by, dict(body))
            assert entry is not None, faults
            at = start + timedelta(minutes=next(numbers))
            name = next(ids)
            made.append(log.append(entry, lambda at=at: at, device, lambda name=name: name).id)
    return made


def job_in(folder: Path) -> Job:
    job, faults = load_job(files_in(folder))
    assert job is not None, faults
    return job


def source_in(folder: Path, date: str = "2027-03-01") -> Source:
    job = job_in(folder)
    entries = read_log(job.files.log)[0] if job.files.log.exists() else ()
    return source_of(job, entries, folder.name, date)


@cache
def shipped(name: str) -> Source:
    return source_in(DEMOS / name)


@cache
def cautions() -> tuple[SafetyMessage, ...]:
    return shipped_messages()


def papers_of(source: Source) -> dict[str, Document]:
    return {
        "findings": findings_sheet(source),
        "work": work_sheet(source, cautions()),
        "record": build_record(source, cautions()),
    }


def worked_on(to: Path) -> Path:
    """The single with its cylinder bored and honed, some of it read again, one thing let pass."""
    folder = copied(to, "farm_single")
    size = {"feature": "bore 1", "characteristic": "bore diameter", "gauge": "BG-1",
            "phase": "left"}  # fmt: skip
    made = enter(folder, [
        ("approval", {"what": "the offer of 1 March", "by_whom": "P. Farmer", "how": "phone",
                      "amount": "1117.78", "currency": "EUR", "declined": ["new exhaust valve"]}),
        ("choice", {"what": "bore", "option": "piston +0.50", "reason": "next size up"}),
        ("part", {"part": "piston +0.50", "number": "P-77", "batch": "B9",
                  "for_feature": "piston 1", "supplier": "the dealer"}),
        ("observation", {"feature": "crankshaft", "what": "heat mark", "text": "blue at the pin",
                         "severity": "note",
                         "photos": [{"sha256": "ab" * 32, "name": "pin.jpg"}]}),
        ("work", {"operation": "bore cylinder", "features": ["bore 1"], "target": "72.440",
                  "machine": "boring bar"}),
        ("work", {"operation": "hone cylinder", "features": ["bore 1"], "target": "72.500",
                  "results": [{"characteristic": "bore score depth", "typed": "0.00",
                               "gauge": "DI-1"}],
                  "deviation_from_plan": "coarse stones only; plateau brush is worn"}),
        ("reading", {"feature": "deck", "characteristic": "deck flatness", "phase": "left",
                     "typed": "0.08 passes, 0.10 does not", "gauge": "FG-1", "level": "diagonal"}),
        ("reading", {"feature": "head", "characteristic": "head flatness", "phase": "left",
                     "typed": "0.01 passes, 0.02 does not", "gauge": "FG-1", "level": "diagonal"}),
        ("check", {"step": "fit-head/deck flatness", "result": "waived", "feature": "deck",
                   "note": "gasket maker allows it", "second_person": "Otto"}),
        ("check", {"step": "wash-parts", "result": "done"}),
        ("reading", {**size, "typed": "72.501", "level": "top", "direction": "thrust"}),
        ("reading", {**size, "typed": "72.503", "level": "bottom", "direction": "thrust"}),
        ("reading", {**size, "typed": "72.500", "level": "top", "direction": "axial"}),
        ("reading", {"feature": "rod 1", "characteristic": "rod side clearance", "typed": "0.53",
                     "gauge": "FG-1"}),
    ])  # fmt: skip
    # An oversize is far from the standard nominal: the readings are confirmed as typed.
    enter(folder, [
        *(("correction", {"of": name, "action": "confirm", "reason": "it is +0.50"})
          for name in made[-4:-1]),
        ("correction", {"of": made[-1], "action": "replace", "reason": "figures swapped",
                        "body": {"typed": "0.35"}}),
    ], by="Otto", device="office", day=2)  # fmt: skip
    return folder


def huge(to: Path) -> Path:
    """A thousand readings: every bore of the four read again and again."""
    folder = copied(to, "workboat_four")
    bodies = [
        {
            "feature": f"bore {k % 4 + 1}",
            "characteristic": "bore diameter",
            "typed": f"100.{100 + k % 60:03d}",
            "gauge": "BG-1",
            "level": ("top", "upper", "middle", "lower", "bottom")[k // 4 % 5],
            "direction": ("thrust", "axial", "+45", "-45")[k // 20 % 4],
        }
        for k in range(600)
    ]
    enter(folder, [("reading", body) for body in bodies])
    return folder


def wordy(to: Path) -> Path:
    """Names, notes and sights far longer than any column, in several scripts."""
    folder = copied(to, "farm_single")
    sheet = folder / "engine.yaml"
    text = sheet.read_text(encoding="utf-8")
    name = f"Stationary single {LONG_WORD} {FOREIGN} with overhead cam and more words than fit"
    sheet.write_text(text.replace("Stationary single, overhead cam", name), encoding="utf-8")
    enter(folder, [
        ("intake", {"engine": LONG_WORD, "serial": LONG_WORD, "customer": FOREIGN + LONG_WORD,
                    "complaint": "*runs* #rough $at$ `idle` <b>hot</b> " + LONG_WORD,
                    "arrived": [LONG_WORD] * 5, "missing": [FOREIGN]}),
        ("observation", {"feature": LONG_WORD, "what": "other", "text": LONG_WORD * 4}),
        ("approval", {"what": LONG_WORD, "by_whom": LONG_WORD, "how": "mail", "amount": "9" * 60,
                      "currency": "EUR", "declined": [LONG_WORD, FOREIGN]}),
        ("work", {"operation": "surface deck", "features": ["deck"], "target": "9" * 80,
                  "machine": LONG_WORD, "tool": LONG_WORD, "deviation_from_plan": LONG_WORD}),
        ("part", {"part": LONG_WORD, "number": LONG_WORD, "supplier": LONG_WORD}),
        ("check", {"step": f"{LONG_WORD}/{LONG_WORD}", "result": "9" * 70, "note": LONG_WORD}),
    ])  # fmt: skip
    return folder

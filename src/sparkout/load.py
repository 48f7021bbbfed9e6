"""The pipeline: the one place that joins the rooms, from files to all that follows from them.

Same files, same answers: nothing here reads the clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sparkout.assembly.mock_up import mock_up
from sparkout.assembly.records import records
from sparkout.engine.frame import Frame
from sparkout.engine.from_log import Located, locate
from sparkout.engine.known import with_known
from sparkout.engine.names import known_names
from sparkout.engine.of_sheet import frame_of
from sparkout.engine.state import State, measured_state
from sparkout.faults import Fault, Place
from sparkout.job.entry import Entry
from sparkout.job.reader import read_log
from sparkout.job.replay import Replay, replay
from sparkout.job.verify import verify
from sparkout.judge.checks import Check, checks, lash_checks
from sparkout.judge.finding import Finding, judge_all
from sparkout.judge.words import Words
from sparkout.plan.options.context import Context
from sparkout.plan.options.faults import Files, option_faults
from sparkout.sheet.files import open_sheet, open_shop, open_supply
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop

__all__ = ["Job", "JobFiles", "files_in", "job_from", "load_job"]


@dataclass(frozen=True, slots=True)
class JobFiles:
    """Where a job's files are."""

    sheet: Path
    shop: Path
    log: Path
    supply: Path | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One job, read: what it says and what follows from it short of a plan."""

    files: JobFiles
    sheet: DataSheet
    shop: Shop
    frame: Frame
    replayed: Replay
    located: Located
    state: State
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]

    @property
    def words(self) -> Words:
        return Words(self.shop.units)


def files_in(folder: Path) -> JobFiles:
    """The usual names in a job folder; the shop's file may also lie one folder up."""
    shop = folder / "shop.yaml"
    if not shop.exists() and (folder.parent / "shop.yaml").exists():
        shop = folder.parent / "shop.yaml"
    supply = folder / "supply.yaml"
    return JobFiles(
        folder / "engine.yaml", shop, folder / "log.jsonl", supply if supply.exists() else None
    )


def load_job(files: JobFiles) -> tuple[Job | None, tuple[Fault, ...]]:
    """A job from its files, or None where a fault stops it; every fault either way.

    Faults of the sheet, the shop file, the supply list and the log all come together. Raises
    OSError where a file cannot be read at all.
    """
    names = known_names()
    sheet, faults = open_sheet(files.sheet, names)
    shop, more = open_shop(files.shop, names)
    faults += more
    if shop is not None and files.supply is not None:
        shop, more = open_supply(files.supply, shop)
        faults += more
    entries: tuple[Entry, ...] = ()
    if files.log.exists():
        entries, more = read_log(files.log)
        faults += more + tuple(verify(entries))
    else:
        missing = Fault(Place(files.log.name), "no log", "readings", stops=False)
        faults += (missing,)
    if sheet is None or shop is None:
        return None, faults
    job, more = job_from(files, sheet, shop, entries)
    faults += more
    if job is not None:
        # what sheet, shop and supply say of each other: told now, not when an option is missed
        paths = (files.sheet, files.shop, files.supply or files.shop)
        named = Files(*(path.name for path in paths))
        faults += option_faults(Context(sheet, shop, job.state), named)
    return (None if any(fault.stops for fault in faults) else job), faults


def job_from(
    files: JobFiles, sheet: DataSheet, shop: Shop, entries: Sequence[Entry]
) -> tuple[Job | None, tuple[Fault, ...]]:
    """A job from what its files say, or None where a fault of the log stops it."""
    replayed = replay(entries)
    frame = frame_of(sheet)
    located = locate(replayed.effective, frame, sheet, shop)
    # what was read while the engine goes together counts like any reading, last one first
    tried = mock_up(records(replayed.effective), frame, shop)
    faults = (*replayed.faults, *located.faults, *tried.faults)
    if any(fault.stops for fault in faults):
        return None, faults
    state = with_known(
        measured_state(frame, (*located.spots, *tried.spots), (*located.tests, *tried.tests)), sheet
    )
    to_judge = (*checks(sheet, frame), *lash_checks(sheet, frame, state.sizes))
    found = judge_all(
        to_judge,
        state.sizes,
        confidence=float(shop.confidence),
        rule=shop.rule,
        words=Words(shop.units),
        gauges=shop.gauges,
    )
    return Job(files, sheet, shop, frame, replayed, located, state, to_judge, found), faults

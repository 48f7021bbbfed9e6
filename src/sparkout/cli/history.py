"""The shop's own history: one characteristic over all job folders, in the order it was read."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from sparkout.cli.output import say
from sparkout.faults import Fault, Place

TYPE_CHECKING = False
if TYPE_CHECKING:
    from sparkout.load import Job

__all__ = ["Past", "PastReading", "past_of"]


@dataclass(frozen=True, slots=True)
class PastReading:
    """One reading of a finished or running job, in the base unit of its characteristic."""

    at: str
    job: str
    feature: str
    place: str
    value: Fraction


@dataclass(frozen=True, slots=True)
class Past:
    """dimension, units: of the characteristic and of the shop that read it last."""

    readings: tuple[PastReading, ...]
    dimension: str
    units: str


def past_of(
    folder: Path, characteristic: str, phase: str, from_target: bool
) -> tuple[Past | None, tuple[Fault, ...]]:
    """Every reading of a characteristic in one phase, over the job folders below a folder.

    from_target: the reading less the size worked to, as the work entry before it says. A job that
    cannot be read is told and left out: one broken folder must not hide the history.
    """
    from sparkout.engine.characteristics import BY_NAME

    known = BY_NAME.get(characteristic)
    if known is None or known.dimension == "test":
        from sparkout.sheet.nearest import nearest

        hint = nearest(characteristic, tuple(BY_NAME))
        remedy = f"Did you mean '{hint}'?" if hint else ""
        return None, (
            Fault(
                Place(key="--of"), f"'{characteristic}'", "a characteristic that is a size", remedy
            ),
        )
    jobs = sorted(path.parent for path in folder.glob("*/log.jsonl"))
    if (folder / "log.jsonl").exists():
        jobs.append(folder)
    if not jobs:
        place = Place(str(folder))
        return None, (Fault(place, "no job folder in it", "folders that hold a log.jsonl"),)
    found: list[PastReading] = []
    units = ""
    for path in jobs:
        job = _read(path)
        if job is not None:
            some, left_out = _readings(job, path.name, characteristic, phase, from_target)
            found += some
            units = job.shop.units if some else units
            if left_out:
                say(f"{path.name}: {left_out} readings without a size worked to, left out.")
    if not found:
        expected = f"a reading of {characteristic}, phase '{phase}'"
        expected += ", of a feature with a size worked to" if from_target else ""
        other = "found" if phase == "left" else "left"
        return None, (
            Fault(Place(str(folder)), f"no such reading in {len(jobs)} job folder(s)", expected,
                  f"Readings may be of phase '{other}': --phase {other}."),
        )  # fmt: skip
    return Past(tuple(sorted(found, key=lambda r: (r.at, r.job))), known.dimension, units), ()


def _read(path: Path) -> Job | None:
    from sparkout.load import files_in, load_job

    try:
        job, faults = load_job(files_in(path))
    except OSError as wrong:
        say(f"{path.name}: {wrong.strerror}; the job was left out.")
        return None
    if job is None:
        first = next((fault for fault in faults if fault.stops), None)
        say(f"{path.name}: left out. {first or ''}".rstrip())
    return job


def _readings(
    job: Job, name: str, characteristic: str, phase: str, from_target: bool
) -> tuple[list[PastReading], int]:
    """The readings of one job, and how many had no size worked to."""
    found = []
    missing = 0
    for spot in job.located.spots:
        if spot.key.characteristic != characteristic or spot.phase != phase:
            continue
        value = spot.estimate.value
        if from_target:
            target = _target(job, spot.key.feature, spot.at)
            if target is None:
                missing += 1
                continue
            value -= target
        found.append(PastReading(spot.at, name, spot.key.feature, spot.place, value))
    return found, missing


def _target(job: Job, feature: str, at: str) -> Fraction | None:
    """The size the last work on a feature was worked to, up to a time."""
    from sparkout.units import QuantityError, parse

    worked = [
        body.target
        for entry, body in job.located.work
        if feature in body.features and body.target and entry.at <= at
    ]
    if not worked:
        return None
    try:
        return parse(worked[-1], "length", "in" if job.shop.units == "inch" else "mm").value
    except QuantityError:
        return None

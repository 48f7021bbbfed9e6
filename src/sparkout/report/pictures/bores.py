"""Bore readings as pictures: all bores of the engine small, or one of them large."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from sparkout.drawings.palette import Verdict as Shown
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Key
from sparkout.engine.spots import Spot
from sparkout.judge.finding import Finding
from sparkout.load import Job
from sparkout.report.pictures.bore_set import BoreSet, SmallBore, bore_set
from sparkout.report.pictures.scales import scale_of
from sparkout.report.pictures.verdicts import worst
from sparkout.sheet.model import Side

__all__ = ["bores_of", "draw_bores", "spots_by_key"]

_SIZE = "bore diameter"


def spots_by_key(spots: Iterable[Spot], *phases: str) -> Mapping[Key, tuple[Spot, ...]]:
    """Readings of some phases by what was read."""
    found: dict[Key, list[Spot]] = {}
    for spot in spots:
        if spot.phase in phases:
            found.setdefault(spot.key, []).append(spot)
    return {key: tuple(some) for key, some in found.items()}


def draw_bores(job: Job, findings: Iterable[Finding], *phases: str) -> str | None:
    """Every bore with its readings of these phases, None where no bore was read."""
    made = bores_of(job, findings, *phases)
    return None if made is None else bore_set(made)


def bores_of(job: Job, findings: Iterable[Finding], *phases: str) -> BoreSet | None:
    """The record behind `draw_bores`."""
    scale = scale_of(job.shop.units)
    spots = spots_by_key(job.located.spots, *phases)
    read = [name for f in job.frame.of_kind("bore") if Key(name := f.name, _SIZE) in spots]
    if not read:
        return None
    nominal = job.sheet.geometry.get("bore")
    if nominal is None:
        values = [s.estimate.value for name in read for s in spots[Key(name, _SIZE)]]
        nominal = min(values)
    verdicts = _verdicts(findings)
    limit = job.sheet.limit_for(_SIZE)
    bounds = None if limit is None else limit.side(Side.SERVICE)

    def away(value: Fraction | None) -> float | None:
        return None if value is None else scale.fine_of(value - nominal)

    bores = []
    for bank in job.frame.banks:
        for cylinder in bank.cylinders:
            name = f"bore {cylinder}"
            some = spots.get(Key(name, _SIZE), ())
            bores.append(_small(job, name, some, nominal, verdicts.get(name, Shown.NOT_MEASURED)))
    return BoreSet(
        "Bores as read",
        tuple(bores),
        job.words.value(nominal, _SIZE),
        scale.fine_unit,
        scale.fine_decimals,
        None if bounds is None else away(bounds.low),
        None if bounds is None else away(bounds.high),
    )


def _verdicts(findings: Iterable[Finding]) -> Mapping[str, Shown]:
    """The worst verdict on each bore itself: size, shape, score, wall."""
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        name = finding.check.limit.characteristic
        if BY_NAME[name].feature == "bore" and name.startswith("bore "):
            found.setdefault(finding.check.instance.feature, []).append(finding)
    return {bore: worst(f.verdict for f in some) for bore, some in found.items()}


def _small(
    job: Job, name: str, spots: Sequence[Spot], nominal: Fraction, verdict: Shown
) -> SmallBore:
    scale = scale_of(job.shop.units)
    levels = tuple(dict.fromkeys(spot.level for spot in spots))
    directions = tuple(dict.fromkeys(spot.direction for spot in spots))
    # read twice at one place: the larger counts, as wear does
    at: dict[tuple[str, str], Fraction] = {}
    for spot in spots:
        place = (spot.level, spot.direction)
        at[place] = max(spot.estimate.value, at.get(place, spot.estimate.value))
    rows = tuple(
        tuple(
            scale.fine_of(at[level, way] - nominal) if (level, way) in at else None
            for way in directions
        )
        for level in levels
    )
    largest = f"largest {job.words.value(max(at.values()), _SIZE)}" if at else ""
    return SmallBore(name.capitalize(), verdict, levels, directions, rows, largest)

"""The engine seen from above with the verdict on every cylinder, as the data sheet numbers them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from sparkout.drawings.engine_plan import Bank, EnginePlan, engine_plan
from sparkout.drawings.engine_plan import Layout as Drawn
from sparkout.drawings.palette import Verdict as Shown
from sparkout.drawings.strip import Spot
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Layout
from sparkout.judge.finding import Finding, Verdict
from sparkout.load import Job
from sparkout.report.pictures.verdicts import worst

__all__ = ["draw_engine", "engine_of"]

_LAYOUT = {
    Layout.INLINE: Drawn.INLINE,
    Layout.V: Drawn.V,
    Layout.FLAT: Drawn.FLAT,
    Layout.SINGLE: Drawn.SINGLE,
}


def draw_engine(job: Job, findings: Iterable[Finding], sizes: Mapping[Key, Dimension]) -> str:
    return engine_plan(engine_of(job, findings, sizes))


def engine_of(job: Job, findings: Iterable[Finding], sizes: Mapping[Key, Dimension]) -> EnginePlan:
    """The record behind `draw_engine`: banks from the front, the largest bore size in each."""
    identity = job.sheet.identity
    verdicts = _verdicts(job, findings)
    reverse = bool(re.match(r"at the (?:flywheel|rear|drive|output)", identity.cylinder_one))
    banks = []
    for bank in job.frame.banks:
        row = [_spot(job, cylinder, verdicts, sizes) for cylinder in bank.cylinders]
        banks.append(Bank(bank.name, tuple(reversed(row) if reverse else row)))
    # Front on the left of the page: the right-hand bank seen from the flywheel end is on top.
    banks.sort(key=lambda bank: "right" not in bank.name)
    where = identity.cylinder_one
    return EnginePlan(
        _LAYOUT[job.frame.layout],
        tuple(banks),
        firing_order=tuple(map(str, job.frame.firing_order))
        if len(job.frame.cylinders) > 1
        else (),
        rotation=identity.rotation,
        numbering=f"Cylinder 1 {where}" if where else "",
        figure_name=f"figures: largest bore diameter, {'in' if job.shop.units == 'inch' else 'mm'}",
    )


def _verdicts(job: Job, findings: Iterable[Finding]) -> Mapping[int, Shown]:
    """The worst verdict on each bore itself: its size, shape, score and wall."""
    found: dict[int, list[Verdict]] = {}
    for finding in findings:
        feature = job.frame.feature(finding.check.instance.feature)
        own = finding.check.limit.characteristic.startswith("bore ")
        if feature is not None and feature.kind == "bore" and own:
            found.setdefault(feature.cylinder, []).append(finding.verdict)
    return {cylinder: worst(some) for cylinder, some in found.items()}


def _spot(
    job: Job, cylinder: int, verdicts: Mapping[int, Shown], sizes: Mapping[Key, Dimension]
) -> Spot:
    size = sizes.get(Key(f"bore {cylinder}", "bore diameter"))
    text = "" if size is None else job.words.value(size.high.value, "bore diameter")
    figure = text.rsplit(" ", 1)[0]
    return Spot(str(cylinder), verdicts.get(cylinder, Shown.NOT_MEASURED), figure)

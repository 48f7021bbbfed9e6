"""What is read on the trial assembly, each beside what the plan makes of it and its limit.

That is what only the engine put together shows: how the pistons stand and what is left over them,
oil clearances, end play, backlash, lash, valves to pistons, the compression ratio. Fits that were
made and read in a step of their own (liners in their bores, pistons in theirs, stems in guides) are
not asked for again.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sparkout.assembly.trade.trial import TRIAL
from sparkout.fits import Instance, evaluate
from sparkout.fits.ratio import ratio_of
from sparkout.judge.finding import Finding, Verdict
from sparkout.plan.decide import Plan
from sparkout.report.documents.source import Source
from sparkout.report.grouping import allowed, minus, unique
from sparkout.sheet.assembly_model import LashSpec

__all__ = ["trial_rows"]

_READS = tuple(dict.fromkeys(name for row in TRIAL for name in row.reads))
# read there as well, by whoever has the engine together
_MORE = ("valve lash", "injector projection", "cam timing error", "compression ratio")
_NAMES = (*_READS, *_MORE)
_OVER = ("piston to head", "squish")
_BOX = {"write": True, "unit": ""}


def trial_rows(source: Source, plan: Plan) -> list[list[Any]]:
    """On what, what, as planned, limit, and a box: in the order in which it is read."""
    some = [
        finding
        for finding in unique(plan.after)
        if finding.check.limit.characteristic in _NAMES and finding.verdict is not Verdict.NO_LIMIT
    ]
    known = {finding.check.limit.characteristic for finding in some}
    rows: list[tuple[int, list[Any]]] = []
    for finding in some:
        name = finding.check.limit.characteristic
        if name in _OVER and "piston protrusion" not in known:
            rows += _protrusion(source, plan, finding)
        rows.append((_NAMES.index(name), _row(source, plan, finding)))
    if "valve lash" not in known:
        lash = source.job.sheet.assembly.lash
        rows += [] if lash is None else _lash(source, lash)
    return [row for _, row in sorted(rows, key=lambda pair: pair[0])]


def _row(source: Source, plan: Plan, finding: Finding) -> list[Any]:
    name = finding.check.limit.characteristic
    if finding.check.instance.inner:
        ratio = ratio_of(finding.check.instance, plan.sizes)
        planned = "" if ratio is None else " to ".join(dict.fromkeys(f"{r:.2f}" for r in ratio))
    elif finding.low is None or finding.high is None:
        planned = ""
    else:
        planned = source.words.reading(finding.low, finding.high, name)
    what = finding.check.limit.name
    if name == "compression ratio":
        what += ", from chamber, gasket and piston as read"
    limit = allowed(finding, source.words) if finding.bounds is not None else ""
    return [finding.check.instance.feature, what, minus(planned) or "not known", limit, dict(_BOX)]


def _protrusion(source: Source, plan: Plan, finding: Finding) -> Iterable[tuple[int, list[Any]]]:
    """How a piston stands to the deck, where a gap over it has a limit: it is read first."""
    instance = finding.check.instance
    terms = tuple(
        (-weight, key)
        for weight, key in instance.terms
        if not key.characteristic.endswith(("gasket thickness", "head face to deck"))
    )
    out = evaluate(Instance("piston protrusion", instance.feature, terms), plan.sizes)
    if out is None:
        return
    planned = source.words.reading(*out, "piston protrusion")
    where = f"decides {finding.check.limit.name}"
    yield (
        _NAMES.index("piston protrusion"),
        [instance.feature, "piston protrusion", minus(planned), where, dict(_BOX)],
    )


def _lash(source: Source, lash: LashSpec) -> Iterable[tuple[int, list[Any]]]:
    """What the sheet sets valves to, cold, where no limit asks for it."""
    for side, bounds in (("intake", lash.cold.intake), ("exhaust", lash.cold.exhaust)):
        if bounds is not None:
            said = source.words.bounds(bounds, "valve lash")
            yield (
                _NAMES.index("valve lash"),
                [f"{side} valves", "lash, cold", f"set to {said}", said, dict(_BOX)],
            )

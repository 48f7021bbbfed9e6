"""As left: every size that the work changes, held against the limit of what was made of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.spots import Spot
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding, Verdict, judge_all
from sparkout.plan.decide import Plan
from sparkout.plan.forms import MoveBy, SetTo, ShiftBy
from sparkout.report.documents.judged import verdict_cell
from sparkout.report.documents.source import Source, day
from sparkout.report.grouping import Grouped, allowed, figure, grouped, label
from sparkout.report.pictures.bores import spots_by_key

__all__ = ["AsLeft", "as_left", "as_left_rows"]

_LEFT = ("left", "mock-up")


@dataclass(frozen=True, slots=True, eq=False)
class AsLeft:
    """findings: limits that the work touches, judged by what was read afterwards. lacking: sizes
    the work changes that nobody has read since."""

    findings: tuple[Finding, ...]
    lacking: tuple[Key, ...]
    sizes: Mapping[Key, Dimension]
    spots: Mapping[Key, tuple[Spot, ...]]


def as_left(source: Source) -> AsLeft:
    """The engine as it stands after the work, from readings as left and parts that were measured.

    A size that the work changes and nobody has read since is not known: neither the figure from
    before nor the one planned stands in for it. What was made new or to another size is judged by
    the limits of just that, as the plan was.
    """
    job = source.job
    spots = spots_by_key(job.located.spots, *_LEFT)
    changed = _changed(source.decided) if isinstance(source.decided, Plan) else {}
    planned = source.decided.sizes if isinstance(source.decided, Plan) else {}
    sizes = dict(job.state.sizes)
    in_hand = {key for measured in job.state.new_parts.values() for key in measured}
    lacking = []
    for key, made_new in changed.items():
        plan = planned.get(key)
        if _read(key, spots):
            size = sizes.get(key)
            if size is not None and plan is not None:
                sizes[key] = replace(size, as_new=made_new, size=plan.size, free=plan.free)
        elif plan is not None and key in in_hand:
            sizes[key] = plan
        else:
            sizes.pop(key, None)
            known = BY_NAME.get(key.characteristic)
            if known is not None and job.frame.feature(key.feature) is not None:
                lacking.append(key)
    touched: list[Check] = []
    unread: list[Check] = []
    for check in job.checks:
        terms = {key for _, key in check.instance.terms}
        inner = {key for _, one in check.instance.inner for _, key in one.terms}
        if not (terms | inner | {check.key}) & (set(changed) | set(spots)):
            continue
        read = _read(check.key, spots)
        if check.key not in terms and not read:
            sizes.pop(check.key, None)  # read before something in it changed
        # A fit that is made to its part says nothing of the sizes it is made of: those from before
        # must not be added up in its place.
        made = check.key in changed and check.key not in terms and not read
        again = all(_read(key, spots) or key in in_hand for key in terms)
        (unread if made and not again else touched).append(check)
    findings = judge_all(
        tuple(touched),
        sizes,
        confidence=float(job.shop.confidence),
        rule=job.shop.rule,
        words=source.words,
    )
    findings += judge_all(tuple(unread), {}, words=source.words)
    return AsLeft(findings, tuple(lacking), sizes, spots)


def _changed(plan: Plan) -> dict[Key, bool]:
    """Sizes that the chosen options change, and whether they make them new."""
    found: dict[Key, bool] = {}
    for _, option in plan.chosen:
        for effect in option.effects:
            if isinstance(effect, SetTo):
                found[effect.key] = effect.as_new
            elif isinstance(effect, MoveBy | ShiftBy):
                found.setdefault(effect.key, False)
    return found


def _read(key: Key, spots: Mapping[Key, tuple[Spot, ...]]) -> bool:
    """Whether a size, or the readings it is worked out from, were read afterwards."""
    known = BY_NAME.get(key.characteristic)
    basis = known.basis if known is not None and known.derive is not Derive.FIT else ""
    return key in spots or bool(basis and Key(key.feature, basis) in spots)


def as_left_rows(source: Source, left: AsLeft, waived: Mapping[tuple[str, str], str]) -> list[Any]:
    """Limit, feature, allowed, read, gauge, by whom, verdict: a row for each thing that was read,
    one for each limit of which nothing was. waived: who let it pass and why, by what and on what.
    """
    by = {entry.id: entry for entry in source.job.replayed.effective}
    gauges = {spot.entry: spot.gauge for spot in source.job.located.spots}
    planned = _planned(source)
    rows: list[Any] = []
    unread = [f for f in left.findings if f.verdict is Verdict.NOT_MEASURED]
    read = [f for f in left.findings if f.verdict is not Verdict.NOT_MEASURED]
    for group in grouped(read):
        for finding in group.findings:
            entries = [by[name] for name in finding.entries if name in by]
            who = ", ".join(dict.fromkeys(f"{e.by}, {day(e.at)}" for e in entries))
            tools = dict.fromkeys(gauges.get(entry.id, "") for entry in entries)
            name, feature = finding.check.limit.name, finding.check.instance.feature
            pardon = waived.get((name, feature)) or waived.get(
                (finding.check.limit.characteristic, feature), ""
            )
            rows.append(
                [
                    name,
                    feature,
                    f"{finding.side}: {allowed(finding, source.words)}",
                    figure(finding, source.words, left.sizes),
                    ", ".join(tool for tool in tools if tool) or "–",
                    who or "–",
                    {**_cell(finding), "note": f"waived: {pardon}" if pardon else ""},
                ]
            )
    asked = [planned.get(finding.check.name, finding) for finding in unread]
    # as planned they have a verdict; here only their limits count
    alike = grouped(replace(f, verdict=Verdict.NO_LIMIT) for f in asked)
    return rows + [_unread(source, group) for group in alike]


def _planned(source: Source) -> Mapping[str, Finding]:
    """Findings as planned: the limits that a changed size will have to keep."""
    if not isinstance(source.decided, Plan):
        return {}
    return {finding.check.name: finding for finding in source.decided.after}


def _cell(finding: Finding) -> dict[str, Any]:
    shown = verdict_cell(finding.verdict)
    return shown if isinstance(shown, dict) else {"strong": shown}


def _unread(source: Source, group: Grouped) -> list[Any]:
    names = ", ".join(filter(None, map(label, group.findings)))
    side = group.first.side
    limit = f"{side}: {allowed(group.first, source.words)}"
    return [group.limit.name, names or group.first.check.instance.feature, limit, "not read yet",
            "–", "–", {"verdict": "NOT MEASURED", "note": ""}]  # fmt: skip

"""Work that is on size as read, and only not proven: it is measured again, never worked again.

No gauge was named, or one too coarse for the limit. Such a reading settles nothing, so the size
that the work was to leave stands until a better one is entered.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.state import State
from sparkout.judge.allowed import limit_words
from sparkout.judge.finding import Finding, Verdict
from sparkout.plan.replan.done import Done, left_ids, realised
from sparkout.plan.replan.naming import together

__all__ = ["measure_again", "said_to_measure", "without"]


def measure_again(
    findings: Iterable[Finding], done: Iterable[Done], state: State
) -> tuple[Finding, ...]:
    """Findings of sizes that work has left, inside their limits as read and not proven.

    A size that is out as read in any other respect is none of them.
    """
    worked = {effect.key for item in done for effect in realised(item)}
    left = left_ids(state)
    some = tuple(f for f in findings if f.key in worked and _read(state.sizes.get(f.key), left))
    doubtful = [f for f in some if _unproven(f)]
    bad = {f.key for f in some if f.verdict is Verdict.OUT or _outside(f)}
    return tuple(f for f in doubtful if f.key not in bad)


def _read(size: Dimension | None, left: set[str]) -> bool:
    return size is not None and bool(set(size.entries) & left)


def _unproven(finding: Finding) -> bool:
    if BY_NAME[finding.key.characteristic].dimension == "test":
        return False
    return finding.verdict is Verdict.NOT_PROVEN and finding.plain is Verdict.WITHIN


def _outside(finding: Finding) -> bool:
    return finding.verdict is Verdict.NOT_PROVEN and finding.plain is Verdict.OUT


def without(state: State, findings: Iterable[Finding]) -> State:
    """The state as if these had not been read after the work."""
    keys = {finding.key for finding in findings}
    left = left_ids(state)
    sizes = {key: size for key, size in state.sizes.items() if key not in keys}
    sizes |= {key: state.found[key] for key in keys if key in state.found}
    spots = {
        key: tuple(s for s in group if key not in keys or s.entry not in left)
        for key, group in state.spots.items()
    }
    return replace(state, sizes=MappingProxyType(sizes), spots=MappingProxyType(spots))


def said_to_measure(findings: Iterable[Finding]) -> tuple[str, ...]:
    """What to do about each, in a sentence or two; features read alike are told together."""
    found: dict[tuple[object, ...], dict[Key, Finding]] = {}
    for item in findings:
        alike = (item.key.characteristic, item.check.limit.name, item.side, item.bounds, item.marks)
        found.setdefault(alike, {}).setdefault(item.key, item)
    return tuple(_said(tuple(same.values())) for same in found.values())


def _said(same: tuple[Finding, ...]) -> str:
    first = same[0]
    named = any("no gauge named" in mark for mark in first.marks)
    how = "with a named gauge" if named else "with a finer gauge"
    if len(same) == 1:
        return (
            f"{first.reason} Measure it {how} and enter it as left; take off no more metal. Until "
            "then it counts as the plan meant to leave it."
        )
    name, features = first.key.characteristic, [item.check.instance.feature for item in same]
    what = name.removeprefix(features[0].rsplit(" ", 1)[0]).strip() or name
    head = f"{together(features)}: {what} {_values(same, name)}"
    head = head[0].upper() + head[1:]
    limit = limit_words(first, first.words)
    marks = "".join(f"; {mark}" for mark in first.marks)
    return (
        f"{head}, inside the {first.side} limit, {limit}, but not proven{marks}. Measure them "
        f"{how} and enter them as left; take off no more metal. Until then they count as the plan "
        "meant to leave them."
    )


def _values(same: Iterable[Finding], name: str) -> str:
    """`64.740 mm each`, or every one in the order of the features, the unit once."""
    texts = [
        item.words.reading(item.low, item.high, name)
        for item in same
        if item.low is not None and item.high is not None
    ]
    if len(set(texts)) == 1:
        return f"{texts[0]} each"
    *others, last = texts
    unit = last.rpartition(" ")[2]
    return ", ".join([*(text.removesuffix(f" {unit}") for text in others), last])

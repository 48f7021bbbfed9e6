"""Findings of one limit as one entry, and the entries in the order in which they matter."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, Key
from sparkout.fits.ratio import ratio_of
from sparkout.judge.allowed import limit_words
from sparkout.judge.finding import Finding, Verdict
from sparkout.judge.words import Words, blades
from sparkout.sheet.model import Bounds, Limit

__all__ = [
    "Grouped",
    "allowed",
    "bare",
    "by_importance",
    "figure",
    "grouped",
    "label",
    "minus",
    "over",
    "tier",
    "told",
    "unique",
    "what_to_do",
]

Sizes = Mapping[Key, Dimension]

_WORST = (
    Verdict.OUT,
    Verdict.NOT_PROVEN,
    Verdict.STALE,
    Verdict.NOT_MEASURED,
    Verdict.WITHIN,
    Verdict.NO_LIMIT,
)

# What the engine cannot do without and is dear to put right goes first: a judgement of ours.
_TIERS: tuple[tuple[str, ...], ...] = (
    ("bore", "block", "deck", "parent bore", "liner", "ledge", "main housing"),
    ("crankshaft", "main journal", "rod journal", "main shell", "rod shell"),
    ("rod", "rods", "piston", "pistons", "ring", "rod bolt"),
    ("head", "guide", "valve", "seat", "spring", "injector", "chamber", "chambers"),
)


@dataclass(frozen=True, slots=True)
class Grouped:
    """Findings of one limit that came out one way against one pair of bounds."""

    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        return self.findings[0]

    @property
    def limit(self) -> Limit:
        return self.first.check.limit

    @property
    def verdict(self) -> Verdict:
        return self.first.verdict

    @property
    def kind(self) -> str:
        """The kind of feature the limit is about."""
        return BY_NAME[self.limit.characteristic].feature


def unique(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """A ratio is judged from below and from above: of the two only the worse counts here."""
    worst: dict[tuple[str, str], Finding] = {}
    for finding in findings:
        key = (finding.check.instance.feature, finding.check.limit.name)
        known = worst.get(key)
        if known is None or _WORST.index(finding.verdict) < _WORST.index(known.verdict):
            worst[key] = finding
    return tuple(worst.values())


def grouped(findings: Iterable[Finding]) -> tuple[Grouped, ...]:
    """Findings by limit, verdict and bounds, in the order in which each first stands."""
    found: dict[tuple[object, ...], list[Finding]] = {}
    for finding in unique(findings):
        key: tuple[object, ...] = (finding.check.limit.name, finding.verdict)
        if finding.verdict is not Verdict.NOT_MEASURED and finding.bounds is not None:
            key += (finding.side, finding.bounds.low, finding.bounds.high)
        found.setdefault(key, []).append(finding)
    return tuple(Grouped(tuple(some)) for some in found.values())


def by_importance(groups: Iterable[Grouped]) -> tuple[Grouped, ...]:
    """What must hold first; of those cracks and leaks; then by how much depends on the part, then
    by how far it is beyond its limit, measured by the room the limit leaves for wear."""
    return tuple(sorted(groups, key=_rank))


def _rank(group: Grouped) -> tuple[bool, bool, int, float]:
    name = group.limit.characteristic
    failed = BY_NAME[name].dimension == "test" and ("crack" in name or "leak" in name)
    return (not group.limit.must, not failed, tier(group), -max(map(_excess, group.findings)))


def tier(group: Grouped) -> int:
    """How much of the engine hangs on the part: 0 for block and cylinders, then the crankshaft,
    rods and pistons, the head, the rest."""
    return next((k for k, kinds in enumerate(_TIERS) if group.kind in kinds), len(_TIERS))


def _excess(finding: Finding) -> float:
    far = over(finding)
    bounds, limit = finding.bounds, finding.check.limit
    if far is None or bounds is None:
        return 0.0
    room = bounds.width
    if room is None and limit.new is not None and limit.service is not None:
        for worn, new in ((limit.service.high, limit.new.high), (limit.service.low, limit.new.low)):
            if worn is not None and new is not None:
                room = abs(worn - new)
    if not room:
        room = abs(next(end for end in (bounds.high, bounds.low) if end is not None))
    return float(far / room) if room else float(far > 0)


def over(finding: Finding) -> Fraction | None:
    """How far beyond its limit a value can be, blades counted at their far end; None if unread."""
    bounds, low, high = finding.bounds, finding.low, finding.high
    if bounds is None or low is None or high is None:
        return None
    ends = blades(high) if low.value == high.value else None
    least, most = ends or (low.value, high.value)
    above = most - bounds.high if bounds.high is not None else Fraction(0)
    below = bounds.low - least if bounds.low is not None else Fraction(0)
    return max(above, below, Fraction(0))


def label(finding: Finding) -> str:
    """Which one of its kind: `2` of `bore 2`, `I3` of `seat I3`, `1–2` of two liners; a feature
    there is one of has none. Rings keep their place on the piston (`top 2`) where the limit does
    not name it."""
    kind = BY_NAME[finding.check.limit.characteristic].feature
    name = finding.check.limit.name
    feature = finding.check.instance.feature
    return "–".join(filter(None, (_short(part, kind, name) for part in feature.split(" to "))))


def _short(feature: str, kind: str, limit: str) -> str:
    if feature == kind:
        return ""
    if feature.startswith(kind + " "):
        return feature[len(kind) + 1 :]
    place, word, number = feature.partition(f" {kind} ")
    if word:
        return number if limit.startswith(place + " ") else f"{place} {number}"
    numbered = re.search(r"(?:[IE]?\d+[a-z]?)$", feature)
    return numbered.group() if numbered else feature


def minus(text: str) -> str:
    """The text with a true minus sign before figures."""
    return re.sub(r"(?<![\w.])-(?=[\d.])", "−", text)


def bare(text: str) -> str:
    """A figure without its unit."""
    number, _, unit = text.rpartition(" ")
    return number if number and not unit[0].isdigit() else text


def figure(finding: Finding, words: Words, sizes: Sizes, *, places: bool = True) -> str:
    """What was read, without its unit: the end that decides, with its place where it has one."""
    name = finding.check.limit.characteristic
    if finding.low is None or finding.high is None:
        return "not measured"
    if finding.check.instance.inner:
        return _ratio(finding, sizes)
    known = BY_NAME[name]
    value = sizes.get(finding.key)
    if known.dimension == "test":
        note = value.note if value is not None else ""
        result = "failed" if finding.high.value > Fraction(1, 2) else "passed"
        return f"{result} ({note})" if note else result
    low, high = finding.low, finding.high
    if known.derive in (Derive.NEIGHBOUR, Derive.ACROSS):
        return bare(words.value(max(abs(low.value), abs(high.value)), name))
    bounds = finding.bounds
    if bounds is None or low.value == high.value:
        text, place = words.reading(low, high, name), ""
        if value is not None and value.where_high == value.where_low:
            place = value.where_high
    elif bounds.low is None or (bounds.high is not None and high.value > bounds.high):
        text, place = words.value(high.value, name), value.where_high if value else ""
        if bounds.low is not None and low.value < bounds.low:
            text, place = words.reading(low, high, name), ""
    elif bounds.high is None or low.value < bounds.low:
        text, place = words.value(low.value, name), value.where_low if value else ""
    else:
        text, place = words.reading(low, high, name), ""
    return minus(bare(text)) + (f" ({place})" if place and places else "")


def _ratio(finding: Finding, sizes: Sizes) -> str:
    ratio = ratio_of(finding.check.instance, sizes)
    if ratio is None:
        return "not measured"
    return " to ".join(dict.fromkeys(f"{value:.2f}" for value in ratio))


def allowed(finding: Finding, words: Words) -> str:
    """The limit a finding was judged by, in words; a rule of thumb says that it is one."""
    return minus(limit_words(finding, words))


def told(group: Grouped, words: Words, sizes: Sizes) -> str:
    """One entry in words: `liner protrusion: 1 −0.020, 2 −0.070; outside 0.030 to 0.080 mm, by up
    to 0.100 mm`."""
    head = group.limit.name
    if group.verdict is Verdict.NOT_MEASURED:
        names = ", ".join(filter(None, map(label, group.findings)))
        return f"{head} of {names}" if names else head
    text = f"{head}: {_items(group, words, sizes)}"
    first = group.first
    if first.bounds is None:
        return text
    if BY_NAME[group.limit.characteristic].dimension == "test":
        return text
    kind = _kind(first)
    bounds = allowed(first, words)
    if group.verdict is Verdict.OUT and _two_sided(first.bounds):
        text += f"; outside {'the ' + kind + ', ' if kind != 'limit' else ''}{bounds}"
    else:
        text += f"; {kind} {bounds}"
    if group.verdict is not Verdict.OUT or first.check.instance.inner:
        return text
    far = max(value for f in group.findings if (value := over(f)) is not None)
    up_to = len(group.findings) > 1 or blades(first.high) is not None  # type: ignore[arg-type]
    shown = minus(words.value(far, group.limit.characteristic))
    return f"{text}, by {'up to ' if up_to else ''}{shown}"


def _kind(finding: Finding) -> str:
    limit = finding.check.limit
    return "limit" if limit.new is None or limit.service is None else f"{finding.side} limit"


def _two_sided(bounds: Bounds) -> bool:
    return bounds.low is not None and bounds.high is not None and -bounds.low != bounds.high


def _items(group: Grouped, words: Words, sizes: Sizes) -> str:
    """`2 100.246 (top, thrust), 3 100.221 (top, thrust)`; alike figures share one."""
    pairs = [(label(finding), figure(finding, words, sizes)) for finding in group.findings]
    parts = []
    for text, run in groupby(pairs, key=lambda pair: pair[1]):
        names = [name for name, _ in run if name]
        if len(names) > 1:
            parts.append(f"{', '.join(names)} each {text}")
        else:
            parts.append(f"{names[0]} {text}" if names else text)
    return "; ".join(parts) if any(" each " in part for part in parts) else ", ".join(parts)


def what_to_do(group: Grouped, sizes: Sizes) -> str:
    """What would settle it: the finding's own words, or for several what all of them lack."""
    settle = list(dict.fromkeys(finding.settle for finding in group.findings if finding.settle))
    if len(settle) <= 1:
        return settle[0] if settle else ""
    if group.verdict is not Verdict.NOT_MEASURED:
        return settle[0]
    lacking = dict.fromkeys(
        key.characteristic
        for finding in group.findings
        for _, key in finding.check.instance.terms
        if key not in sizes
    )
    return f"Needs the {', the '.join(lacking)}." if lacking else settle[0]

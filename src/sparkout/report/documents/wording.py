"""Groups of findings in plain words: which parts, what is wrong, found, allowed, how far off."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from sparkout.judge.finding import Finding
from sparkout.judge.words import Words
from sparkout.report.documents.plain import PLAIN, Plain
from sparkout.report.grouping import Grouped, Sizes, figure, label, minus, over

__all__ = [
    "at_fault",
    "below",
    "found",
    "named",
    "parts",
    "plain_of",
    "sentence",
    "series",
    "spread",
    "wrong",
]

_FEW = 3
_GLANCE = 6
_REST = re.compile(r" (?:of|in|on|under|behind|that) ")


def plain_of(group: Grouped) -> Plain:
    return PLAIN[group.limit.characteristic]


def series(names: Iterable[str]) -> str:
    """`1, 2 and 4`; three in a row or more are `1 to 4`; many valves by kind: `E1 to E8`."""
    some: list[str] = []
    for run in _runs(_by_kind(list(names))):
        some += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else run
    return " and ".join([", ".join(some[:-1]), some[-1]] if len(some) > 1 else some)


_NUMBERED = re.compile(r"([A-Za-z]?)(\d+)")


def _by_kind(names: list[str]) -> list[str]:
    """More valves than fit a glance: exhaust and intake apart, each in order."""
    found = [_NUMBERED.fullmatch(name) for name in names]
    if len(names) <= _GLANCE or not all(found):
        return names
    return sorted(names, key=lambda name: (name.rstrip("0123456789"), int(_number(name))))


def _number(name: str) -> str:
    return "".join(filter(str.isdigit, name))


def _runs(names: list[str]) -> list[list[str]]:
    runs: list[list[str]] = []
    for name in names:
        known = _NUMBERED.fullmatch(name)
        last = _NUMBERED.fullmatch(runs[-1][-1]) if runs else None
        follows = (
            known is not None
            and last is not None
            and known[1] == last[1]
            and int(known[2]) == int(last[2]) + 1
        )
        if follows:
            runs[-1].append(name)
        else:
            runs.append([name])
    return runs


def parts(group: Grouped) -> str:
    """`Cylinders 2 and 3`."""
    return named(plain_of(group).part, [label(finding) for finding in group.findings])


def named(part: str, labels: Iterable[str]) -> str:
    names = [name for name in labels if name]
    head = part
    if len(names) > 1 and not _head(part).endswith("s"):
        head = f"{_head(part)}s{part[len(_head(part)) :]}"
    return sentence(f"{head} {series(names)}" if names else head, end="")


def _head(part: str) -> str:
    cut = _REST.search(part)
    return part if cut is None else part[: cut.start()]


def sentence(text: str, end: str = ".") -> str:
    """The text with a capital at its start and one stop at its end."""
    text = text.strip()
    if not text:
        return ""
    return f"{text[0].upper()}{text[1:].rstrip('.')}{end}"


def below(finding: Finding) -> bool:
    """Whether the value is on the low side of what is allowed."""
    bounds, low = finding.bounds, finding.low
    return (
        bounds is not None
        and low is not None
        and bounds.low is not None
        and low.value < bounds.low
        and -bounds.low != bounds.high
    )


def wrong(group: Grouped) -> str:
    """What is wrong and what comes of it: `worn too wide: oil is burned and power lost`."""
    words = plain_of(group)
    said = words.wrong(below=any(map(below, group.findings)))
    return f"{said}: {words.why}" if ":" not in said else said


def found(group: Grouped, words: Words, sizes: Sizes, *, short: bool = False) -> str:
    """What was read on each: `2: 100.246; 3: 100.221 mm`; alike figures share one, and one that
    is the same on all needs no names. short: many figures as their range."""
    by_figure: dict[str, list[str]] = {}
    for finding in group.findings:
        text = figure(finding, words, sizes, places=False)
        if text.startswith("failed ("):
            text = text.removeprefix("failed (").removesuffix(")")
        by_figure.setdefault(text, []).append(label(finding))
    if len(by_figure) == 1:
        text = next(iter(by_figure))
        return _with_unit(f"each {text}" if len(group.findings) > 1 else text, group, words)
    if short and len(by_figure) > _FEW:
        ends = [value for finding in group.findings for value in _deciding(finding)]
        return minus(words.span(min(ends), max(ends), group.limit.characteristic))
    some = []
    for text, labels in by_figure.items():
        names = ", ".join(name for name in labels if name)
        some.append(f"{names}: {text}" if names else text)
    return _with_unit("; ".join(some), group, words)


def _deciding(finding: Finding) -> list[Fraction]:
    """The ends that a limit is about."""
    bounds = finding.bounds
    ends = []
    if finding.low is not None and (bounds is None or bounds.low is not None):
        ends.append(finding.low.value)
    if finding.high is not None and (bounds is None or bounds.high is not None):
        ends.append(finding.high.value)
    return ends


def _with_unit(text: str, group: Grouped, words: Words) -> str:
    name = group.limit.characteristic
    unit = words.value(1, name).rpartition(" ")[2]
    plain = group.first.check.instance.inner or unit[:1].isdigit() or unit in ("failed", "passed")
    return text if plain else f"{text} {unit}"


def at_fault(group: Grouped) -> str:
    """What is wrong, without what comes of it: `worn too wide`."""
    return plain_of(group).wrong(below=any(map(below, group.findings))).partition(":")[0]


def spread(group: Grouped, words: Words) -> str:
    """How far beyond the limit the worst of them is; nothing where none is."""
    far = [value for finding in group.findings if (value := over(finding))]
    if not far or group.first.check.instance.inner:
        return ""
    name = group.limit.characteristic
    shown = words.value(max(far), name)
    return "" if shown in ("failed", "passed") else shown

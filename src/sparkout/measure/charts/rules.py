"""Run rules: patterns on a chart that chance alone seldom draws.

Each rule looks at a window of the last points and names the ones that count. Touching windows are
reported as one stretch, in a sentence a machinist can act on. More rules find trouble sooner and
cry wolf more often: the four zone rules of 1956 together give a false alarm every 92 points on
average where the limits alone give one in 370 (Champ and Woodall, Technometrics 29 (1987)).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from sparkout.measure.charts.chart import Line, Point

__all__ = [
    "ISO_RULES",
    "NELSON_RULES",
    "SPREAD_RULES",
    "WESTERN_ELECTRIC_RULES",
    "Rule",
    "Signal",
    "signals",
]

# What a rule finds in one window of points: the side it is on (+1 above, -1 below, 0 neither) and
# which points of the window count.
_Hit = tuple[int, tuple[int, ...]]
_Finder = Callable[[Sequence[Point]], _Hit | None]

_WESTERN = "Western Electric, Statistical Quality Control Handbook (1956)"
_NELSON = "Nelson, Journal of Quality Technology 16(4) (1984) 237-239"
_ISO = "ISO 7870-2:2013, clause on pattern tests (recalled from memory)"


@dataclass(frozen=True, slots=True)
class Rule:
    """A named pattern.

    says: what it looks for; window: how many points it looks at together; least: how many of them
    are enough to see it (two beyond 2 sigma at the very start need no third point).
    """

    name: str
    says: str
    source: str
    window: int
    least: int
    finder: _Finder


@dataclass(frozen=True, slots=True)
class Signal:
    """A rule that a stretch of points broke.

    points: the numbers of the points that count; first: the point at which it was first broken.
    """

    rule: Rule
    points: tuple[int, ...]
    first: int
    side: int
    text: str


def _beyond_limits(window: Sequence[Point]) -> _Hit | None:
    point = window[-1]
    if point.value > point.upper:
        return 1, (0,)
    return (-1, (0,)) if point.value < point.lower else None


def _beyond(need: int, zone: float) -> _Finder:
    """Of the window, `need` points beyond `zone` on one side, the newest among them."""

    def find(window: Sequence[Point]) -> _Hit | None:
        for side in (1, -1):
            out = [side * (p.value - p.centre) > zone * p.sd for p in window]
            if out[-1] and sum(out) >= need:
                return side, tuple(i for i, is_out in enumerate(out) if is_out)
        return None

    return find


def _one_side(window: Sequence[Point]) -> _Hit | None:
    for side in (1, -1):
        if all(side * (p.value - p.centre) > 0.0 for p in window):
            return side, tuple(range(len(window)))
    return None


def _trend(window: Sequence[Point]) -> _Hit | None:
    for side in (1, -1):
        if all(side * (b.value - a.value) > 0.0 for a, b in pairwise(window)):
            return side, tuple(range(len(window)))
    return None


def _alternating(window: Sequence[Point]) -> _Hit | None:
    steps = [b.value - a.value for a, b in pairwise(window)]
    if all(a * b < 0.0 for a, b in pairwise(steps)):
        return 0, tuple(range(len(window)))
    return None


def _hugging(window: Sequence[Point]) -> _Hit | None:
    if all(abs(p.value - p.centre) < p.sd for p in window):
        return 0, tuple(range(len(window)))
    return None


def _avoiding(window: Sequence[Point]) -> _Hit | None:
    if all(abs(p.value - p.centre) > p.sd for p in window):
        return 0, tuple(range(len(window)))
    return None


def _limits(source: str) -> Rule:
    return Rule("beyond limits", "a point beyond a limit", source, 1, 1, _beyond_limits)


def _zone_two(source: str) -> Rule:
    says = "two of three points beyond 2 sigma on one side"
    return Rule("two of three beyond 2 sigma", says, source, 3, 2, _beyond(2, 2.0))


def _zone_one(source: str) -> Rule:
    says = "four of five points beyond 1 sigma on one side"
    return Rule("four of five beyond 1 sigma", says, source, 5, 4, _beyond(4, 1.0))


def _side(count: int, word: str, source: str) -> Rule:
    says = f"{word} points in a row on one side of the centre line"
    return Rule(f"{word} on one side", says, source, count, count, _one_side)


def _steady(count: int, word: str, source: str) -> Rule:
    says = f"{word} points in a row, each above (or each below) the one before"
    return Rule(f"trend of {word}", says, source, count, count, _trend)


WESTERN_ELECTRIC_RULES = (
    _limits(_WESTERN),
    _zone_two(_WESTERN),
    _zone_one(_WESTERN),
    _side(8, "eight", _WESTERN),
)
"""The four zone rules of 1956."""

NELSON_RULES = (
    _limits(f"{_NELSON}, test 1"),
    _side(9, "nine", f"{_NELSON}, test 2"),
    _steady(6, "six", f"{_NELSON}, test 3"),
    Rule(
        "fourteen alternating",
        "fourteen points in a row, up and down by turns",
        f"{_NELSON}, test 4",
        14,
        14,
        _alternating,
    ),
    _zone_two(f"{_NELSON}, test 5"),
    _zone_one(f"{_NELSON}, test 6"),
    Rule(
        "fifteen within 1 sigma",
        "fifteen points in a row within 1 sigma of the centre line",
        f"{_NELSON}, test 7",
        15,
        15,
        _hugging,
    ),
    Rule(
        "eight outside 1 sigma",
        "eight points in a row, none within 1 sigma of the centre line",
        f"{_NELSON}, test 8",
        8,
        8,
        _avoiding,
    ),
)
"""Nelson's eight tests, for readings and means."""

ISO_RULES = (_limits(_ISO), _side(7, "seven", _ISO), _steady(7, "seven", _ISO))
"""The three countable rules of the ISO standard; its fourth is the eye of the reader."""

SPREAD_RULES = (_limits(f"{_NELSON}, test 1"),)
"""For ranges and standard deviations, whose zones are lopsided: the limits only."""

_MEANING = {
    "beyond limits": "Look for what was different there before making more.",
    "trend": "Something wears, warms up or fills: find it before it reaches the limit.",
    "fourteen alternating": "Two sources take turns: two machines, stones, gauges or people.",
    "fifteen within 1 sigma": "Too quiet: the base is too wide, readings are rounded or repeated.",
    "eight outside 1 sigma": "Two different processes are mixed in one chart.",
}
_SHIFTED = "The process has shifted: new stone, tool, gauge, setter or material."


def _list(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"Point {numbers[0]}"
    if numbers[-1] - numbers[0] == len(numbers) - 1 and len(numbers) > 2:
        return f"Points {numbers[0]} to {numbers[-1]}"
    return "Points " + ", ".join(map(str, numbers[:-1])) + f" and {numbers[-1]}"


def _sentence(rule: Rule, line: Line, numbers: Sequence[int], side: int) -> str:
    if rule.finder is _trend:
        where, meaning = (" (rising)" if side > 0 else " (falling)"), _MEANING["trend"]
    else:
        where = {1: " (above)", -1: " (below)", 0: ""}[side]
        meaning = _MEANING.get(rule.name, _SHIFTED)
    if line.what not in ("reading", "mean") and rule.name == "beyond limits":
        meaning = "The scatter itself changed: look at gauge, clamping and stock before the size."
    return f"{_list(numbers)} of the {line.what} chart: {rule.says}{where}. {meaning}"


def _stretches(rule: Rule, points: Sequence[Point]) -> list[tuple[int, int, list[int]]]:
    """Side, index of the first point that broke the rule, indices that count, per stretch."""
    found: list[tuple[int, int, list[int]]] = []
    for end in range(rule.least, len(points) + 1):
        start = max(0, end - rule.window)
        hit = rule.finder(points[start:end])
        if hit is None:
            continue
        side, inside = hit
        members = [start + i for i in inside]
        # Windows that share a point, or stand next to one another, are one stretch of trouble.
        if found and found[-1][0] == side and members[0] <= found[-1][2][-1] + 1:
            known = found[-1][2]
            known.extend(i for i in members if i > known[-1])
        else:
            found.append((side, end - 1, members))
    return found


def signals(line: Line, rules: Sequence[Rule] = NELSON_RULES) -> tuple[Signal, ...]:
    """Stretches of a chart's trace that broke a run rule.

    Strict comparisons throughout: a point on a limit is not beyond it, a point on the centre line
    is on neither side, two equal points end a trend.

    line: one trace of a chart, its points in the order made [-].
    rules: the rules to apply [-], one set or any choice of its members.
    Returns the broken rules, in the order they were first broken [-].
    Holds for points that follow one another in time; rules with zones need nearly normal points.
    Source: Western Electric 1956; Nelson 1984; ISO 7870-2, as each rule says.

    >>> from sparkout.measure.charts.base import individuals_base
    >>> from sparkout.measure.charts.chart import individuals_chart
    >>> base, _ = individuals_base([5.0, 5.1, 4.9, 5.0, 5.1])
    >>> chart, _ = individuals_chart(base, [5.0, 5.6])
    >>> signals(chart.location)[0].text[:50]
    'Point 2 of the reading chart: a point beyond a lim'
    """
    found = []
    for rule in rules:
        for side, first, members in _stretches(rule, line.points):
            numbers = tuple(line.points[i].number for i in members)
            text = _sentence(rule, line, numbers, side)
            found.append(Signal(rule, numbers, line.points[first].number, side, text))
    return tuple(sorted(found, key=lambda signal: (signal.first, signal.points)))

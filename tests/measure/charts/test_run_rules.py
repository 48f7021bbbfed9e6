"""Each run rule on both sides of its edge; expected points are counted by hand."""

from __future__ import annotations

import random

import pytest

from sparkout.measure.charts.chart import Line, Point
from sparkout.measure.charts.rules import (
    ISO_RULES,
    NELSON_RULES,
    SPREAD_RULES,
    WESTERN_ELECTRIC_RULES,
    Rule,
    Signal,
    signals,
)


def line(values: list[float], what: str = "reading") -> Line:
    """A trace with centre 0 and sigma 1."""
    return Line(what, tuple(Point(i, v, 0.0, -3.0, 3.0, 1.0) for i, v in enumerate(values, 1)))


def found(values: list[float], name: str, rules: tuple[Rule, ...] = NELSON_RULES) -> list[Signal]:
    return [s for s in signals(line(values), rules) if s.rule.name == name]


def test_beyond_limits_is_strict() -> None:
    assert found([0.0, 3.0, -3.0], "beyond limits") == []
    hits = found([0.0, 3.01, 0.0, -3.01], "beyond limits")
    assert [(s.points, s.side) for s in hits] == [((2,), 1), ((4,), -1)]


def test_neighbouring_points_beyond_are_one_stretch() -> None:
    hits = found([4.0, 4.0, 4.0, 0.0, 4.0], "beyond limits")
    assert [(s.points, s.first) for s in hits] == [((1, 2, 3), 1), ((5,), 5)]


def test_runs_on_one_side() -> None:
    run = [0.1, 0.2] * 4
    assert found(run, "nine on one side") == []
    hits = found([-0.1, *run, 0.1, 0.3, -0.1], "nine on one side")
    assert [(s.points, s.first) for s in hits] == [(tuple(range(2, 12)), 10)]
    assert found([*run, 0.0, 0.1], "nine on one side") == []  # on the line is neither side
    assert found(run, "eight on one side", WESTERN_ELECTRIC_RULES)[0].first == 8
    assert found(run[:7], "seven on one side", ISO_RULES)[0].first == 7


def test_trend_needs_six_strict_steps_up() -> None:
    assert found([0.0, 0.1, 0.2, 0.3, 0.4], "trend of six") == []
    assert found([0.0, 0.1, 0.2, 0.2, 0.3, 0.4], "trend of six") == []
    up = found([0.0, 0.1, 0.2, 0.3, 0.4, 0.5], "trend of six")
    assert [(s.points, s.side) for s in up] == [((1, 2, 3, 4, 5, 6), 1)]
    assert "rising" in up[0].text
    assert found([0.5, 0.4, 0.3, 0.2, 0.1, 0.0], "trend of six")[0].side == -1
    assert found([0.1 * i for i in range(7)], "trend of seven", ISO_RULES)[0].first == 7


def test_alternation_needs_fourteen() -> None:
    teeth = [0.5, -0.5] * 7
    assert found(teeth[:13], "fourteen alternating") == []
    assert found(teeth, "fourteen alternating")[0].points == tuple(range(1, 15))
    flat = [*teeth[:6], -0.5, *teeth[6:]]
    assert found(flat, "fourteen alternating") == []


def test_two_of_three_on_one_side() -> None:
    assert found([2.1, 0.0, -2.1], "two of three beyond 2 sigma") == []
    assert found([2.1, 0.0, 0.0, 2.1], "two of three beyond 2 sigma") == []
    assert found([2.0, 0.0, 2.1], "two of three beyond 2 sigma") == []
    hits = found([0.0, 2.1, 0.0, 2.1], "two of three beyond 2 sigma")
    assert [(s.points, s.first) for s in hits] == [((2, 4), 4)]
    assert found([-2.5, -2.5], "two of three beyond 2 sigma")[0].first == 2


def test_four_of_five_on_one_side() -> None:
    assert found([1.1, 1.1, 0.0, 1.1, 0.9], "four of five beyond 1 sigma") == []
    hits = found([1.1, 1.1, 0.0, 1.1, 1.1], "four of five beyond 1 sigma")
    assert [(s.points, s.first) for s in hits] == [((1, 2, 4, 5), 5)]


def test_hugging_and_avoiding_the_centre() -> None:
    quiet = [0.2, -0.9, 0.5, -0.3, 0.0] * 3
    assert found(quiet[:14], "fifteen within 1 sigma") == []
    assert found(quiet, "fifteen within 1 sigma")[0].points == tuple(range(1, 16))
    assert found([*quiet[:14], 1.0], "fifteen within 1 sigma") == []
    wild = [1.5, -1.2, -1.4, 1.1, 2.2, -1.9, 1.3, -1.6]
    assert found(wild[:7], "eight outside 1 sigma") == []
    assert found(wild, "eight outside 1 sigma")[0].points == tuple(range(1, 9))


def test_sentences_say_what_and_what_to_do() -> None:
    assert signals(line([0.0, 4.0]))[0].text == (
        "Point 2 of the reading chart: a point beyond a limit (above). "
        "Look for what was different there before making more."
    )
    assert signals(line([0.0, 4.0], "range"), SPREAD_RULES)[0].text == (
        "Point 2 of the range chart: a point beyond a limit (above). "
        "The scatter itself changed: look at gauge, clamping and stock before the size."
    )
    text = found([2.1, 0.0, 2.1], "two of three beyond 2 sigma")[0].text
    assert text.startswith("Points 1 and 3 of the reading chart: two of three")


def test_every_rule_names_a_source_and_sets_are_complete() -> None:
    assert len(NELSON_RULES) == 8
    assert len(WESTERN_ELECTRIC_RULES) == 4
    assert len(ISO_RULES) == 3
    for rule in (*NELSON_RULES, *WESTERN_ELECTRIC_RULES, *ISO_RULES, *SPREAD_RULES):
        assert any(year in rule.source for year in ("1956", "1984", "2013"))
        assert rule.least <= rule.window


@pytest.mark.parametrize("rules", [NELSON_RULES, WESTERN_ELECTRIC_RULES, ISO_RULES])
def test_a_chart_turned_over_gives_the_same_signals(rules: tuple[Rule, ...]) -> None:
    draw = random.Random(3)
    for _ in range(60):
        values = [draw.gauss(0.3, 1.2) for _ in range(30)]
        up = signals(line(values), rules)
        down = signals(line([-v for v in values]), rules)
        assert {(s.rule.name, s.points, s.side) for s in up} == {
            (s.rule.name, s.points, -s.side) for s in down
        }

"""The geometry of the order of work."""

from __future__ import annotations

import itertools
import random

import pytest

from sparkout.drawings.order_layout import direct, rows_of, sequence, wires


def test_sequence_keeps_the_given_order_where_nothing_forbids_it() -> None:
    assert sequence(["c", "a", "b"], [("b", "c")]) == ("a", "b", "c")


@pytest.mark.parametrize(
    ("names", "pairs", "words"),
    [
        (["a", "b", "a"], [], "named twice: a"),
        (["a"], [("a", "x")], "not there: 'x'"),
        (["a", "b", "c"], [("a", "b"), ("b", "a")], "in a circle: a, b"),
    ],
)
def test_an_order_that_cannot_be_is_refused(
    names: list[str], pairs: list[tuple[str, str]], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        sequence(names, pairs)


def test_implied_arrows_are_left_out() -> None:
    # a before b before c: the arrow from a to c says nothing new.
    assert direct("abc", [("a", "b"), ("b", "c"), ("a", "c")]) == (("a", "b"), ("b", "c"))


@pytest.mark.parametrize("seed", range(20))
def test_leaving_arrows_out_keeps_the_same_order(seed: int) -> None:
    rng = random.Random(seed)
    names = [f"n{k}" for k in range(14)]
    pairs = [p for p in itertools.combinations(names, 2) if rng.random() < 0.25]
    order = sequence(names, pairs)

    def implied(arrows: tuple[tuple[str, str], ...]) -> set[tuple[str, str]]:
        reach = set(arrows)
        while True:
            more = {(a, d) for a, b in reach for c, d in reach if b == c} - reach
            if not more:
                return reach
            reach |= more

    kept = direct(order, pairs)
    assert implied(kept) == implied(tuple(pairs))
    for left_out in kept:
        assert implied(tuple(p for p in kept if p != left_out)) != implied(kept)
    lanes = {name: k % 3 for k, name in enumerate(names)}
    rows = rows_of(order, kept, lanes)
    assert all(rows[a] < rows[b] for a, b in pairs)
    assert len({(lanes[n], rows[n]) for n in names}) == len(names)


def test_wires_start_under_one_box_and_end_on_top_of_the_other() -> None:
    rows = {"a": 0, "b": 1, "c": 3}
    middle = {"a": 100.0, "b": 300.0, "c": 100.0}
    gutter = {name: (x - 90, x - 60) for name, x in middle.items()}
    made = wires([("a", "b"), ("a", "c")], rows, middle, gutter, [0, 90, 180, 270], 56, 34)
    near, far = made
    assert near.points[0] == (100, 56)
    assert near.points[-1] == (300, 90)
    assert far.points[0] == (100, 56)
    assert far.points[-1] == (100, 270)
    # The long way runs in the free space beside the column, not through row 1 and 2.
    upright = [
        x1
        for (x1, y1), (x2, y2) in itertools.pairwise(far.points)
        if x1 == x2 and abs(y2 - y1) > 60
    ]
    assert upright
    assert all(10 <= x <= 40 for x in upright)
    for wire in made:
        for (x1, y1), (x2, y2) in itertools.pairwise(wire.points):
            assert x1 == x2 or y1 == y2

"""The three patterns of tightening against what they promise, for any map of 1 to 60 fasteners."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise
from statistics import median

import pytest
from assembly_makers import place
from hypothesis import given
from hypothesis import strategies as st

from sparkout.assembly.tightening import GRAIN, RING, rings, tightening_order
from sparkout.sheet.assembly_model import FastenerPlace, Pattern

POINTS = st.lists(
    st.tuples(st.integers(-400, 400), st.integers(-400, 400)), min_size=1, max_size=60, unique=True
)
WORKED_OUT = st.sampled_from([Pattern.RINGS, Pattern.ROWS, Pattern.CROSS])


def on_map(points: list[tuple[int, int]]) -> list[FastenerPlace]:
    return [place(f"f{k}", x, y) for k, (x, y) in enumerate(points)]


def about_centre(places: list[FastenerPlace]) -> dict[str, tuple[float, float]]:
    cx = sum(p.x for p in places) / len(places)
    cy = sum(p.y for p in places) / len(places)
    return {p.name: (float(p.x - cx), float(p.y - cy)) for p in places}


def spacing(at: dict[str, tuple[float, float]]) -> float:
    if len(at) < 2:
        return 0.0
    return median(min(math.dist(a, b) for n, b in at.items() if n != m) for m, a in at.items())


@given(POINTS, WORKED_OUT)
def test_every_fastener_has_one_turn(points: list[tuple[int, int]], pattern: Pattern) -> None:
    places = on_map(points)
    order = tightening_order(places, pattern)
    assert sorted(order) == sorted(p.name for p in places)


@given(POINTS, WORKED_OUT, st.integers(-50, 50), st.integers(-50, 50))
def test_the_order_does_not_depend_on_where_the_map_begins(
    points: list[tuple[int, int]], pattern: Pattern, dx: int, dy: int
) -> None:
    moved = [(x + dx, y + dy) for x, y in points]
    assert tightening_order(on_map(points), pattern) == tightening_order(on_map(moved), pattern)


@given(POINTS)
def test_rings_go_outward(points: list[tuple[int, int]]) -> None:
    """No fastener of a ring is nearer to the centroid than any of the ring before."""
    places = on_map(points)
    at = about_centre(places)
    far = {name: math.hypot(*xy) for name, xy in at.items()}
    order = tightening_order(places, Pattern.RINGS)
    groups = rings(places)
    ends = [0]
    for ring in groups:
        ends.append(ends[-1] + len(ring))
    for (a, b), ring in zip(pairwise(ends), groups, strict=True):
        assert set(order[a:b]) == set(ring)
        nearest = min(far[name] for name in ring)
        assert max(far[name] for name in ring) <= nearest + RING * spacing(at) + 1e-9
    for inner, outer in pairwise(groups):
        assert max(far[n] for n in inner) <= min(far[n] for n in outer)


@given(POINTS)
def test_the_load_stays_near_the_centre(points: list[tuple[int, int]]) -> None:
    """The bound of the docstring: within a ring the sum of what is tight is off the sum at the
    ring's end by at most √(d² + j r²), d its distance at the ring's start, r the ring's radius, j
    how many of the ring are tight; and 2 % of the spacing for each, which counts as equal."""
    places = on_map(points)
    at = about_centre(places)
    grain = GRAIN * spacing(at)
    order = iter(tightening_order(places, Pattern.RINGS))
    x = y = 0.0
    for ring in rings(places):
        end_x, end_y = x + sum(at[n][0] for n in ring), y + sum(at[n][1] for n in ring)
        start = math.hypot(x - end_x, y - end_y)
        radius = max(math.hypot(*at[n]) for n in ring)
        for j in range(1, len(ring) + 1):
            name = next(order)
            x, y = x + at[name][0], y + at[name][1]
            off = math.hypot(x - end_x, y - end_y)
            assert off <= math.sqrt(start**2 + j * radius**2) + j * grain + 1e-6


@given(
    st.lists(st.tuples(st.integers(0, 300), st.integers(0, 300)), min_size=1, max_size=30,
             unique=True)
)  # fmt: skip
def test_opposite_ones_follow_each_other(half: list[tuple[int, int]]) -> None:
    """On a map that looks the same turned half round, every second one lies opposite the one
    before, so that after each pair the load is centred."""
    points = [p for p in half if p != (0, 0)]
    both = sorted({*points, *((-x, -y) for x, y in points)})
    if not both:
        return
    places = on_map(both)
    at = about_centre(places)
    order = tightening_order(places, Pattern.RINGS)
    for pair in range(0, len(order), 2):
        one, other = at[order[pair]], at[order[pair + 1]]
        assert math.hypot(one[0] + other[0], one[1] + other[1]) <= GRAIN * spacing(at) + 1e-9


@given(POINTS)
def test_rows_go_outward_and_are_finished_one_by_one(points: list[tuple[int, int]]) -> None:
    places = on_map(points)
    at = about_centre(places)
    width = RING * spacing(at)
    rows: list[list[str]] = []
    for name in sorted(at, key=lambda n: at[n][0]):
        if rows and at[name][0] <= at[rows[-1][0]][0] + width:
            rows[-1].append(name)
        else:
            rows.append([name])
    where = {name: k for k, row in enumerate(rows) for name in row}
    middle = [sum(at[n][0] for n in row) / len(row) for row in rows]
    centre = sum(middle) / len(middle)
    visits = [where[name] for name in tightening_order(places, Pattern.ROWS)]
    seen = list(dict.fromkeys(visits))
    assert len([k for k, g in enumerate(visits) if k == 0 or g != visits[k - 1]]) == len(rows)
    for one, other in pairwise(seen):
        assert abs(middle[one] - centre) <= abs(middle[other] - centre) + GRAIN * spacing(at) + 1e-9


@given(st.integers(1, 30))
def test_a_row_of_caps_alternates_sides(caps: int) -> None:
    """Caps at even distances: after the middle one (or two) the side changes with every cap but at
    most one, as each distance occurs once on either side."""
    places = [
        place(f"{side}{k}", 100 * k, y) for k in range(caps) for side, y in (("l", 0), ("r", 80))
    ]
    order = tightening_order(places, Pattern.ROWS)
    visited = [int(name[1:]) for name in order[::2]]
    assert [int(name[1:]) for name in order[1::2]] == visited  # a cap is finished before the next
    centre = (caps - 1) / 2
    out = [abs(k - centre) for k in visited]
    assert out == sorted(out)
    sides = [math.copysign(1, k - centre) for k in visited if k != centre]
    assert all(a != b for a, b in pairwise(sides))


@given(st.lists(st.integers(0, 359), min_size=1, max_size=60, unique=True))
def test_cross_goes_to_the_most_nearly_opposite(angles: list[int]) -> None:
    """Even numbers: every second one is the most nearly opposite, of those left, of the one before
    (within half a degree). Odd numbers: every one is."""
    rim = [(1000 * math.sin(math.radians(a)), 1000 * math.cos(math.radians(a))) for a in angles]
    places = [place(f"f{k}", round(x, 3), round(y, 3)) for k, (x, y) in enumerate(rim)]
    at = about_centre(places)
    hub = RING * spacing(at)
    order = list(tightening_order(places, Pattern.CROSS))
    middle = [n for n in order if math.hypot(*at[n]) < hub] if len(order) > 1 else order
    assert order[: len(middle)] == middle  # anything at the centre comes first
    rest = order[len(middle) :]

    def apart(a: str, b: str) -> float:
        turn = abs(math.atan2(at[a][1], at[a][0]) - math.atan2(at[b][1], at[b][0]))
        return min(turn, 2 * math.pi - turn)

    for k in range(1, len(rest)):
        if len(rest) % 2 or k % 2:
            farthest = max(apart(rest[k - 1], other) for other in rest[k:])
            assert apart(rest[k - 1], rest[k]) >= farthest - math.radians(0.5) - 1e-9


@pytest.mark.parametrize("pattern", [Pattern.RINGS, Pattern.ROWS, Pattern.CROSS])
def test_one_two_and_a_line(pattern: Pattern) -> None:
    assert tightening_order([place("a", 3, 4)], pattern) == ("a",)
    assert tightening_order([place("a", 0, 0), place("b", 50, 0)], pattern) == ("a", "b")
    line = [place(str(k), 40 * k, 30 * k) for k in range(5)]
    order = tightening_order(line, pattern)
    assert order[0] == "2"  # the middle one
    assert [abs(int(name) - 2) for name in order] == [0, 1, 1, 2, 2]


@pytest.mark.parametrize("pattern", list(Pattern))
def test_coincident_fasteners_are_refused(pattern: Pattern) -> None:
    twice = [place("a", 10, 10), place("b", 50, 10), place("c", 10, 10)]
    with pytest.raises(ValueError, match="fasteners 'a' and 'c' share a place"):
        tightening_order(twice, pattern, ("a", "b", "c"))
    with pytest.raises(ValueError, match="fasteners 'a' and 'a' share a name"):
        tightening_order([place("a", 0, 0), place("a", 1, 0)], pattern)
    with pytest.raises(ValueError, match="without fasteners"):
        tightening_order([], pattern)


def test_a_given_order_is_kept_and_held_to_the_map() -> None:
    two = [place("a", 0, 0), place("b", 50, 0)]
    assert tightening_order(two, Pattern.GIVEN, ("b", "a")) == ("b", "a")
    with pytest.raises(ValueError, match="'c'"):
        tightening_order(two, Pattern.GIVEN, ("b", "c"))
    with pytest.raises(ValueError, match="'a'"):
        tightening_order(two, Pattern.GIVEN, ("b",))
    with pytest.raises(ValueError, match="'b'"):
        tightening_order(two, Pattern.GIVEN, ("a", "b", "b"))


def test_castings_need_not_be_symmetric_to_the_millimetre() -> None:
    """A head whose holes are off by a millimetre or two keeps the order of the true one."""
    true = [place(f"{r}{c}", 115 * c, 140 * i) for i, r in enumerate("AB") for c in range(1, 6)]
    shifts = (0.8, -1.1, 0.3, 1.4, -0.6, -1.3, 0.9, 0.2, -0.4, 1.2)
    cast = [
        FastenerPlace(p.name, p.x + Fraction(str(d)), p.y - Fraction(str(d)))
        for p, d in zip(true, shifts, strict=True)
    ]
    true_order = tightening_order(true, Pattern.RINGS)
    assert true_order[:2] == ("A3", "B3")
    assert {frozenset(pair) for pair in zip(true_order[2::2], true_order[3::2], strict=True)} == {
        frozenset(pair) for pair in (("A2", "B4"), ("B2", "A4"), ("B1", "A5"), ("A1", "B5"))
    }
    assert [frozenset(ring) for ring in rings(cast)] == [frozenset(ring) for ring in rings(true)]


def test_after_an_unpaired_row_the_other_side_has_its_turn() -> None:
    """Rows at −300, −150, 50, 100 and 300 about their middle: outward 50, 100, −150, and then of
    the two at 300 the one across from the last."""
    rows = [place(str(x), x, 0) for x in (-300, -150, 50, 100, 300)]
    assert tightening_order(rows, Pattern.ROWS) == ("50", "100", "-150", "300", "-300")

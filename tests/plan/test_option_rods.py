"""Options of rods and of sets by weight; figures made up, arithmetic beside them."""

from __future__ import annotations

from fractions import Fraction as F

from small_engine import SmallEngine

from sparkout.engine.dimension import Key


def bent(count: int = 2, *, bend: tuple[str, ...] = ("0.09", "0.01")) -> SmallEngine:
    m = SmallEngine(cylinders=count, mains=count + 1)
    m.limit("rod bend", "at most 0.02", "at most 0.03")
    m.limit("rod length", "204.97 to 205.03")
    for number in range(1, count + 1):
        m.read(f"rod {number}", "rod bend", bend[number - 1])
        m.read(f"rod {number}", "rod length", "205.00")
    return m


def test_one_rod_is_replaced_where_they_are_sold_singly():
    m = bent().part("rod", "rod", 90)
    assert m.picks == {"rod 1 exchange": "rod"}
    assert m.plan.cost == 90_00


def test_all_rods_are_replaced_where_they_come_as_a_set():
    m = bent().part("set of rods", "rod", 150, sold_in=2)
    assert m.picks == {"rods exchange": "set of rods"}
    assert m.plan.cost == 150_00


def test_a_rod_is_straightened_where_that_is_cheaper():
    m = bent().part("rod", "rod", 90)
    m.work("straighten rod", "0.5", {"rod bend": "at most 0.01"}).work("crack-test rod", "0.2")
    assert m.picks == {"rod 1 straightness": "straighten"}
    assert m.ordered() == ["straighten rod", "crack-test rod"]


def test_a_cracked_rod_is_replaced_whatever_straightening_costs():
    m = bent().limit("rod crack test", "passed").part("rod", "rod", 90)
    m.work("straighten rod", "0.1", {"rod bend": "at most 0.01"}).work("crack-test rod", "0.1")
    m.failed("rod 1", "rod crack test")
    assert m.picks == {"rod 1 exchange": "rod"}


def test_rods_nobody_sells_are_not_offered():
    m = bent()
    assert not [name for name in m.groups if "exchange" in name]
    assert [found.check.name for found in m.outcome.left_out] == ["rod 1: rod bend"]


def weighed(*weights: str) -> SmallEngine:
    m = SmallEngine(cylinders=2, mains=3).limit("rod weight spread", "at most 6")
    for number, weight in enumerate(weights, start=1):
        m.read(f"rod {number}", "rod weight", weight)
    return m


def test_rods_that_differ_are_matched_to_the_lightest():
    """1210 and 1198 g differ by 12; both brought to 1198."""
    m = weighed("1210", "1198").work("match rod weights", "0.4", {"rod weight": "± 1"})
    assert m.picks == {"rod weights": "match"}
    assert m.plan.sizes[Key("rod 1", "rod weight")].low.value == F(1198)
    assert m.ordered() == ["match rod weights"]


def test_rods_alike_are_left_and_an_unweighed_one_cannot_be_matched():
    m = weighed("1200", "1198").work("match rod weights", "0.4", {"rod weight": "± 1"})
    assert m.picks == {}
    assert "rod weights" not in weighed("1210").work("match rod weights", "0.4").groups
    assert "rod weights" not in weighed("1210", "1198").groups


def test_a_new_rod_lighter_than_the_others_sets_the_weight():
    m = bent().limit("rod weight spread", "at most 6")
    m.part("rod", "rod", 90, sizes={"rod weight": "1190 to 1190"})
    m.work("match rod weights", "0.4", {"rod weight": "± 1"})
    m.read("rod 1", "rod weight", "1200").read("rod 2", "rod weight", "1200")
    assert m.picks == {"rod 1 exchange": "rod", "rod weights": "match"}
    assert m.plan.sizes[Key("rod 2", "rod weight")].low.value == F(1190)

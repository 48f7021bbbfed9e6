"""From engine and findings to the records that are drawn: nothing is moved or made up."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from job_samples import copied, job_in, shipped, source_in, worked_on

from sparkout.drawings.palette import Verdict as Shown
from sparkout.engine.dimension import Key
from sparkout.judge.finding import Verdict
from sparkout.plan.decide import Plan
from sparkout.plan.order import order_of_work
from sparkout.plan.precedence import PRECEDENCE
from sparkout.price.quote import quote
from sparkout.report.documents.offers import Offer
from sparkout.report.pictures.bore_set import BoreSet, SmallBore, bore_set
from sparkout.report.pictures.bores import bores_of, draw_bores
from sparkout.report.pictures.crank import crank_of, draw_crank, throws
from sparkout.report.pictures.engine import engine_of
from sparkout.report.pictures.limits import bars_of, draw_worst
from sparkout.report.pictures.price import offers_of
from sparkout.report.pictures.sections import liner_of
from sparkout.report.pictures.verdicts import worst
from sparkout.report.pictures.work import draw_order, order_graph

ENGINES = ("workboat_four", "road_eight", "farm_single")


def plan_of(name: str) -> Plan:
    plan = shipped(name).plan
    assert isinstance(plan, Plan)
    return plan


@pytest.mark.parametrize("name", ENGINES)
def test_every_bore_reading_stands_at_its_place(name: str) -> None:
    job = shipped(name).job
    made = bores_of(job, job.findings, "found")
    assert made is not None
    step = Fraction(254, 10_000) if job.shop.units == "inch" else Fraction(1, 1000)
    nominal = job.sheet.geometry["bore"]
    seen = 0
    for bore in made.bores:
        key = Key(bore.name.lower(), "bore diameter")
        for spot in (s for s in job.located.spots if s.key == key and s.phase == "found"):
            row, column = bore.levels.index(spot.level), bore.directions.index(spot.direction)
            value = bore.deviations[row][column]
            assert value == pytest.approx(float((spot.estimate.value - nominal) / step))
            seen += 1
    known = [v for b in made.bores for row in b.deviations for v in row if v is not None]
    assert seen == len(known) > 0
    assert len(made.bores) == len(job.frame.cylinders)


def test_bores_come_bank_by_bank_and_carry_their_limit() -> None:
    job = shipped("road_eight").job
    made = bores_of(job, job.findings, "found")
    assert made is not None
    assert [bore.name for bore in made.bores] == [f"Bore {n}" for n in (1, 3, 5, 7, 2, 4, 6, 8)]
    # at most 4.0080 in over a bore of 4.0000 in: 8 thou
    assert made.high == pytest.approx(8.0)
    assert made.low is None
    assert made.unit == "thou"


def test_a_place_read_twice_shows_the_larger() -> None:
    job = shipped("farm_single").job
    first = next(s for s in job.located.spots if s.key == Key("bore 1", "bore diameter"))
    more = replace(first, estimate=first.estimate.shifted(Fraction(1, 100)))
    located = replace(job.located, spots=(*job.located.spots, more))
    made = bores_of(replace(job, located=located), job.findings, "found")
    assert made is not None
    # 72.062 read first, 72.072 then, over 72.000
    assert made.bores[0].deviations[0][0] == pytest.approx(72.0)


def test_no_bore_read_draws_none(tmp_path: Path) -> None:
    job = job_in(copied(tmp_path, "farm_single", log=False))
    assert draw_bores(job, job.findings, "found") is None
    assert draw_crank(job, job.findings, job.state.found) is None


def test_as_left_shows_only_what_was_read_afterwards(tmp_path: Path) -> None:
    job = source_in(worked_on(tmp_path)).job
    made = bores_of(job, job.findings, "left", "mock-up")
    assert made is not None
    assert made.bores[0].levels == ("top", "bottom")
    # 72.501, 72.500 and 72.503 over 72.000; one place was not read
    assert made.bores[0].deviations == ((501.0, 500.0), (503.0, None))


def test_the_set_of_bores_frames_what_is_out_and_says_it_in_words() -> None:
    small = SmallBore("Bore 1", Shown.OUT, ("top",), ("thrust", "axial"), ((210.0, -3.0),), "x")
    svg = bore_set(BoreSet("Bores", (small,), "100.000 mm", high=200.0))
    assert svg.count('stroke-width="2.5"') == 1  # the frame round +210
    assert "+210" in svg
    assert "−3" in svg
    assert "Bore 1 OUT, from −3 to +210 µm." in svg
    assert "No bores recorded" in bore_set(BoreSet("Bores", (), ""))


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 8, 12, 16])
def test_the_set_of_bores_keeps_to_its_width(count: int) -> None:
    levels = ("top", "below the top-ring reversal point of the stroke")
    row = (1.0, None, 123456.0, -9.0)
    one = SmallBore("Bore 1", Shown.OK, levels, ("thrust", "axial", "+45", "-45"), (row, row))
    svg = bore_set(BoreSet("Bores", (one,) * count, "100.000 mm"))
    boxes = re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', svg)
    assert boxes
    assert max(float(x) + float(w) for x, w in boxes) <= 720


@pytest.mark.parametrize("name", ENGINES)
def test_the_engine_stands_as_the_data_sheet_numbers_it(name: str) -> None:
    job = shipped(name).job
    made = engine_of(job, job.findings, job.state.found)
    for bank in made.banks:
        own = next(b for b in job.frame.banks if b.name == bank.name)
        assert [spot.name for spot in bank.cylinders] == [str(n) for n in own.cylinders]
        for spot in bank.cylinders:
            size = job.state.found[Key(f"bore {spot.name}", "bore diameter")]
            assert job.words.value(size.high.value, "bore diameter").startswith(spot.figure)
    drawn = {s.name: s.verdict for bank in made.banks for s in bank.cylinders}
    for cylinder in job.frame.cylinders:
        own_verdicts = [
            f.verdict
            for f in job.findings
            if f.check.instance.feature == f"bore {cylinder}"
            and f.check.limit.characteristic.startswith("bore ")
        ]
        assert drawn[str(cylinder)] is worst(own_verdicts)


def test_the_right_bank_is_drawn_on_top_and_a_row_from_the_flywheel_is_turned() -> None:
    job = shipped("road_eight").job
    assert [b.name for b in engine_of(job, job.findings, {}).banks] == ["right", "left"]
    four = shipped("workboat_four").job
    turned = replace(four.sheet.identity, cylinder_one="at the flywheel end")
    made = engine_of(replace(four, sheet=replace(four.sheet, identity=turned)), (), {})
    assert [spot.name for spot in made.banks[0].cylinders] == ["4", "3", "2", "1"]


def test_throws_of_common_cranks() -> None:
    # Geometry: in even firing 1-3-4-2, pistons 1 and 4 rise together, 2 and 3 half a turn away.
    four = throws(shipped("workboat_four").job.frame)
    assert four[1] == four[4]
    assert four[2] == four[3]
    assert abs(four[1] - four[2]) == 180
    # A V8 crank with its pins in two planes: each of four quarters has one.
    assert sorted(throws(shipped("road_eight").job.frame).values()) == [0, 90, 180, 270]


@pytest.mark.parametrize("name", ["workboat_four", "road_eight"])
def test_journals_stand_in_their_order_with_their_least_size(name: str) -> None:
    job = shipped(name).job
    made = crank_of(job, job.findings, job.state.found)
    assert made is not None
    kinds = [journal.kind.value for journal in made.journals]
    assert kinds == ["main", "rod"] * (len(kinds) // 2) + ["main"]
    for journal in made.journals:
        feature = f"{journal.kind.value} journal {journal.spot.name}"
        size = job.state.found[Key(feature, f"{journal.kind.value} journal diameter")]
        decimals = 4 if job.shop.units == "inch" else 3
        scale = Fraction(254, 10) if job.shop.units == "inch" else 1
        assert journal.spot.figure == f"{float(size.low.value / scale):.{decimals}f}"


def test_a_ground_journal_carries_its_undersize() -> None:
    job, plan = shipped("workboat_four").job, plan_of("workboat_four")
    made = crank_of(job, plan.after, plan.sizes)
    assert made is not None
    notes = {j.spot.name: j.spot.note for j in made.journals if j.kind.value == "rod"}
    assert set(notes.values()) == {"−0.25"}
    assert all(j.spot.note == "" for j in made.journals if j.kind.value == "main")


def test_bars_show_limits_readings_and_moved_limits() -> None:
    job, plan = shipped("workboat_four").job, plan_of("workboat_four")
    bars = {bar.name: bar for bar in bars_of(job.findings, "mm", 0.95)}
    bore = bars["bore 2: bore diameter"]
    assert (bore.low, bore.high, bore.value) == (100.036, 100.246, 100.246)
    assert bore.service == (None, 100.2)
    assert bore.new == (100.0, 100.02)
    assert bore.verdict is Shown.OUT
    after = {bar.name: bar for bar in bars_of(plan.after, "mm", 0.95)}
    # ground 0.25 under: 64.98 to 65.00 less 0.25
    assert after["rod journal 3: rod journal diameter"].new == (64.73, 64.75)
    assert after["rod journal 3: rod journal diameter"].service[0] == pytest.approx(64.70)
    unread = bars["ledge 1: ledge cupping"]
    assert unread.value is None
    assert not any("crack test" in name for name in bars)


def test_the_worst_of_each_limit_is_drawn_for_the_customer() -> None:
    """Liner 2 stands 0.070 below, the deepest of four; bore 3, less worn than bore 2, is left."""
    made = draw_worst(shipped("workboat_four").job)
    assert made is not None
    assert "liner 2: liner protrusion: −0.070" in made
    assert "liner 1: liner protrusion:" not in made
    assert "bore 2: bore out-of-round" in made
    assert "bore 3: bore out-of-round" not in made
    assert made.count(" ±") == 2 * 8  # beside each bar, and in words for those who cannot see it


def test_inch_shops_see_inches() -> None:
    bars = {bar.name: bar for bar in bars_of(shipped("road_eight").job.findings, "inch", 0.95)}
    assert bars["bore 6: bore diameter"].value == pytest.approx(4.0048)
    assert bars["bore 6: bore diameter"].unit == "in"


def test_the_liner_with_the_least_room_is_drawn_and_its_sum_adds_up() -> None:
    job, plan = shipped("workboat_four").job, plan_of("workboat_four")
    made = liner_of(job, plan.after, plan.sizes, "as planned")
    assert made is not None
    assert made.flange is not None
    assert made.depth is not None
    assert made.protrusion == pytest.approx(made.flange + (made.shim or 0) - made.depth)
    rooms = {
        f.check.instance.feature: min(f.low.value - f.bounds.low, f.bounds.high - f.high.value)
        for f in plan.after
        if f.check.limit.name == "liner protrusion"
        and f.low is not None
        and f.high is not None
        and f.bounds is not None
        and f.bounds.low is not None
        and f.bounds.high is not None
    }
    assert made.name.lower().startswith(min(rooms, key=lambda name: rooms[name]))
    assert liner_of(shipped("farm_single").job, plan_of("farm_single").after, {}, "") is None


@pytest.mark.parametrize("name", ENGINES)
def test_the_order_graph_has_the_plan_s_steps_and_their_numbers(name: str) -> None:
    job, plan = shipped(name).job, plan_of(name)
    steps = order_of_work(plan.chosen, job.shop)
    operations, before = order_graph(job.frame, steps)
    assert {(op.key, op.number) for op in operations} == {
        (step.operation, step.number) for step in steps if step.operation
    }
    names = {op.key for op in operations}
    wanted = {(r.first, r.then) for r in PRECEDENCE if r.first in names and r.then in names}
    assert {(pair.before, pair.after) for pair in before} == wanted
    assert all(
        op.lane != "Other" or op.key in ("lap oil pump", "slot sprocket") for op in operations
    )
    svg = draw_order(job.frame, steps)
    assert svg is not None
    assert draw_order(job.frame, ()) is None


def test_done_work_frees_what_waits_for_it() -> None:
    job, plan = shipped("farm_single").job, plan_of("farm_single")
    steps = order_of_work(plan.chosen, job.shop)
    states = {op.key: op.state.value for op in order_graph(job.frame, steps)[0]}
    assert states["bore cylinder"] == "waiting"
    states = {op.key: op.state.value for op in order_graph(job.frame, steps, {"surface deck"})[0]}
    assert states["surface deck"] == "done"
    assert states["bore cylinder"] == "next"


def test_shares_of_an_offer_add_up_to_its_price() -> None:
    job, plan = shipped("workboat_four").job, plan_of("workboat_four")
    price = quote(plan.chosen, job.shop)
    table = offers_of((Offer("Least", plan, price), Offer("More", plan, price, ("calm",), True)))
    for offer in table.offers:
        assert sum(amount for _, amount in offer.parts) == pytest.approx(offer.total)
        assert offer.total == price.total / 100
    assert table.offers[1].buys == ("calm",)
    assert table.currency == "EUR"


def test_worst_of_verdicts() -> None:
    assert worst([]) is Shown.NOT_MEASURED
    assert worst([Verdict.WITHIN, Verdict.NOT_MEASURED]) is Shown.OK
    assert worst([Verdict.WITHIN, Verdict.NOT_PROVEN]) is Shown.CHECK
    assert worst([Verdict.NOT_PROVEN, Verdict.OUT]) is Shown.OUT
    assert worst([Verdict.NO_LIMIT]) is Shown.NOT_MEASURED

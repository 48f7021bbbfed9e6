"""Draws, processes, stopping: the same seed gives the same answer, however it is worked out."""

from __future__ import annotations

import numpy as np
import pytest
from forecast_case import small_case

from sparkout.forecast.case import Case
from sparkout.forecast.draws import BLOCK, Draws, prepared
from sparkout.forecast.forecast import forecast_of, picture
from sparkout.forecast.outcome import outcome_of
from sparkout.forecast.run import desk_of, outcomes, run, work_out
from sparkout.forecast.summary import quantile, summary


def opener() -> Case:
    return small_case()


def test_same_seed_same_answer_and_another_seed_another() -> None:
    one, two = (outcomes(desk_of(small_case(), 7), 0, 40) for _ in range(2))
    assert one == two
    assert outcomes(desk_of(small_case(), 8), 0, 40) != one


def test_one_process_and_two_give_the_same(capfd: pytest.CaptureFixture[str]) -> None:
    desk = desk_of(small_case(), 3)
    alone = run(opener, desk, BLOCK + 20, processes=1)
    together = run(opener, desk, BLOCK + 20, processes=2)
    assert alone == together
    assert len(alone) == BLOCK + 20


def test_fewer_draws_are_the_first_of_more() -> None:
    desk = desk_of(small_case(), 3)
    assert run(opener, desk, 60)[:25] == run(opener, desk, 25)


def test_any_part_of_the_draws_can_be_worked_out_apart() -> None:
    whole = work_out(opener, 3, 0, BLOCK + 10)
    assert work_out(opener, 3, BLOCK - 5, 10) == whole[BLOCK - 5 : BLOCK + 5]


def test_stopping_keeps_what_is_done() -> None:
    desk = desk_of(small_case(), 3)

    def stop(done: int, asked: int) -> None:
        if done >= BLOCK:
            raise KeyboardInterrupt

    kept = run(opener, desk, 3 * BLOCK, progress=stop)
    assert kept == run(opener, desk, BLOCK)
    assert forecast_of(desk, kept, 3 * BLOCK).summary.draws == BLOCK


def test_fully_measured_is_a_point_and_that_point_is_the_plan() -> None:
    case = small_case()
    plan = prepared(case)
    draws = Draws(plan, 5)
    spots, tests = draws.readings(draws.block(0), 3)
    read = Case(case.sheet, case.shop, case.frame, case.checks, spots, tests)
    desk = desk_of(read, 1)
    found = forecast_of(desk, run(lambda: read, desk, 200), 200)
    assert found.summary.draws == 1
    price = found.summary.price
    assert price is not None
    assert price.p10 == price.p50 == price.p90
    assert price.p50 == outcome_of(read, case.sheet, read.state(), 0).cost
    assert found.next == ()
    assert found.drawn == 0


def test_measured_readings_stay_as_they_were_read() -> None:
    case = small_case()
    draws = Draws(prepared(case), 5)
    spots, _ = draws.readings(draws.block(0), 0)
    mine = tuple(spot for spot in spots if spot.key.feature == "bore 2")
    half = Case(case.sheet, case.shop, case.frame, case.checks, mine)
    desk = desk_of(half, 9)
    assert all(row.key.feature != "bore 2" for row in desk.plan.rows)
    more, _ = desk.draws.readings(desk.draws.block(0), 11)
    state = half.state(more)
    size = state.size("bore 2", "bore diameter")
    assert size is not None
    assert size.high.value == max(spot.estimate.value for spot in mine)
    assert size.high.components == max(mine, key=lambda s: s.estimate.value).estimate.components


def test_quantile_of_nine_draws_is_the_ninth_in_ten() -> None:
    # of n = 9 values the k-th smallest is passed by one more with chance k / 10
    values = [float(k) for k in range(1, 10)]
    assert [quantile(values, p) for p in (0.1, 0.5, 0.9)] == [1.0, 5.0, 9.0]


def test_rules_of_thumb_are_marked() -> None:
    desk = desk_of(small_case(), 1)
    found = forecast_of(desk, outcomes(desk, 0, 60), 60)
    by_source = {origin.source: origin for origin in found.origins}
    assert "bore diameter" in by_source["invented"].characteristics
    assert "deck flatness" in by_source["common practice"].characteristics
    thumb = by_source["rule of thumb"]
    assert thumb.thumb
    # the piston has no prior at all, the crack test one without a source
    assert {"piston skirt diameter", "block crack test"} <= set(thumb.characteristics)
    drawing = picture(found)
    assert drawing is not None
    assert "rule of thumb" in drawing


def test_chances_and_costs_are_those_of_the_draws() -> None:
    desk = desk_of(small_case(), 1)
    some = outcomes(desk, 0, 100)
    found = summary(some)
    for item in found.items:
        mine = [c.cost for o in some for c in o.chosen if c.words == item.words]
        assert item.chance == len(mine) / found.planned
        assert item.cost == round(np.mean(mine))
    assert sum(share for _, _, share in found.bins) == pytest.approx(1.0)

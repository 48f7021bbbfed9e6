"""What a size is held against when a step is done: the limit that the plan is judged by."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from sparkout.cli.setups_data import set_up_data
from sparkout.cli.setups_text import set_ups_text
from sparkout.engine.dimension import Key
from sparkout.judge.words import Words
from sparkout.report.grouping import allowed

ENGINES = ("workboat_four", "road_eight", "farm_single")


def after_of(made, operation, feature, characteristic):
    key = Key(feature, characteristic)
    rows = {a for item in made if item.operation == operation for a in item.after if a.key == key}
    assert len(rows) == 1
    return rows.pop()


@pytest.mark.parametrize(
    ("engine", "operation", "key", "words"),
    [
        # 64.980 to 65.000 new, ground 0.25 under
        (
            "workboat_four",
            "grind rod journals",
            ("rod journal 1", "rod journal diameter"),
            "limit 64.730 to 64.750 mm",
        ),
        # faces that stay in service: the sheet's service limits
        ("workboat_four", "surface deck", ("deck", "deck height"), "limit at least 327.30 mm"),
        # bored again for the hone: nothing to hit yet
        (
            "farm_single",
            "bore cylinder",
            ("bore 1", "bore diameter"),
            "changed again in step 5, judged then",
        ),
        # honed to its piston: the clearance is the limit, no size of the standard piston
        ("farm_single", "hone cylinder", ("bore 1", "bore diameter"), ""),
        (
            "farm_single",
            "hone cylinder",
            ("bore 1", "piston clearance"),
            "limit 0.040 to 0.055 mm",
        ),
        ("road_eight", "hone cylinder", ("bore 3", "bore diameter"), ""),
        ("workboat_four", "cut seat", ("seat E3", "seat crack test"), "must pass"),
    ],
)
def test_limit_read_afterwards(made_of, engine, operation, key, words) -> None:
    assert after_of(made_of(engine), operation, *key).against == words


@pytest.mark.parametrize("engine", ENGINES)
def test_the_work_sheet_and_the_set_ups_name_one_limit(
    made_of, setup_plan, setup_job, engine
) -> None:
    plan, _ = setup_plan(engine)
    words = Words(setup_job(engine).shop.units)
    findings = {finding.key: finding for finding in plan.after}
    seen = 0
    for item in made_of(engine):
        for after in item.after:
            if after.again:
                assert after.again > item.step
                assert (after.low, after.high, after.limit, after.allowed) == (None,) * 3 + ("",)
                continue
            finding = findings.get(after.key)
            told = "no limit given" if finding is None else allowed(finding, words)
            assert (after.allowed or "no limit given").replace("-", "−") == told.replace("-", "−")
            seen += 1
    assert seen > 5


@pytest.mark.parametrize("engine", ENGINES)
def test_what_the_plan_counts_on_lies_within_the_limit_shown(made_of, engine) -> None:
    for item in made_of(engine):
        for after in item.after:
            if after.low is None or after.high is None or after.limit is None:
                continue
            low, high = after.limit.low, after.limit.high
            assert low is None or after.low >= low, after.key
            assert high is None or after.high <= high, after.key


def test_screen_and_data_say_the_limit_of_the_size_it_is_ground_to(made_of, setup_plan) -> None:
    made = made_of("workboat_four")
    _, steps = setup_plan("workboat_four")
    text = " ".join(" ".join(set_ups_text("", "mm", steps, made)).split())
    assert "rod journal 1, 2, 3, 4 (limit 64.730 to 64.750 mm)" in text
    assert "64.980" not in text
    rows = [row for item in made for row in set_up_data(item)["after"]]
    limits = {row["limit"] for row in rows if row["characteristic"] == "rod journal diameter"}
    assert limits == {"64.730 to 64.750 mm"}
    journal = after_of(made, "grind rod journals", "rod journal 1", "rod journal diameter")
    assert (journal.limit.low, journal.limit.high) == (F("64.730"), F("64.750"))


def test_end_play_is_held_to_the_limit_the_plan_is_judged_by(made_of) -> None:
    # 0.10 to 0.30 new, 0.40 in service; the washers are as sold, not measured
    made = next(m for m in made_of("workboat_four") if m.operation == "fit thrust washers")
    play = made.number("end play")
    assert (play.low, play.high) == (F("0.10"), F("0.40"))

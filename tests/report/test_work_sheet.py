"""The work sheet: every operation in its turn, with numbers to dial in and boxes to fill."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from job_samples import cautions, copied, shipped, source_in, worked_on

from sparkout.cautions import messages_for
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import How, Key
from sparkout.plan.decide import Plan, Stuck
from sparkout.plan.forms import SetTo
from sparkout.plan.order import order_of_work
from sparkout.report.documents.steps.boxes import changing_steps
from sparkout.report.documents.steps.numbers import numbers_of, short_names
from sparkout.report.documents.steps.parts import uses
from sparkout.report.documents.work import work_sheet
from sparkout.report.grouping import minus
from sparkout.setups.all_steps import set_ups
from sparkout.setups.number import Number
from sparkout.setups.record import SetUp
from sparkout.setups.words import Said

ENGINES = ("workboat_four", "road_eight", "farm_single")


def plan_of(name: str) -> Plan:
    plan = shipped(name).plan
    assert isinstance(plan, Plan)
    return plan


def sheet_of(name: str) -> dict[str, Any]:
    return dict(work_sheet(shipped(name), cautions()).data)


@pytest.mark.parametrize("name", ENGINES)
def test_operations_stand_in_the_order_of_work_with_their_reasons(name: str) -> None:
    steps = order_of_work(plan_of(name).chosen, shipped(name).job.shop)
    made = sheet_of(name)["steps"]
    assert [step["number"] for step in made] == [step.number for step in steps]
    for data, step in zip(made, steps, strict=True):
        assert len(data["after"]) == len(step.after)
        assert data["title"] in step.title
        assert data["away"] == (step.kind == "outside")
        own = messages_for(cautions(), [step.operation]) if step.operation else ()
        assert {m.hazard for m in own} <= {c["hazard"] for c in data["cautions"]}


@pytest.mark.parametrize("name", ENGINES)
def test_every_number_of_the_set_ups_is_there_with_sum_and_doubt(name: str) -> None:
    source, plan = shipped(name), plan_of(name)
    steps = order_of_work(plan.chosen, source.job.shop)
    said = Said(source.job.shop.units)
    made = {step["number"]: step for step in sheet_of(name)["steps"]}
    seen = 0
    for item in set_ups(source.job, plan, steps, None, cautions()):
        blocks = made[item.step]["blocks"]
        block = next(b for b in blocks if b["kind"] == item.kind)
        for number in item.numbers:
            value = minus(said.number(number))
            rows = [row for row in block["rows"] if row[2] == {"strong": value}]
            assert rows, (item.kind, number.label)
            behind = minus(said.sum(number))
            mine = [row for row in rows if row[4] == (f"= {behind}" if behind else "")]
            assert mine, number.label
            assert any(row[3] == minus(said.tolerance(number)) for row in mine)
            legend = " ".join(block["marks"])
            assert all(mark in legend for mark in number.marks)
            if number.marks:
                assert any(row[5].startswith("▲") for row in mine)
            seen += 1
        for missing in item.read_first:
            assert any(minus(missing) in text for text in block["read_first"])
    assert seen > 20


def test_alike_numbers_share_a_row_and_others_do_not() -> None:
    one = SetUp("k", "o", ("bore 1",), (Number("to", Fraction(5)), Number("off", Fraction(1))))
    two = replace(one, features=("bore 2",), numbers=(one.numbers[0], Number("off", Fraction(2))))
    (block,) = numbers_of([one, two], Said("mm"))
    assert [(row[0], row[1], row[2]["strong"]) for row in block["rows"]] == [
        ("to", "bores 1 and 2", "5.000 mm"),
        ("off", "bore 1", "1.000 mm"),
        ("", "bore 2", "2.000 mm"),
    ]
    assert [row[5] for row in block["rows"]] == ["", "", ""]


def test_marks_get_letters_that_are_explained() -> None:
    numbers = (
        Number("a", Fraction(1), marks=("assumed", "thumb")),
        Number("b", Fraction(2), marks=("thumb",)),
    )
    (block,) = numbers_of([SetUp("k", "o", ("bore 1",), numbers)], Said("mm"))
    assert [row[5] for row in block["rows"]] == ["▲ a b", "▲ b"]
    assert block["marks"] == ["a  assumed", "b  thumb"]


def test_a_number_outside_what_it_may_be_is_told() -> None:
    inside = Number("in", Fraction(1)).held(Fraction(0), Fraction(2), "limit")
    above = Number("out", Fraction(3)).held(Fraction(0), Fraction(2), "limit")
    (block,) = numbers_of([SetUp("k", "o", ("bore 1",), (inside, above))], Said("mm"))
    assert [row[6] for row in block["rows"]] == [False, True]


def test_what_cannot_be_stops_the_step(monkeypatch: pytest.MonkeyPatch) -> None:
    made = SetUp("k", features=("bore 1",), refused=("the bore is too large",), step=4)
    waiting = SetUp("k", features=("bore 1",), read_first=("the liner",), step=5)
    monkeypatch.setattr(
        "sparkout.report.documents.work.set_ups", lambda *_: (made, waiting)
    )  # fmt: skip
    steps = {step["number"]: step for step in sheet_of("farm_single")["steps"]}
    assert steps[4]["stopped"]
    assert not steps[4]["waits"]
    assert steps[4]["blocks"][0]["refused"] == ["bore 1: the bore is too large"]
    assert steps[5]["waits"]
    assert not steps[5]["stopped"]


@pytest.mark.parametrize("name", ENGINES)
def test_every_machined_size_has_a_box_after_the_step_that_makes_it(name: str) -> None:
    source, plan = shipped(name), plan_of(name)
    steps = order_of_work(plan.chosen, source.job.shop)
    numbers = {step.operation: step.number for step in steps if step.operation}
    boxes = {
        step["number"]: {
            (row[0], name)
            for table in step["boxes"]
            for row in table["rows"]
            for name in [c[0].split(",")[0] for c in table["columns"]] or [table["name"]]
        }
        for step in sheet_of(name)["steps"]
    }
    made = {
        e.key
        for _, option in plan.chosen
        for e in option.effects
        if isinstance(e, SetTo) and e.how is How.MACHINED and option.work
    }
    assert made
    for key, at in changing_steps(plan, numbers, source.job.shop).items():
        if key in made and key.characteristic in BY_NAME:
            for number in at:
                assert (key.feature, key.characteristic) in boxes[number], key


def test_a_box_for_each_place_that_was_read_as_found() -> None:
    step = next(s for s in sheet_of("farm_single")["steps"] if s["title"] == "Hone cylinder")
    table = next(t for t in step["boxes"] if t["name"] == "bore diameter")
    spots = shipped("farm_single").job.state.spots[Key("bore 1", "bore diameter")]
    assert table["places"] == [f"{s.level}, {s.direction}" for s in spots]
    assert len(table["places"]) == 6


def test_a_ground_journal_is_read_against_its_own_limits() -> None:
    step = next(s for s in sheet_of("workboat_four")["steps"] if s["title"].startswith("Grind rod"))
    table = next(t for t in step["boxes"] if t["name"] == "rod journal diameter")
    # 64.980 to 65.000 new, ground 0.25 under
    assert {row[2] for row in table["rows"]} == {"64.730 to 64.750 mm"}
    assert {row[1] for row in table["rows"]} == {"64.740 mm"}


def test_a_size_that_a_later_step_changes_shows_no_figure_to_hit_now() -> None:
    steps = {step["title"]: step for step in sheet_of("workboat_four")["steps"]}
    table = next(t for t in steps["Recut ledge"]["boxes"] if t["name"] == "ledge depth")
    deck = steps["Surface deck"]["number"]
    assert {row[1] for row in table["rows"]} == {f"changed again in step {deck}"}
    final = next(t for t in steps["Surface deck"]["boxes"] if t["name"] == "ledge depth")
    assert {row[1] for row in final["rows"]} == {"9.990 mm"}


def test_sizes_read_once_share_a_table() -> None:
    step = next(s for s in sheet_of("workboat_four")["steps"] if s["title"].startswith("Grind rod"))
    columns = next(t["columns"] for t in step["boxes"] if len(t["columns"]) > 1)
    assert [column[0] for column in columns] == [
        "rod journal out-of-round, mm",
        "rod journal taper, mm",
    ]
    assert columns[0][1:3] == ["at most 0.004 mm", "at most 0.006 mm"]


@pytest.mark.parametrize("name", ENGINES)
def test_depths_are_shown_with_a_window_inside_the_allowed_one(name: str) -> None:
    source, plan = shipped(name), plan_of(name)
    rows = sheet_of(name)["amounts"]
    inch = source.job.shop.units == "inch"
    scale = Fraction(254, 10) if inch else Fraction(1)
    told = 0
    for item in plan.amounts:
        kind = item.name.rpartition(" ")[0]
        value = source.words.value(item.value, "deck height")
        mine = [
            row
            for row in rows
            if row[1] == value and (item.name in row[0].lower() or row[0].lower().startswith(kind))
        ]
        assert mine, item.name
        told += 1
        for row in mine:
            if row[2] == "only this" or len(mine) > 1:
                continue
            low, high = (Fraction(t.split()[0]) * scale for t in row[2].split(" to "))
            assert item.least <= low <= high <= item.most
    assert told == len(plan.amounts)


@pytest.mark.parametrize("name", ENGINES)
def test_parts_come_with_pieces_and_sizes(name: str) -> None:
    source, plan = shipped(name), plan_of(name)
    data = sheet_of(name)
    assert [(row[0], row[1]) for row in data["parts"]] == [(u[0], str(u[1])) for u in uses(plan)]
    total: dict[str, int] = {}
    for _, option in plan.chosen:
        for use in option.parts:
            total[use.part] = total.get(use.part, 0) + use.count
    assert {row[0]: int(row[1]) for row in data["parts"]} == total
    for part, measured in source.job.state.new_parts.items():
        for key, size in measured.items():
            figure = source.words.value(size.high.value, key.characteristic)
            rows = [r for r in data["sizes"] if r[0] == part and r[1] == key.characteristic]
            if part in total and rows:
                assert f"{key.feature}: {figure}" in rows[0][3]


def test_what_is_not_measured_yet_has_a_box() -> None:
    rows = sheet_of("workboat_four")["sizes"]
    washers = next(row for row in rows if row[0] == "thrust washers, standard")
    assert washers[3] == {"write": True, "unit": ""}


def trial_of(name: str) -> list[list[Any]]:
    (trial,) = [step["trial"] for step in sheet_of(name)["steps"] if step["trial"]]
    return trial


def test_the_trial_assembly_asks_for_what_only_the_engine_put_together_shows() -> None:
    names = {row[1].partition(",")[0] for row in trial_of("workboat_four")}
    assert {"liner protrusion", "piston protrusion", "piston to head", "rod oil clearance",
            "end play", "gear backlash", "lash", "compression ratio"} <= names  # fmt: skip
    # read in the steps that made them
    assert not {"liner fit", "piston clearance", "small end clearance"} & names
    assert "hydraulic preload" in {row[1] for row in trial_of("road_eight")}
    assert {"intake valve lash", "squish"} <= {row[1] for row in trial_of("farm_single")}


@pytest.mark.parametrize("name", ["workboat_four", "road_eight", "farm_single"])
def test_every_row_of_the_trial_has_a_box_and_a_figure_to_hold_it_against(name: str) -> None:
    for row in trial_of(name):
        assert row[4] == {"write": True, "unit": ""}
        assert row[3]
        assert row[2]


def test_protrusion_and_gap_add_up_to_the_gasket() -> None:
    """1.30 is the gasket of the plan."""
    trial = trial_of("workboat_four")
    for bore in ("bore 1", "bore 2", "bore 3", "bore 4"):
        figures = {row[1]: float(row[2].split()[0]) for row in trial if row[0] == bore}
        total = figures["piston protrusion"] + figures["piston to head"]
        assert total == pytest.approx(1.30, abs=0.011)


def test_done_work_is_ticked(tmp_path: Path) -> None:
    source = source_in(worked_on(tmp_path))
    data = work_sheet(source, cautions()).data
    assert [row[1] for row in data["done"]] == ["bore cylinder", "hone cylinder"]
    done = {step["title"]: step["done"] for step in data["steps"]}
    assert done.get("Bore cylinder", True)
    assert "Surface head" not in done  # it was read flat again: nothing is left to do there
    assert not any(done[title] for title in done if "cylinder" not in title.lower())


def test_without_a_plan_nothing_is_to_be_cut() -> None:
    source = shipped("farm_single")
    stuck = Stuck(plan_of("farm_single").compiled, ("a",), ("bore 1 must be sleeved",), ())
    data = work_sheet(replace(source, plan=stuck), cautions()).data
    assert data["stuck"] == ["Bore 1 must be sleeved."]
    assert data["steps"] == []


def test_an_empty_job_has_no_machining(tmp_path: Path) -> None:
    source = source_in(copied(tmp_path, "workboat_four", log=False))
    data = work_sheet(source, cautions()).data
    assert not any(block["rows"] for step in data["steps"] for block in step["blocks"])
    assert not any(step["looks"] for step in data["steps"] if step["title"] != "Fit injectors")


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["rod journal 3", "rod journal 1", "rod journal 2"], "rod journals 1 to 3"),
        (["deck left", "deck right"], "decks left and right"),
        (["seat I1", "seat E1"], "seats I1 and E1"),
        (["crankshaft"], "crankshaft"),
        (["cam bush 1", "cam bush 2"], "cam bushes 1 and 2"),
        (["head gasket"], "head gasket"),
        (["bore 1", "liner 1"], "bore 1, liner 1"),
        ([], ""),
    ],
)
def test_short_names(names: list[str], told: str) -> None:
    assert short_names(names) == told

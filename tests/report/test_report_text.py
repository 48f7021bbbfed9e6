"""What the terminal shows: eighty columns, plain off a terminal, what to measure next."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from job_samples import LONG_WORD, copied, enter, job_in, shipped, source_in, wordy

from sparkout.cli.main import run
from sparkout.plan.decide import Plan
from sparkout.price.quote import Line, quote
from sparkout.price.scope import not_in_said
from sparkout.report.alike import alike
from sparkout.report.open_points import open_points
from sparkout.report.text.colouring import coloured
from sparkout.report.text.findings import findings_text
from sparkout.report.text.layout import WIDTH, heading, table, wrapped
from sparkout.report.text.plan import approval_text, plan_text
from sparkout.sheet.shop import Shop

ENGINES = ("workboat_four", "road_eight", "farm_single")


def lines_of(name: str, whole: bool) -> list[str]:
    source = shipped(name)
    assert isinstance(source.plan, Plan)
    return [*findings_text(source.job, whole=whole),
            *plan_text(source.job, source.plan, whole=whole)]  # fmt: skip


@pytest.mark.parametrize("whole", [False, True])
@pytest.mark.parametrize("name", ENGINES)
def test_no_line_is_wider_than_the_terminal(name: str, whole: bool) -> None:
    lines = lines_of(name, whole)
    assert max(map(len, lines)) <= WIDTH == 80
    assert not any("\x1b" in line for line in lines)
    assert not any(line != line.rstrip() for line in lines)


def test_long_names_and_words_keep_to_it(tmp_path: Path) -> None:
    source = source_in(wordy(tmp_path))
    assert isinstance(source.plan, Plan)
    lines = findings_text(source.job, whole=True) + plan_text(source.job, source.plan, whole=True)
    assert max(map(len, lines)) <= WIDTH
    joined = "".join(line.strip() for line in lines[:6])
    assert LONG_WORD in joined  # broken over lines, not cut


def test_a_long_row_of_cylinders_goes_on_below(tmp_path: Path) -> None:
    folder = copied(tmp_path, "workboat_four", log=False)
    sheet = folder / "engine.yaml"
    text = sheet.read_text(encoding="utf-8")
    text = text.replace("cylinders: 4", "cylinders: 12")
    text = text.replace("firing order: 1-3-4-2", "firing order: 1-7-5-11-3-9-12-6-8-2-10-4")
    text = text.replace("main bearings: 5", "main bearings: 13")
    text = re.sub(r"  valve row: .*\n", "", text)
    sheet.write_text(text, encoding="utf-8")
    job = job_in(folder)
    lines = findings_text(job)
    assert max(map(len, lines)) <= WIDTH
    row = [line for line in lines if "│" in line and re.search(r"\d", line)]
    assert re.findall(r"\d+", " ".join(row)) == [str(n) for n in range(1, 13)]


def test_bank_rows_stand_under_each_other() -> None:
    lines = findings_text(shipped("road_eight").job)
    starts = {line.index("┌") for line in lines if "┌" in line}
    assert len(starts) == 1


@pytest.mark.parametrize("name", ENGINES)
def test_what_to_measure_next_is_what_the_plan_took_for_granted(name: str) -> None:
    source = shipped(name)
    assert isinstance(source.plan, Plan)
    text = " ".join(" ".join(lines_of(name, whole=True)).split())
    points = open_points(source.job, source.plan)
    unknown = {f.check.name for f in source.plan.after if f.verdict.value == "not measured"}
    assert unknown == {
        f.check.name for p in points for f in p.group.findings if f.verdict.value == "not measured"
    }
    for point in points:
        assert point.group.limit.name in text.split("WHAT TO MEASURE NEXT", 1)[1]
        assert point.do


def test_a_reading_in_question_is_to_be_confirmed_or_corrected(tmp_path: Path) -> None:
    folder = copied(tmp_path, "farm_single")
    slip = {"feature": "bore 1", "characteristic": "bore diameter", "typed": "27.045",
            "gauge": "BG-1", "level": "top", "direction": "+45"}  # fmt: skip
    enter(folder, [("reading", slip)])
    source = source_in(folder)
    assert isinstance(source.plan, Plan)
    text = " ".join(" ".join(plan_text(source.job, source.plan)).split())
    assert "bore 1, bore diameter: confirm or correct the reading 27.045." in text


def test_not_proven_that_decides_says_what_it_may_save(tmp_path: Path) -> None:
    """A reading just inside the gauge's doubt forces work; settling it may make that needless."""
    folder = copied(tmp_path, "farm_single")
    log = (folder / "readings.csv").read_text(encoding="utf-8")
    assert "right,,0.07,DI-1" in log
    enter(folder, [("correction", {"of": _entry(folder, "crankshaft runout", "right"),
                                   "action": "replace", "reason": "read again",
                                   "body": {"typed": "0.05"}})])  # fmt: skip
    source = source_in(folder)
    assert isinstance(source.plan, Plan)
    points = {p.group.limit.name: p for p in open_points(source.job, source.plan)}
    assert (
        points["crankshaft runout"].changes
        == "may make it needless to true the pressed-up crankshaft between centres"
    )
    assert "DI-1" in points["crankshaft runout"].do


def _entry(folder: Path, characteristic: str, level: str) -> str:
    for standing in job_in(folder).replayed.effective:
        body = standing.body
        if getattr(body, "characteristic", "") == characteristic and (
            getattr(body, "level", "") == level
        ):
            return standing.id
    raise AssertionError(characteristic)


def test_choices_that_differ_in_the_feature_alone_are_said_once() -> None:
    plan = shipped("road_eight").plan
    assert isinstance(plan, Plan)
    groups = alike(plan.reasons)
    assert sum(map(len, groups)) == len(plan.reasons)
    pits = next(same for same in groups if same[0].group == "seat I1")
    assert len(pits) == 15  # all seats but E6, whose runout is out as well
    assert "seat E6" not in {reason.group for reason in pits}
    text = " ".join(" ".join(plan_text(shipped("road_eight").job, plan)).split())
    assert "Likewise seat E1, seat I2" in text


def test_the_rule_is_that_of_the_shop() -> None:
    job = shipped("farm_single").job
    text = " ".join(" ".join(findings_text(job)).split())
    assert "Within or out only where that is 95 % sure" in text

    def with_rule(rule: str) -> str:
        changed: Shop = replace(job.shop, rule=rule)
        return " ".join(" ".join(findings_text(replace(job, shop=changed))).split())

    assert "gauge uncertainty not counted (simple acceptance" in with_rule("simple acceptance")
    assert "guard band for 95 %" in with_rule("prove conformity")


def test_tables_cut_words_never_figures() -> None:
    rows = [("x" * 200, "made of " + "y" * 90, "12345.67 EUR"), ("short", "", "1.00 EUR")]
    lines = table(rows, right=(2,))
    assert max(map(len, lines)) <= WIDTH
    assert lines[0].endswith("12345.67 EUR")
    assert "…" in lines[0]
    assert lines[1].endswith("1.00 EUR")


def test_headings_and_sentences_wrap() -> None:
    assert max(map(len, heading("word " * 40))) <= WIDTH
    assert max(map(len, wrapped("x" * 300, "  ✕ "))) <= WIDTH
    assert wrapped("", "  ✕ ") == ["  ✕"]


def test_colour_adds_nothing_but_escape_sequences() -> None:
    lines = lines_of("workboat_four", whole=True)
    painted = coloured(lines)
    assert painted != lines
    plain = [re.sub(r"\x1b\[[0-9;]*m", "", line) for line in painted]
    assert plain == lines
    assert any(line.startswith("  \x1b[31m✕\x1b[0m ") for line in painted)
    assert any("\x1b[31mOUT\x1b[0m" in line for line in painted)
    assert any(line.startswith("\x1b[1mOUT OF LIMITS") for line in painted)


def test_an_engine_nobody_has_read_has_no_plan_to_approve(tmp_path: Path) -> None:
    source = source_in(copied(tmp_path, "farm_single", log=False))
    assert isinstance(source.plan, Plan)
    lines = plan_text(source.job, source.plan)
    assert lines[1] == "NOTHING IS MEASURED YET: NO PLAN TO APPROVE"
    assert max(map(len, lines)) <= WIDTH
    text = " ".join(lines)
    assert "bore diameter" in text
    assert "PROVEN" not in text
    assert "PRICE" not in text
    assert sum(line.startswith("  ? ") for line in lines) <= 6
    assert approval_text(source.job, source.plan, "abc") == []


def test_what_is_not_read_is_not_called_proven() -> None:
    unread, read = shipped("workboat_four"), shipped("farm_single")
    assert isinstance(unread.plan, Plan)
    assert isinstance(read.plan, Plan)
    text = " ".join(" ".join(plan_text(unread.job, unread.plan)[:6]).split())
    assert "PROVEN FOR WHAT WAS READ" in text
    assert "2 things are not read yet and are taken to be in order" in text
    assert "approved, as far as measured:" in approval_text(unread.job, unread.plan, "abc")[1]
    assert plan_text(read.job, read.plan)[1].endswith("HOLDS EVERY LIMIT, PROVEN")
    assert "as far as measured" not in approval_text(read.job, read.plan, "abc")[1]


def test_the_command_for_an_engine_nobody_has_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = str(copied(tmp_path, "farm_single", log=False))
    assert run(["plan", folder]) == 1
    assert "approval" not in capsys.readouterr().out
    assert run(["plan", folder, "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["plan"] is None


def test_the_price_says_what_it_does_not_cover() -> None:
    source = shipped("farm_single")
    assert isinstance(source.plan, Plan)
    text = " ".join(" ".join(plan_text(source.job, source.plan)).split())
    every = "Not in this price: strip, wash, measuring, trial assembly, assembly and run-in."
    assert text.endswith(every)
    price = quote(source.plan.chosen, source.job.shop)
    mine = [Line("labour", title, 100) for title in ("wash parts", "strip engine", "run-in")]
    paid = replace(price, lines=(*price.lines, *mine))
    assert not_in_said([paid]) == "Not in this price: measuring, trial assembly and assembly."
    assert not_in_said([paid, price]) == every  # one of the offers does not cover them
    brush = replace(price, lines=(Line("part", "wash brush", 100), Line("labour", "washer", 1)))
    assert not_in_said([brush]) == every
    rest = [Line("labour", t, 1) for t in ("measure all", "trial assembly", "assemble engine")]
    assert not_in_said([replace(paid, lines=(*paid.lines, *rest))]) == ""


@pytest.mark.parametrize("name", ["workboat_four", "road_eight", "farm_single"])
def test_depths_with_room_say_that_the_least_is_planned_and_why(name):
    source = shipped(name)
    text = " ".join(" ".join(plan_text(source.job, source.plan)).split())
    assert ("the least is planned" in text) == ("would do)" in text)

"""The build record: what the log says, and what is missing said in words."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from job_samples import cautions, copied, enter, shipped, source_in, worked_on

from sparkout.engine.dimension import Key
from sparkout.judge.finding import Verdict
from sparkout.plan.decide import Plan, Stuck
from sparkout.report.documents.built import as_found
from sparkout.report.documents.built.as_left import as_left, as_left_rows
from sparkout.report.documents.built.assembled import build_of
from sparkout.report.documents.built.missing import missing
from sparkout.report.documents.record import build_record
from sparkout.report.documents.source import Source

ENGINES = ("workboat_four", "road_eight", "farm_single")


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Source:
    return source_in(worked_on(tmp_path_factory.mktemp("worked")))


def record_of(source: Source) -> dict[str, Any]:
    return dict(build_record(source, cautions()).data)


@pytest.mark.parametrize("name", ENGINES)
def test_every_reading_as_found_is_there_with_gauge_and_reader(name: str) -> None:
    source = shipped(name)
    tables = {table["name"]: table for table in as_found.reading_tables(source, source.found)}
    spots = [s for s in source.job.located.spots if s.phase == "found"]
    assert spots
    for spot in spots:
        rows = tables[spot.key.characteristic]["rows"]
        row = next(row for row in rows if row[0] == spot.key.feature)
        value = source.words.value(spot.estimate.value, spot.key.characteristic).split()[0]
        shown = value.replace("-", "−") in row[1] or "between" in row[1]
        assert shown, spot
        assert (spot.gauge or "not said") in row[2]
        assert row[3].startswith("first bench")


def test_a_gap_is_recorded_as_its_blades() -> None:
    source = shipped("farm_single")
    tables = as_found.reading_tables(source, source.found)
    table = next(t for t in tables if t["name"] == "deck flatness")
    # read as "0.06 passes, 0.08 does not"
    assert table["rows"][0][1] == "diagonal between 0.06 and 0.08 (barrel top)"


@pytest.mark.parametrize("name", ENGINES)
def test_tests_and_what_was_not_tested(name: str) -> None:
    source = shipped(name)
    rows = as_found.test_rows(source)
    assert len(rows) == len(source.job.located.tests)
    for row, test in zip(rows, source.job.located.tests, strict=True):
        assert row[3] == ("passed" if test.passed else "failed")
        assert row[2] == {"verdict": "OK" if test.passed else "OUT"}
    done = {test.key for test in source.job.located.tests}
    for text in as_found.untested(source):
        assert not any(text.startswith(key.characteristic) and key.feature in text for key in done)
    if name == "workboat_four":
        assert as_found.untested(source) == ["seat crack test: seats E1, E2, E4 and I1 to I4"]


@pytest.mark.parametrize("name", ENGINES)
def test_a_job_without_work_is_a_draft_that_lists_what_is_missing(name: str) -> None:
    data = record_of(shipped(name))
    assert data["draft"]
    assert "DRAFT" in data["frame"]["title"]
    text = " ".join(data["missing"])
    for words in ("Approval:", "Work not entered as done:", "Not read as left, ", "Parts not",
                  "Assembly:"):  # fmt: skip
        assert words in text, words
    assert not any(
        row[6].get("verdict") == "OK" and row[3] == "not read yet" for row in data["left"]
    )


def test_an_empty_log_lacks_everything(tmp_path: Path) -> None:
    data = record_of(source_in(copied(tmp_path, "farm_single", log=False)))
    assert data["missing"][0].startswith("The log has no entries")
    assert data["found"] == []
    assert data["proof"]["heads"] == []


def test_neither_the_old_size_nor_the_planned_one_stands_for_a_reading() -> None:
    source = shipped("workboat_four")
    left = as_left(source)
    assert isinstance(source.decided, Plan)
    unread = {f.check.name for f in left.findings if f.verdict is Verdict.NOT_MEASURED}
    # made to size by a machine, to its part in hand, or brought by a part nobody measured
    for name in ("rod journal 3: rod journal diameter", "bore 2: bore diameter",
                 "guide I3: intake stem clearance", "liner 2: liner protrusion",
                 "follower E3: follower clearance", "rod 3: rod oil clearance",
                 "spring E2: spring free length"):  # fmt: skip
        assert name in unread, name
    assert Key("rod journal 3", "rod journal diameter") in left.lacking
    # two measured parts give their fit before anything is cut
    read = {f.check.name: f for f in left.findings if f.verdict is not Verdict.NOT_MEASURED}
    assert set(read) == {
        "liner 1: liner fit", "liner 2: liner fit", "liner 3: liner fit", "liner 4: liner fit",
        "rod 1: small end clearance", "rod 3: small end clearance", "rod 4: small end clearance",
    }  # fmt: skip
    assert set(left.sizes).isdisjoint(left.lacking)


def test_sizes_as_left_are_judged_by_the_limit_of_what_was_made(worked: Source) -> None:
    left = as_left(worked)
    by_name = {f.check.name: f for f in left.findings}
    # Bored to the piston +0.50 in hand: the fit is judged as new, and no limit binds the size.
    bore = by_name["bore 1: bore diameter"]
    assert bore.verdict is Verdict.NO_LIMIT
    assert bore.high is not None
    assert bore.high.value == Fraction("72.503")
    clearance = by_name["bore 1: piston clearance"]
    # 72.503 and 72.500 less the piston in hand, 72.452
    assert clearance.low is not None
    assert clearance.high is not None
    assert (clearance.low.value, clearance.high.value) == (Fraction("0.048"), Fraction("0.051"))
    assert clearance.side == "new"
    # a surfaced head is judged as new: 0.01 to 0.02 against 0.03
    head = by_name["head: head flatness"]
    assert head.side == "new"
    assert head.verdict is Verdict.WITHIN


def test_as_left_rows_say_gauge_reader_limit_and_pardon(worked: Source) -> None:
    data = record_of(worked)
    rows = {(row[0], row[1]): row for row in data["left"]}
    deck = rows["deck flatness", "deck"]
    assert deck[2] == "new: at most 0.03 mm"
    assert deck[3] == "between 0.08 and 0.10 (diagonal)"
    assert deck[4] == "FG-1"
    assert deck[5] == "Ines, 2027-03-01"
    assert deck[6]["verdict"] == "OUT"
    assert deck[6]["note"] == "waived: Ines, 2027-03-01: gasket maker allows it"
    assert rows["head flatness", "head"][6] == {"verdict": "OK", "note": ""}
    assert rows["squish", "1"][3] == "not read yet"


def test_what_is_out_as_left_is_missing_until_somebody_lets_it_pass(worked: Source) -> None:
    left, build = as_left(worked), build_of(worked, cautions())
    assert not any("Out of limits as left" in text for text in missing(worked, left, build))
    unpardoned = replace(build, records=tuple(r for r in build.records if not r.waived))
    told = missing(worked, left, unpardoned)
    assert any("Out of limits as left: deck flatness" in text for text in told)


def test_the_plan_as_decided_stays_when_work_moves_the_engine(worked: Source) -> None:
    assert worked.decided is not worked.plan
    assert isinstance(worked.decided, Plan)
    before = shipped("farm_single").plan
    assert isinstance(before, Plan)
    assert worked.decided.optimum.picks == before.optimum.picks
    data = record_of(worked)
    assert len(data["decisions"]) == len(record_of(shipped("farm_single"))["decisions"])
    # as found: the deck is out, as it was, whatever was read since
    rows = {row[0]: row for row in data["found_judged"] if row[4] == {"verdict": "OUT"}}
    assert rows["deck flatness"][1] == "between 0.06 and 0.08 mm"


def test_the_log_s_other_entries_are_all_printed(worked: Source) -> None:
    data = record_of(worked)
    assert [row[1] for row in data["work"]] == ["bore cylinder", "hone cylinder"]
    assert data["work"][0][3] == "72.440"
    assert data["work"][1][4] == "bore score depth 0.00 [DI-1]"
    assert data["deviations"][0] == (
        "2027-03-01, hone cylinder on bore 1: coarse stones only; plateau brush is worn (Ines)"
    )
    assert ["2027-03-01", "bore", "piston +0.50", "next size up", "Ines"] in data["choices"]
    assert data["photos"] == [["crankshaft", "pin.jpg", "ab" * 32, "2027-03-01"]]
    assert data["sights"][0][3] == "blue at the pin"
    part = next(row for row in data["parts"] if "P-77" in row[3])
    assert part[3] == "number P-77, batch B9, the dealer"
    assert data["checks"][0][:4] == ["fit-head", "deck flatness", "deck", "waived"]
    assert data["checks"][0][5] == "Ines, 2027-03-01, with Otto"


def test_corrections_tell_what_stood_there_and_why(worked: Source) -> None:
    rows = record_of(worked)["corrections"]
    assert [row[2] for row in rows] == ["confirm"] * 3 + ["replace"]
    last = rows[-1]
    assert last[1] == "Otto"
    assert last[3] == "reading of rod 1, rod side clearance: 0.53 (Ines, 2027-03-01)"
    assert last[4:] == ["typed: 0.35", "figures swapped"]
    # what counts is what was corrected
    tables = {t["name"]: t for t in record_of(worked)["found"]}
    assert tables["rod side clearance"]["rows"][0][1] == "0.35; 0.35"


def test_a_withdrawn_reading_is_gone_from_the_tables_and_told(tmp_path: Path) -> None:
    folder = copied(tmp_path, "farm_single")
    body = {"feature": "top ring 1", "characteristic": "ring gap", "typed": "0.91", "gauge": "FG-1"}
    (name,) = enter(folder, [("reading", body)])
    enter(folder, [("correction", {"of": name, "action": "withdraw", "reason": "wrong ring"})],
          device="office", day=2)  # fmt: skip
    data = record_of(source_in(folder))
    table = next(t for t in data["found"] if t["name"] == "ring gap")
    assert "0.91" not in table["rows"][0][1]
    assert data["corrections"][0][3] == ("reading of top ring 1, ring gap: 0.91 (Ines, 2027-03-01)")
    assert data["superseded"] == "1"


def test_grades_and_stamps() -> None:
    data = record_of(shipped("workboat_four"))
    assert ["gasket", "head gasket 1.30", "1", "head gasket", "gasket thickness 1.30 mm"] in (
        data["grades"]
    )
    stamps = {row[2]: row[:2] for row in data["stampings"]}
    assert stamps["rod journals 1 to 4"] == ["front web of the crankshaft", "−0.250 mm"]
    deck = next(row for row in data["stampings"] if row[0] == "deck")
    # came in stamped −0.15, and 0.13 comes off: 0.28 below 327.60, the middle of a new one
    assert deck[1] == "−0.28 mm in all"
    assert "0.13 mm here, 0.15 mm before: “block stamped −0.15 by an earlier shop”" in deck[2]
    # 327.445 and 327.455 as found, less 0.13: 327.315 and 327.325
    assert "327.31 to 327.32 mm" in deck[2] or "327.32 to 327.32 mm" in deck[2]
    single = record_of(shipped("farm_single"))
    assert ["block", "+0.500 mm", "bore 1"] in single["stampings"]


def test_run_in_is_that_of_the_sheet(worked: Source) -> None:
    run = record_of(worked)["run"]
    said = worked.job.sheet.assembly.first_start
    assert said is not None
    assert [row[0] for row in run["stages"]] == [stage.name for stage in said.run_in]
    assert run["source"] == said.source


def test_without_a_plan_the_record_says_so() -> None:
    source = shipped("farm_single")
    assert isinstance(source.plan, Plan)
    stuck = Stuck(source.plan.compiled, ("a",), ("it cannot be",), ())
    data = record_of(replace(source, plan=stuck, decided=stuck))
    assert "Plan: there is none under which every limit holds." in data["missing"]
    assert data["decisions"] == []


def test_a_reading_in_question_keeps_the_record_a_draft(tmp_path: Path) -> None:
    folder = copied(tmp_path, "farm_single")
    slip = {"feature": "bore 1", "characteristic": "bore diameter", "typed": "27.045",
            "gauge": "BG-1", "level": "top", "direction": "+45"}  # fmt: skip
    enter(folder, [("reading", slip)])
    told = record_of(source_in(folder))["missing"]
    assert "Reading in question: bore 1, bore diameter 27.045; confirm or correct it." in told


def test_scope_names_what_no_limit_is_about() -> None:
    scope = " ".join(record_of(shipped("workboat_four"))["scope"])
    assert "Judged: 364 limits" in scope
    outside = scope.partition("for want of limits")[2]
    assert "timing chain" in outside
    assert "bore," not in outside


def test_waived_needs_the_same_thing_on_the_same_feature(worked: Source) -> None:
    left = as_left(worked)
    rows = as_left_rows(worked, left, {("deck flatness", "head"): "nobody"})
    deck = next(row for row in rows if row[0] == "deck flatness")
    assert deck[6]["note"] == ""

"""First start and running in: the sheet's figures, and words without figures where it has none."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from assembly_makers import NAMES, build, demo

from sparkout.assembly.run_sheet import run_sheet
from sparkout.sheet.assembly_model import AssemblySpec


@pytest.mark.parametrize("name", NAMES)
def test_the_sheets_words_come_with_their_source(name: str) -> None:
    sheet = demo(name)[0]
    said = sheet.assembly.first_start
    assert said is not None
    run = run_sheet(sheet)
    assert run.stages == said.run_in
    assert (run.stages_source, run.source) == ("invented", "invented")
    assert run.of("before")[0] == f"Oil: {said.oil}."
    by_words = {line.words: line.source for line in run.lines}
    for words in said.afterwards:
        assert by_words[words] == "invented"
    assert {line.source for line in run.lines} == {"invented", "common practice"}
    assert [line.when for line in run.lines] == sorted(
        (line.when for line in run.lines),
        key=["before", "start", "warm-up", "run-in", "after"].index,
    )


def test_retightening_is_on_the_sheet_that_goes_with_the_engine() -> None:
    boat = run_sheet(demo("workboat_four")[0])
    assert "Tighten head again, after the first warm-up, cooled to the touch: 115 N·m." in boat.of(
        "warm-up"
    )
    assert [stage.name for stage in boat.warm_up] == ["warm up"]
    assert boat.warm_up + boat.loaded == boat.stages
    # its rockers come down with the head; a cam in the head comes down with it
    assert any("reset it" in words for words in boat.of("warm-up"))
    assert not any("lash" in w for w in run_sheet(demo("farm_single")[0]).of("warm-up"))
    road = run_sheet(demo("road_eight")[0])
    assert road.of("warm-up") == road.warm_up == ()
    assert road.loaded == road.stages


@pytest.mark.parametrize("name", NAMES)
def test_common_practice_has_no_figures(name: str) -> None:
    """A number without a source would be a limit made up in silence."""
    bare = replace(demo(name)[0], assembly=AssemblySpec())
    run = run_sheet(bare)
    assert run.checks == ()
    assert run.stages_source == "common practice"
    assert {line.source for line in run.lines} == {"common practice"}
    said = [line.words for line in run.lines]
    said += [word for s in run.stages for word in (s.speed, s.load, s.time, s.watch)]
    for words in said:
        assert not re.search(r"\d", words), words


def test_figures_read_while_it_runs_are_checks_of_the_first_start() -> None:
    start = build("workboat_four").step("first-start")
    assert start is not None
    figures = {check.name: check for check in start.checks if check.bounds is not None}
    assert set(figures) == {
        "oil pressure cold at 900 rpm", "oil pressure hot at 900 rpm", "coolant temperature"
    }  # fmt: skip
    hot = figures["oil pressure hot at 900 rpm"].bounds
    assert hot is not None
    assert hot.low is not None
    assert float(hot.low) == pytest.approx(0.12)  # 1.2 bar in MPa

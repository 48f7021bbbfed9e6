"""Rules of thumb: only where asked for, marked wherever they show."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.names import known_names
from sparkout.engine.of_sheet import frame_of
from sparkout.judge.checks import checks
from sparkout.judge.finding import judge_all
from sparkout.measure.estimate import Estimate
from sparkout.sheet.files import open_sheet

SOUND = (Path(__file__).parent.parent / "bad" / "sheets" / "sound.yaml").read_text()


def sheet_with(tmp_path, text):
    path = tmp_path / "engine.yaml"
    path.write_text(SOUND.replace("parts:", text + "parts:"))
    return open_sheet(path, known_names())


def test_a_rule_fills_a_limit_that_asks_for_it(tmp_path):
    sheet, faults = sheet_with(tmp_path, "  top ring gap:\n    rule of thumb: ring gap by bore\n")
    assert faults == ()
    limit = sheet.limits["top ring gap"]
    # 0.003 to 0.004 of an 80 mm bore
    assert limit.new.low == Fraction("0.24")
    assert limit.new.high == Fraction("0.32")
    assert limit.thumb == "ring gap by bore"


def test_the_finding_says_it_is_a_rule_of_thumb(tmp_path):
    sheet, _ = sheet_with(tmp_path, "  top ring gap:\n    rule of thumb: ring gap by bore\n")
    frame = frame_of(sheet)
    key = Key("top ring 1", "ring gap")
    value = Estimate(Fraction("0.50"))
    found = judge_all(checks(sheet, frame), {key: Dimension(key, value, value)})
    reason = next(f.reason for f in found if f.key == key)
    assert "rule of thumb (ring gap by bore)" in reason


def test_nothing_is_filled_unasked(tmp_path):
    sheet, _ = sheet_with(tmp_path, "")
    assert "top ring gap" not in sheet.limits


def test_a_rule_for_something_else_is_refused(tmp_path):
    sheet, faults = sheet_with(tmp_path, "  top ring gap:\n    rule of thumb: deck flatness\n")
    assert sheet is None
    assert "expected one of ring gap by bore" in str(faults[0])


def test_a_rule_without_its_figures_is_refused(tmp_path):
    sheet, faults = sheet_with(
        tmp_path, "  rod oil clearance:\n    rule of thumb: rod clearance by journal\n"
    )
    assert sheet is None
    assert "without the figures it goes by" in str(faults[0])

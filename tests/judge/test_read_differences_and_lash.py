"""Differences of what was itself read, and valve lash by the figures of the lash section."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import sparkout
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.names import known_names
from sparkout.engine.of_sheet import frame_of
from sparkout.judge.checks import checks, lash_checks
from sparkout.judge.finding import Verdict, judge, judge_all
from sparkout.measure.estimate import Component, Estimate
from sparkout.sheet.files import open_sheet

WORKBOAT = Path(sparkout.__file__).parent / "demos" / "workboat_four" / "engine.yaml"


def sheet_and_frame():
    sheet, faults = open_sheet(WORKBOAT, known_names())
    assert faults == ()
    assert sheet is not None
    return sheet, frame_of(sheet)


def known(feature, name, value, *parts):
    key = Key(feature, name)
    estimate = Estimate(Fraction(value), tuple(parts))
    return key, Dimension(key, estimate, estimate)


def test_neighbours_read_over_the_deck_are_compared_as_read():
    """0.055 − 0.048 = 0.007 as read; flange less ledge would say 0.05. The bridge's own error is
    in both readings and cancels."""
    sheet, frame = sheet_and_frame()
    bridge = Component("BI-1 calibration", 0.05)
    sizes = dict([
        known("liner 1", "liner protrusion", "0.055", bridge),
        known("liner 2", "liner protrusion", "0.048", bridge),
        known("liner 1", "liner flange thickness", "10.05"),
        known("liner 2", "liner flange thickness", "10.00"),
        known("ledge 1", "ledge depth", "10"),
        known("ledge 2", "ledge depth", "10"),
    ])  # fmt: skip
    step = next(c for c in checks(sheet, frame) if c.instance.feature == "liner 1 to liner 2")
    found = judge(step, sizes)
    assert found.low is not None
    assert found.low.value == Fraction("0.007")
    assert found.low.u == 0
    assert found.verdict is Verdict.WITHIN


def test_lash_that_was_read_is_judged_by_the_lash_section():
    """Intake 0.30 to 0.35 mm cold in the sheet: 0.32 is in it, 0.45 is not and does not stop."""
    sheet, frame = sheet_and_frame()
    sizes = dict([
        known("valve I1", "valve lash", "0.32"),
        known("valve I2", "valve lash", "0.45"),
        known("valve E1", "valve lash", "0.42"),
    ])  # fmt: skip
    found = judge_all(lash_checks(sheet, frame, sizes), sizes)
    said = {item.check.name: item.verdict for item in found}
    assert said == {
        "valve I1: intake valve lash": Verdict.WITHIN,
        "valve I2: intake valve lash": Verdict.OUT,
        "valve E1: exhaust valve lash": Verdict.WITHIN,
    }
    assert not any(item.check.limit.must for item in found)
    assert "valve I2, intake valve lash is 0.45 mm" in next(
        item.reason for item in found if item.verdict is Verdict.OUT
    )

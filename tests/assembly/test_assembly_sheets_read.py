"""The sheet's sections on assembly: what is right is read, what is wrong is told with its place."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from assembly_makers import DEMOS, demo

from sparkout.engine.names import known_names
from sparkout.faults import Fault
from sparkout.sheet.assembly_model import Again, Pattern, StageKind
from sparkout.sheet.files import open_sheet
from sparkout.sheet.model import DataSheet

HEAD = """
tightening:
  head:
    fastener: bolt
    count: 4
    thread: M12 x 1.75
    lubrication: engine oil
    stages:
      - snug 30 N·m
      - 80 N·m
      - turn 90 deg
    sequence: cross
    places:
      A: 0, 0
      B: 100, 0
      C: 100, 80
      D: 0, 80
    source: invented
"""


def read(tmp_path: Path, section: str) -> tuple[DataSheet | None, tuple[Fault, ...], int]:
    """The farm single's sheet with another ending; also the line that ending begins at."""
    text = (DEMOS / "farm_single" / "engine.yaml").read_text(encoding="utf-8")
    start = text.index("# Putting it together")
    path = tmp_path / "engine.yaml"
    path.write_text(text[:start] + section, encoding="utf-8")
    sheet, faults = open_sheet(path, known_names())
    return sheet, faults, text[:start].count("\n") + 1


def told(tmp_path: Path, section: str) -> Fault:
    sheet, faults, _ = read(tmp_path, section)
    assert sheet is None
    assert len(faults) == 1, [str(fault) for fault in faults]
    return faults[0]


def test_a_joint_is_read(tmp_path: Path) -> None:
    sheet, faults, _ = read(tmp_path, HEAD)
    assert faults == ()
    assert sheet is not None
    head = sheet.assembly.joints["head"]
    assert (head.count, head.thread, head.pattern) == (4, "M12 x 1.75", Pattern.CROSS)
    assert [(s.kind, s.value) for s in head.stages] == [
        (StageKind.TORQUE, 30), (StageKind.TORQUE, 80), (StageKind.TURN, 90)]  # fmt: skip
    assert [(p.name, p.x, p.y) for p in head.places][2] == ("C", 100, 80)
    assert (head.again, head.torque_tolerance) == (Again.UNSAID, None)


def test_the_shipped_sheets_are_read() -> None:
    boat = demo("workboat_four")[0].assembly
    assert boat.joints["head"].retorque is not None
    assert len(boat.joints["head"].places) == 18
    assert boat.joints["rod caps"].longest == Fraction("78.80")
    assert boat.lash is not None
    assert boat.lash.events is not None
    assert boat.lash.events.intake_opens == 350
    road = demo("road_eight")[0].assembly
    assert road.joints["head"].stages[0].value is not None
    # 25 lbf·ft × 1.3558179 (NIST SP 811) = 33.895 N·m
    assert float(road.joints["head"].stages[0].value) == pytest.approx(33.895, abs=0.001)
    assert road.joints["head"].places[1].x == Fraction("4.5") * Fraction("25.4")
    assert road.joints["manifold"].order[:3] == ("L3", "R4", "R3")
    farm = demo("farm_single")[0].assembly
    assert farm.lash is not None
    # lash figures stand under `limits` in this sheet
    assert farm.lash.cold.intake is not None
    assert (farm.lash.cold.intake.low, farm.lash.cold.intake.high) == (
        Fraction("0.10"), Fraction("0.15"))  # fmt: skip


def test_a_bare_torque_is_refused_with_the_reason(tmp_path: Path) -> None:
    sheet, faults, begins = read(tmp_path, HEAD.replace("    lubrication: engine oil\n", ""))
    assert sheet is None
    (fault,) = faults
    assert fault.place.line == begins + 2  # the joint's own line
    assert fault.found == "torques of 'head' without a state of lubrication"
    assert fault.remedy == (
        "Lubrication changes the clamp load of one torque by about a third (nut factor 0.20 dry, "
        "0.15 oiled; common practice): take it from the book the torque is from."
    )


def test_a_torque_alone_is_refused_with_the_reason(tmp_path: Path) -> None:
    fault = told(tmp_path, "tightening:\n  head: 80 N·m\n")
    assert fault.found == "'80 N·m' alone"
    assert fault.expected == "thread, count, lubrication, stages and sequence below it"
    assert "about a third" in fault.remedy


BAD_STAGES = [
    ("- 80 N·m\n", "- 80\n", "'80' without a unit"),
    ("- turn 90 deg", "- turn -90 deg", "'turn -90 deg'"),
    ("- turn 90 deg", "- turn 0 deg", "'turn 0 deg'"),
    ("- 80 N·m\n", "- -80 N·m\n", "'-80 N·m'"),
    ("- 80 N·m\n", "- 25 N·m\n", "'25 N·m' after 'snug 30 N·m'"),
    ("      - snug 30 N·m\n      - 80 N·m\n", "", "'turn 90 deg' with no torque before it"),
    ("- turn 90 deg\n", "- turn 90 deg\n      - 120 N·m\n", "the torque '120 N·m' after a turn"),
    ("- turn 90 deg\n", "- loosen fully\n", "'loosen fully' as the last stage"),
    ("      - snug 30 N·m\n", "      - loosen fully\n", "'loosen fully'"),
    ("- 80 N·m\n", "- 80 mm\n", "'80 mm', a length"),
]


@pytest.mark.parametrize(("old", "new", "found"), BAD_STAGES)
def test_stages_that_cannot_be(tmp_path: Path, old: str, new: str, found: str) -> None:
    assert old in HEAD
    fault = told(tmp_path, HEAD.replace(old, new))
    assert fault.found == found
    assert fault.place.line is not None


def test_loosening_and_beginning_again_is_a_stage(tmp_path: Path) -> None:
    again = HEAD.replace("- turn 90 deg\n", "- loosen fully\n      - 40 N·m\n      - turn 90 deg\n")
    sheet, faults, _ = read(tmp_path, again)
    assert faults == ()
    assert sheet is not None
    kinds = [stage.kind for stage in sheet.assembly.joints["head"].stages]
    assert kinds[2:] == [StageKind.LOOSEN, StageKind.TORQUE, StageKind.TURN]


BAD_JOINTS = [
    ("count: 4", "count: 5", "5 fasteners, and 4 on the map", ""),
    ("thread: M12 x 1.75", "thread: twelve", "'twelve'", ""),
    ("sequence: cross", "sequence: cros", "'cros'", "Did you mean 'cross'?"),
    ("    sequence: cross\n", "", "no sequence", ""),
    ("sequence: cross", "sequence: as given", "'as given' without an order", ""),
    ("sequence: cross", "order: A, C, B, E", "'E', which is not on the map", ""),
    ("sequence: cross", "order: A, C, B, B", "'B' twice", ""),
    ("sequence: cross", "order: A, C, B", "'D' left out", ""),
    ("sequence: cross", "sequence: cross\n    order: A, C, B, D", "'cross' with an order", ""),
    ("C: 100, 80", "C: 100, 6", "'B' and 'C' 6 mm apart", ""),
    ("C: 100, 80", "C: 100, 0", "'B' and 'C' 0 mm apart", ""),
    ("C: 100, 80", "C: 100", "'100'", ""),
    ("source: invented", "source: inventd", "'inventd'", "Did you mean 'invented'?"),
    ("    source: invented\n", "", "no source", ""),
    ("    source: invented", "    use again: no\n    longest: 90 mm\n    source: invented",
     "'90 mm' for a fastener used once only", ""),
    ("    source: invented", "    use again: to a length\n    source: invented",
     "'to a length' without `longest`", "the free length a used one may have at most"),
    ("    source: invented", "    rows: 2\n    source: invented", "more than one map", ""),
    ("    source: invented", "    each: rods\n    source: invented", "'rods'",
     "Did you mean 'rod'?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "found", "remedy"), BAD_JOINTS)
def test_joints_that_cannot_be(tmp_path: Path, old: str, new: str, found: str, remedy: str) -> None:
    assert old in HEAD
    fault = told(tmp_path, HEAD.replace(old, new))
    assert fault.found == found
    if remedy:
        assert remedy in (fault.remedy, fault.expected)


def test_many_fasteners_need_a_map(tmp_path: Path) -> None:
    start = HEAD.index("    places:")
    bare = HEAD[:start] + "    source: invented\n"
    assert told(tmp_path, bare).found == "4 fasteners without a map"
    two = bare.replace("count: 4", "count: 2")
    sheet, faults, _ = read(tmp_path, two)
    assert faults == ()
    assert sheet is not None
    assert not sheet.assembly.joints["head"].mapped


LASH = """
lash:
  method: shim
  intake opens: 20 deg before top
  intake closes: 52 deg after bottom
  exhaust opens: 54 deg before bottom
  exhaust closes: 18 deg after top
  source: invented
"""

BAD_LASH = [
    ("method: shim", "method: shims", "'shims'"),
    ("  exhaust closes: 18 deg after top\n", "", "nothing"),
    ("20 deg before top", "20 deg before bottom", "'20 deg before bottom'"),
    ("20 deg before top", "20 deg", "'20 deg'"),
    ("  source: invented", "  cold:\n    intake: 0.20 to 0.25 mm\n  source: invented",
     "'0.20 to 0.25 mm'"),
    ("  source: invented", "  positions: 2 firing\n  source: invented", "'2 firing'"),
    ("  source: invented", "  firing angles: 0, 360\n  source: invented", "'0, 360'"),
    ("  source: invented", "  hot:\n    exhaust: at most 0.2 mm\n  source: invented",
     "'at most 0.2 mm'"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "found"), BAD_LASH)
def test_lash_that_cannot_be(tmp_path: Path, old: str, new: str, found: str) -> None:
    assert old in LASH
    assert told(tmp_path, LASH.replace(old, new)).found == found


STEP = """
assembly:
  - step: fit-crankcase
    checks:
      turning torque: at most 3 N·m
      crankshaft runout: from the limits
      looks right: seen
    source: invented
first start:
  oil: 1 l
  checks:
    oil pressure: at least 1.5 bar
  source: invented
"""

BAD_STEPS = [
    ("at most 3 N·m", "about right", "'about right'"),
    ("crankshaft runout: from the limits", "end play: from the limits",
     "'from the limits' for 'end play'"),
    ("crankshaft runout: from the limits", "crankshaft runout: at most 0.03 mm",
     "'at most 0.03 mm' for a characteristic the program knows"),
    ("looks right", "looks/right", "'looks/right'"),
    ("    source: invented\nfirst", "    joint: crankcase\n    source: invented\nfirst",
     "'crankcase'"),
    ("at least 1.5 bar", "1.5 to", "'1.5 to'"),
    ("    source: invented\nfirst", "first", "no source"),
]  # fmt: skip


def test_steps_are_read(tmp_path: Path) -> None:
    sheet, faults, _ = read(tmp_path, STEP)
    assert faults == ()
    assert sheet is not None
    (step,) = sheet.assembly.steps
    kinds = [(check.name, check.dimension) for check in step.checks]
    assert kinds == [("turning torque", "torque"), ("crankshaft runout", "length"),
                     ("looks right", "seen")]  # fmt: skip
    assert sheet.assembly.first_start is not None
    (pressure,) = sheet.assembly.first_start.checks
    assert pressure.bounds is not None
    assert (pressure.dimension, pressure.bounds.low) == ("pressure", Fraction("0.15"))


@pytest.mark.parametrize(("old", "new", "found"), BAD_STEPS)
def test_steps_that_cannot_be(tmp_path: Path, old: str, new: str, found: str) -> None:
    assert old in STEP
    assert told(tmp_path, STEP.replace(old, new)).found == found

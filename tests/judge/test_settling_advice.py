"""What a finding says would settle it, and what it says its readings rest on."""

from __future__ import annotations

import math
import shutil
from fractions import Fraction
from pathlib import Path

import pytest

import sparkout
from sparkout.cli.main import run
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.fits.forms import Instance
from sparkout.judge.checks import Check
from sparkout.judge.finding import Verdict, judge_all
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.measure.gauges.kinds import GaugeKind
from sparkout.measure.gauges.records import Certificate, Gauge
from sparkout.measure.gauges.register import Register
from sparkout.measure.gauges.sources import expired, thumb_component, unknown_component
from sparkout.sheet.model import Bounds, Limit

SIZE = "main journal diameter"
KEY = Key("main journal 1", SIZE)


def gauge(name, u, kind=GaugeKind.OUTSIDE_MICROMETER, **more):
    return Gauge(
        name, kind, Fraction(0), Certificate("", None, Fraction(u) * 2), called=str(kind), **more
    )


GAUGES = Register(
    (
        gauge("OM-1", "0.004"),
        gauge("OM-9", "0.0005"),
        gauge("FG-1", "0.0015", GaugeKind.FEELER),
        gauge("BG-9", "0.0001", GaugeKind.DIAL_BORE_GAUGE),
    )
)


def found(
    value,
    *parts,
    low=None,
    high=None,
    gauges=GAUGES,
    key=KEY,
    terms=None,
    sizes=None,
    rule="guarded by risk",
    top=(),
):
    estimate = Estimate(Fraction(value), tuple(parts))
    ends = [None if end is None else Fraction(end) for end in (low, high)]
    limit = Limit(key.characteristic, key.characteristic, service=Bounds(*ends, ""))
    known = sizes or {key: Dimension(key, estimate, estimate.with_components(*top))}
    check = Check(Instance(key.characteristic, key.feature, terms or ((Fraction(1), key),)), limit)
    return judge_all((check,), known, gauges=gauges, rule=rule)[0]


def repeat(u, at="main journal 1 diameter, front [ab]"):
    return Component(f"repeatability, {at}", u, Shape.STUDENT, 29.0)


def test_a_better_gauge_of_the_kind_is_named():
    finding = found("74.953", Component("OM-1 calibration", 0.004), low="74.950")
    assert finding.verdict is Verdict.NOT_PROVEN
    assert finding.settle.startswith("Read it again with OM-9: that settles it ")


def test_a_gauge_of_another_kind_is_not_proposed():
    finding = found("74.9499", Component("OM-9 calibration", 0.0005), low="74.950")
    assert "BG-9" not in finding.settle
    assert finding.settle == (
        "No gauge of this shop is likely to settle it, so near the limit is it. Borrow a better "
        "gauge than OM-9, or take it as out: that is the safe side."
    )


def test_more_readings_where_the_hand_is_the_doubt():
    finding = found("74.953", repeat(0.004), Component("OM-9 calibration", 0.0002), low="74.950")
    assert "times more at the same place" in finding.settle


def test_a_place_nobody_named_cannot_be_repeated():
    finding = found(
        "74.953", repeat(0.004, "main journal 1 diameter [ab]"), low="74.950", gauges=Register()
    )
    assert "times more" not in finding.settle


def test_heat_is_waited_for():
    finding = found(
        "74.953", Component("temperature of the bench", 0.004, Shape.RECTANGULAR), low="74.950"
    )
    assert finding.settle.startswith("Let part and gauge lie side by side overnight")


def test_the_blade_of_the_limit():
    key = Key("deck", "deck flatness")
    blades = Component("blades, deck", 0.01 / math.sqrt(3), Shape.RECTANGULAR)
    finding = found("0.05", blades, Component("FG-1 calibration", 0.0015), high="0.05", key=key)
    assert finding.settle == (
        "Try a blade of 0.05 mm, the limit itself: whether it goes settles it."
    )


def test_an_assumed_mate_is_measured():
    """Clearance 80.000 − journal ± 0.01 from the sheet: the journal is what is not known."""
    housing, journal = Key("main housing 1", "main housing diameter"), KEY
    key = Key("main journal 1", "main oil clearance")
    sizes = {
        housing: Dimension(
            housing, *[Estimate(Fraction("80.05"), (Component("BG-9 calibration", 0.0001),))] * 2
        ),
        journal: Dimension(
            journal,
            *[
                Estimate(
                    Fraction(80), (Component("journal by the sheet", 0.006, Shape.RECTANGULAR),)
                )
            ]
            * 2,
            How.ASSUMED,
        ),
    }
    terms = ((Fraction(1), housing), (Fraction(-1), journal))
    finding = found("0", low="0.045", key=key, terms=terms, sizes=sizes)
    assert finding.verdict is Verdict.NOT_PROVEN
    assert finding.settle.startswith("Measure main journal 1 diameter with OM-")


@pytest.mark.parametrize("rule", ["guarded by risk", "prove conformity", "simple acceptance"])
def test_nothing_known_proves_nothing_by_any_rule(rule):
    unknown = unknown_component("no gauge named, and the shop's file says nothing for it", "x")
    for value in ("74.99", "70", "80"):
        finding = found(value, unknown, low="74.950", rule=rule)
        assert finding.verdict is Verdict.NOT_PROVEN
    assert "no gauge named" in finding.reason
    assert "nothing is proven by it" in finding.reason
    assert "1000" not in finding.reason
    assert finding.settle.startswith("Name the gauge it was read with")


def test_a_rule_of_thumb_is_said_where_it_decides():
    thumb = thumb_component(Fraction("0.05"), "± 0.05 mm for length", "no gauge named", "x")
    within = found("75.10", thumb, low="74.950")
    assert within.verdict is Verdict.WITHIN
    assert within.reason.endswith(
        "; no gauge named: taken as good to ± 0.05 mm for length, a rule of thumb."
    )
    near = found("74.97", thumb, low="74.950")
    assert near.verdict is Verdict.NOT_PROVEN
    assert near.settle.startswith("Name the gauge")


def test_an_expired_certificate_stands_in_the_reason():
    late = expired((Component("OM-1 calibration", 0.001),), "OM-1", "2026-05-31")
    assert (
        "; the certificate of OM-1 expired on 2026-05-31."
        in found("75", *late, low="74.950").reason
    )


def test_a_gap_with_no_known_top():
    """0.12 passes: more than 0.10 for sure, and nobody knows whether less than 0.15."""
    key = Key("deck", "deck flatness")
    fg, top = Component("FG-1 calibration", 0.0015), unknown_component("no blade was tried", "x")
    assert found("0.12", fg, high="0.10", key=key, top=(top,)).verdict is Verdict.OUT
    open_up = found("0.12", fg, high="0.15", key=key, top=(top,))
    assert open_up.verdict is Verdict.NOT_PROVEN
    assert open_up.settle.startswith("Try the next blade that does not go")
    assert found("0.12", fg, low="0.10", key=key, top=(top,)).verdict is Verdict.WITHIN


def test_each_of_a_group_gets_its_own_advice(tmp_path, capsys):
    """Three journals in doubt for two reasons: what to do is said of each."""
    demos = Path(sparkout.__file__).parent / "demos"
    for source in (demos / "workboat_four" / "engine.yaml", demos / "shop.yaml"):
        shutil.copy(source, tmp_path)
    for number, gauge in ((1, ["--gauge", "OM-4"]), (2, [])):
        words = [f"main journal {number}", SIZE, "74.953", "--level", "front", *gauge]
        assert run(["record", str(tmp_path), *words, "--by", "t", "--device", "b"]) == 0
    capsys.readouterr()
    run(["check", str(tmp_path)])
    said = " ".join(capsys.readouterr().out.split())
    assert "1: Read it again with OM-" in said
    assert "2: Name the gauge it was read with" in said

"""Readings by the register: components, shared errors, what is refused and what is marked."""

import math
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.faults import Place
from sparkout.measure.estimate import Component, Shape
from sparkout.measure.gauges.components import (
    BenchReading,
    calibration_component,
    gap_estimate,
    reading_components,
    reading_estimate,
    resolution_uncertainty,
)
from sparkout.measure.gauges.kinds import KINDS, GaugeKind, facts_of
from sparkout.measure.gauges.records import Certificate, Gauge, Master, Repeatability
from sparkout.measure.gauges.register import Register, ShopDefault, standing, take_reading
from sparkout.measure.gauges.shares import shares, what_to_improve
from sparkout.measure.temperature import Expansion, Temperature

F = Fraction
TODAY = date(2026, 3, 2)
STEEL = Expansion("steel", F("11.5e-6"), F("1e-6"))
IRON = Expansion("grey iron", F("10.5e-6"), F("1e-6"))
PAPER = Certificate("C-17", date(2025, 9, 1), F("0.002"), until=date(2026, 9, 1))
STUDY = Repeatability(F("0.0008"), 24)
BORE_GAUGE = Gauge("BG-1", GaugeKind.DIAL_BORE_GAUGE, F("0.001"), PAPER, None, STUDY, STEEL)
MICROMETER = Gauge("OM-2", GaugeKind.OUTSIDE_MICROMETER, F("0.001"), None, F("0.003"), STUDY, STEEL)
RING = Master("RM-86", F("86.0004"), Certificate("C-3", date(2025, 1, 7), F("0.001")), None, STEEL)
REGISTER = Register((BORE_GAUGE, MICROMETER), (RING,))


def by_source(parts):
    return {part.source: part for part in parts}


def test_components_of_a_bore_gauge_set_in_a_ring():
    parts = by_source(reading_components(BORE_GAUGE, BenchReading("bore 2 top", F("86.012")), RING))
    assert set(parts) == {
        "BG-1 calibration",
        "resolution, bore 2 top",
        "repeatability, bore 2 top",
        "RM-86 calibration",
        "resolution, zero of BG-1 on RM-86",
        "repeatability, zero of BG-1 on RM-86",
    }
    assert parts["BG-1 calibration"] == Component("BG-1 calibration", 0.001)
    assert parts["RM-86 calibration"] == Component("RM-86 calibration", 0.0005)
    resolution = parts["resolution, bore 2 top"]
    # GUM F.2.2.1: step/√12
    assert (resolution.u, resolution.shape) == (pytest.approx(0.00028868, abs=1e-8), "rectangular")
    repeat = parts["repeatability, bore 2 top"]
    assert (repeat.u, repeat.shape, repeat.dof) == (0.0008, Shape.STUDENT, 24.0)


def test_errors_of_gauge_master_and_zero_cancel_between_two_bores():
    first, second = (
        reading_estimate(BORE_GAUGE, BenchReading(name, F(size), setting="morning"), RING)
        for name, size in (("bore 1 top", "86.010"), ("bore 2 top", "86.016"))
    )
    difference = second - first
    assert float(difference.value) == pytest.approx(0.006)
    # by hand: only resolution and repeatability of the two readings are left
    expected = math.sqrt(2 * (0.001**2 / 12 + 0.0008**2))
    assert difference.u == pytest.approx(expected, rel=1e-12)
    assert first.u > difference.u / math.sqrt(2)


def test_another_zero_setting_has_an_error_of_its_own():
    morning, evening = (
        reading_components(BORE_GAUGE, BenchReading("bore 1", F(86), setting=when), RING)
        for when in ("morning", "evening")
    )
    zeros = {p.source for p in (*morning, *evening) if "zero of" in p.source}
    assert len(zeros) == 4


def test_the_mean_of_readings_is_not_better_resolved():
    one, four = (
        by_source(reading_components(MICROMETER, BenchReading("rod 1", F(56), times=n)))
        for n in (1, 4)
    )
    assert four["repeatability, rod 1"].u == pytest.approx(one["repeatability, rod 1"].u / 2)
    assert four["resolution, rod 1"].u == one["resolution, rod 1"].u
    assert four["OM-2 calibration"] == one["OM-2 calibration"]


def test_without_certificate_the_permissible_error_is_rectangular():
    part = calibration_component("OM-2", None, F("0.003"))
    assert (part.u, part.shape) == (pytest.approx(0.003 / 3**0.5), Shape.RECTANGULAR)


def test_a_certificate_with_degrees_of_freedom_gives_student():
    paper = Certificate("C-9", TODAY, F("0.0042"), k=F("2.1"), dof=20.0)
    part = calibration_component("OM-3", paper, None)
    assert (part.u, part.shape, part.dof) == (pytest.approx(0.002), Shape.STUDENT, 20.0)
    with pytest.raises(ValueError, match="OM-3 has neither certificate nor"):
        calibration_component("OM-3", None, None)


def test_a_telescoping_gauge_takes_the_micrometers_errors_too():
    tele = Gauge("TG-1", GaugeKind.TELESCOPING_GAUGE, F(0), None, F("0.01"))
    parts = by_source(
        reading_components(tele, BenchReading("bore 1", F(60)), companions=(MICROMETER,))
    )
    assert {"TG-1 calibration", "OM-2 calibration", "resolution, bore 1, OM-2"} <= set(parts)


def test_a_feeler_gap_lies_anywhere_between_two_blades():
    blades = Gauge("FG-1", GaugeKind.FEELER, F(0), None, F("0.003"))
    edge = Gauge("SE-1", GaugeKind.OTHER, F(0), Certificate("C-4", TODAY, F("0.004")))
    found = gap_estimate(blades, "deck, left diagonal", F("0.05"), F("0.06"), (edge,))
    assert found.value == F("0.055")
    parts = by_source(found.components)
    assert parts["blades, deck, left diagonal"].u == pytest.approx(0.005 / 3**0.5)
    assert parts["FG-1 calibration"].shape is Shape.RECTANGULAR
    assert parts["SE-1 calibration"].u == pytest.approx(0.002)
    with pytest.raises(ValueError, match=r"0\.06 goes and 0\.05 does not"):
        gap_estimate(blades, "deck", F("0.06"), F("0.05"))


def test_temperatures_correct_the_value_and_widen_it():
    block = Temperature(F(32), F(1), "thermometer T-1")
    room = Temperature(F(20), F(1), "thermometer T-1")
    warm = BenchReading("bore 1", F("86.013"), 1, "", IRON, block, room)
    found = reading_estimate(BORE_GAUGE, warm, RING)
    # by hand: 86.013/(1 + 10.5e-6*12)
    assert float(found.value) == pytest.approx(86.013 / (1 + 10.5e-6 * 12), abs=1e-9)
    parts = by_source(found.components)
    # one thermometer: growth of part and ring by its error nearly cancels
    assert parts["thermometer T-1"].u == pytest.approx(86.013e-6 * (11.5 - 10.5) / 3**0.5, rel=1e-6)
    assert abs(parts["expansion of grey iron"].u) == pytest.approx(86.013 * 12e-6 / 3**0.5)
    assert "expansion of steel" not in parts  # at 20 °C the ring's coefficient does not count


def test_readings_by_the_register():
    found = take_reading(
        REGISTER,
        "BG-1",
        GaugeKind.DIAL_BORE_GAUGE,
        BenchReading("bore 1", F("86.012")),
        TODAY,
        master="RM-86",
    )
    assert (found.marks, found.faults) == ((), ())
    assert found.estimate is not None
    assert found.estimate.value == F("86.012")


@pytest.mark.parametrize(
    ("gauge", "master", "message"),
    [
        ("BG-7", "RM-86", "'BG-7', not in the register of gauges"),
        ("BG-1", "RM-9", "'RM-9', not in the register of masters"),
        ("BG-1", "", "BG-1, a dial bore gauge, without a master"),
    ],
)
def test_what_is_not_known_is_refused_and_named(gauge, master, message):
    found = take_reading(
        REGISTER,
        gauge,
        GaugeKind.DIAL_BORE_GAUGE,
        BenchReading("bore 1", F("86.012")),
        TODAY,
        master,
        place=Place("log.jsonl", 4),
    )
    assert found.estimate is None
    assert found.faults[0].found == message
    assert found.faults[0].place.line == 4


def test_an_unregistered_gauge_counts_by_the_shops_own_choice_and_is_marked():
    chosen = ShopDefault(GaugeKind.OUTSIDE_MICROMETER, F("0.010"), "A. Foreman", date(2026, 1, 5))
    found = take_reading(
        Register(defaults=(chosen,)),
        "OM-9",
        GaugeKind.OUTSIDE_MICROMETER,
        BenchReading("rod 1", F(56)),
        TODAY,
    )
    assert found.estimate is not None
    assert found.estimate.components == (
        Component("OM-9 shop default", 0.01 / 3**0.5, Shape.RECTANGULAR),
    )
    assert found.marks == (
        "OM-9 is not in the register: taken at this shop's default for a kind of gauge,"
        " outside micrometer, ± 0.01, chosen by A. Foreman on 2026-01-05.",
    )
    # the default of one kind says nothing about another
    other = take_reading(
        Register(defaults=(chosen,)),
        "DM-9",
        GaugeKind.DEPTH_MICROMETER,
        BenchReading("deck", F(5)),
        TODAY,
    )
    assert other.estimate is None


def test_a_default_never_hides_that_no_temperature_was_corrected():
    chosen = ShopDefault(GaugeKind.OUTSIDE_MICROMETER, F("0.010"), "A. Foreman", date(2026, 1, 5))
    warm = Temperature(F(30), F(1), "thermometer T-1")
    reading = BenchReading("rod 1", F(56), 1, "", IRON, warm, warm)
    found = take_reading(
        Register(defaults=(chosen,)), "OM-9", GaugeKind.OUTSIDE_MICROMETER, reading, TODAY
    )
    assert found.marks[0].endswith("No correction to 20 °C was made.")


def test_an_expired_gauge_warns_and_does_not_release():
    late = date(2026, 9, 2)
    reading = BenchReading("bore 1", F("86.012"))
    arguments = (REGISTER, "BG-1", GaugeKind.DIAL_BORE_GAUGE, reading, late, "RM-86")
    found = take_reading(*arguments)
    assert found.estimate is not None
    assert found.marks == ("BG-1, certificate C-17 expired on 2026-09-01.",)
    assert not found.faults[0].stops
    refused = take_reading(*arguments, release=True)
    assert refused.estimate is None
    assert refused.faults[0].stops
    assert standing(BORE_GAUGE, date(2026, 9, 1), True, Place()) == ()


def test_a_dropped_gauge_is_never_used():
    dropped = Gauge(
        "OM-5", GaugeKind.OUTSIDE_MICROMETER, F("0.001"), None, F("0.003"), held="dropped"
    )
    found = take_reading(
        Register((dropped,)),
        "OM-5",
        GaugeKind.OUTSIDE_MICROMETER,
        BenchReading("rod 1", F(56)),
        TODAY,
    )
    assert found.estimate is None
    assert found.faults[0].found == "OM-5, held back: dropped"


def test_a_companion_is_looked_up_and_checked():
    tele = Gauge("TG-1", GaugeKind.TELESCOPING_GAUGE, F(0), None, F("0.01"))
    register = Register((tele, MICROMETER))
    reading = BenchReading("bore 1", F(60))
    kind = GaugeKind.TELESCOPING_GAUGE
    good = take_reading(register, "TG-1", kind, reading, TODAY, companions=("OM-2",))
    assert good.estimate is not None
    bad = take_reading(register, "TG-1", kind, reading, TODAY, companions=("OM-8",))
    assert bad.faults[0].found == "'OM-8', not in the register of gauges"


def test_a_correction_needs_the_gauges_material():
    plain = Gauge("OM-6", GaugeKind.OUTSIDE_MICROMETER, F("0.001"), None, F("0.003"))
    warm = Temperature(F(30), F(1), "thermometer T-1")
    reading = BenchReading("rod 1", F(56), 1, "", IRON, warm, warm)
    found = take_reading(Register((plain,)), "OM-6", GaugeKind.OUTSIDE_MICROMETER, reading, TODAY)
    assert found.estimate is None
    assert found.faults[0].found == "OM-6, of unknown expansion"
    with pytest.raises(ValueError, match="no expansion coefficient known of OM-6"):
        reading_estimate(plain, reading)


def test_the_largest_share_names_what_to_improve():
    parts = reading_components(BORE_GAUGE, BenchReading("bore 2 top", F("86.012")), RING)
    found = shares(parts)
    assert found[0].source == "BG-1 calibration"
    assert math.fsum(row.share for row in found) == pytest.approx(1.0)
    assert [row.share for row in found] == sorted((row.share for row in found), reverse=True)
    assert what_to_improve(parts) == (
        "BG-1 calibration makes 37 % of the doubt: use a gauge with a better certificate than BG-1."
    )


@pytest.mark.parametrize(
    ("source", "advice"),
    [
        ("blades, ring gap 1", "try the blades in between"),
        ("resolution, rod 1", "use a gauge with a finer step"),
        ("repeatability, rod 1", "read it several times and take the mean"),
        ("OM-9 shop default", "register OM-9, so that its own figures count"),
        ("expansion of grey iron", "let the part take 20 °C, then the coefficient does not count"),
    ],
)
def test_advice_by_kind_of_source(source, advice):
    sentence = f"{source} makes 100 % of the doubt: {advice}."
    assert what_to_improve((Component(source, 0.1),)) == sentence


def test_no_doubt_needs_no_advice():
    assert what_to_improve(()) == "Nothing is uncertain here."
    assert what_to_improve((Component("wear", 1.0),)) == "wear makes 100 % of the doubt."


def test_every_kind_has_its_facts():
    assert [row.kind for row in KINDS] == list(GaugeKind)
    assert facts_of(GaugeKind.BRIDGE_INDICATOR).needs_master
    assert not facts_of(GaugeKind.OUTSIDE_MICROMETER).needs_master


def test_pooled_repeatability():
    # by hand: (0.001²·2 + 0.002²·3)/5
    found = Repeatability.pooled(((F("0.001"), 3), (F("0.002"), 4)))
    assert (float(found.s), found.dof) == (pytest.approx(math.sqrt(14e-6 / 5)), 5)
    with pytest.raises(ValueError, match="two readings or more"):
        Repeatability.pooled(((F("0.001"), 1),))


@pytest.mark.parametrize(
    ("made", "message"),
    [
        (
            lambda: Gauge("OM-1", GaugeKind.OUTSIDE_MICROMETER, F("0.001")),
            "OM-1: has neither certificate nor maximum permissible error",
        ),
        (lambda: Master("R", F(0), None, F("0.1")), "master R: size 0.0 is not above zero"),
        (lambda: Master("R", F(1)), "master R: has neither certificate"),
        (
            lambda: Certificate("C", TODAY, F("0.1"), until=date(2026, 1, 1)),
            "expires 2026-01-01, before it was made on 2026-03-02",
        ),
        (lambda: Certificate("C", TODAY, F("-0.1")), r"U -0\.1 is negative"),
        (lambda: Certificate("C", TODAY, F(1), k=F(9)), r"coverage factor 9\.0"),
        (lambda: Certificate("C", TODAY, F(1), dof=0.0), r"degrees of freedom 0\.0 are below 1"),
        (lambda: Repeatability(F(-1), 3), r"standard deviation -1\.0 is negative"),
        (lambda: Repeatability(F(1), 0), "0 degrees of freedom"),
        (lambda: BenchReading("rod 1", F(56), times=0), "mean of 0 readings"),
        (lambda: BenchReading("rod 1", F(56), part=IRON), "needs the part's material and both"),
        (lambda: resolution_uncertainty(-1.0), r"resolution -1\.0 is negative"),
        (lambda: Register((MICROMETER, MICROMETER)), "'OM-2' stands twice"),
        (
            lambda: ShopDefault(GaugeKind.FEELER, F("0.1"), " ", TODAY),
            "default for feeler: nobody is named who chose it",
        ),
        (
            lambda: ShopDefault(GaugeKind.FEELER, F(0), "A. Foreman", TODAY),
            r"largest error 0\.0 is not above 0",
        ),
    ],
)
def test_records_that_make_no_sense_are_refused(made, message):
    with pytest.raises(ValueError, match=message):
        made()


@given(st.fractions(0, "0.01"), st.integers(1, 20), st.fractions(1, 200))
def test_more_readings_never_raise_the_uncertainty(s, times, value):
    gauge = Gauge("G", GaugeKind.CALLIPER, F("0.01"), None, F("0.02"), Repeatability(s, 9))
    one, many = (reading_estimate(gauge, BenchReading("r", value, times=n)).u for n in (1, times))
    assert many <= one * (1 + 1e-12)

"""Every reading carries what its gauge, its master and its bench leave uncertain.

Figures: arithmetic on the certificates of the small shop in engine_makers, by the rules of JCGM
100:2008 (GUM) named beside each.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from engine_makers import BENCH, FRAME, RULES, SHOP, by_source, good_shop, read, shop_of

from sparkout.engine.readings import Typed, read_typed
from sparkout.faults import Place
from sparkout.measure.gauges.sources import marks_of, proves_nothing


def test_certificate_step_and_repeats_of_the_gauge(tmp_path):
    """GUM 4.3.3: U/k; F.2.2.1: step/√12; 4.2: the study's standard deviation."""
    shop = good_shop(tmp_path)
    parts = by_source(read(shop, "56.002", gauge="OM-2").estimate)
    assert parts["OM-2 calibration"] == pytest.approx(0.003 / 3)
    resolution = next(u for name, u in parts.items() if name.startswith("resolution"))
    assert resolution == pytest.approx(0.001 / math.sqrt(12))
    assert len(parts) == 2


def test_a_bore_gauge_is_set_by_the_ring_nearest_in_size(tmp_path):
    shop = good_shop(tmp_path)
    parts = by_source(read(shop, "100.010", gauge="BG-1").estimate)
    assert parts["RM-100 calibration"] == pytest.approx(0.001 / 2)
    assert "RM-70 calibration" not in parts
    assert any(name.startswith("repeatability, zero of BG-1 on RM-100") for name in parts)
    assert "RM-70 calibration" in by_source(read(shop, "70.1", gauge="BG-1").estimate)


def test_the_master_cancels_in_taper_and_stays_in_a_clearance(tmp_path):
    """One zero for one feature on one day (GUM 5.2.2, note 1); another gauge shares nothing."""
    shop = good_shop(tmp_path)
    top = read(shop, "100.030", level="top", gauge="BG-1", entry="a1").estimate
    low = read(shop, "100.010", level="bottom", gauge="BG-1", entry="a2").estimate
    taper = by_source(top - low)
    assert not any("calibration" in name or "zero" in name for name in taper)
    # two repeats of 0.0008 and two steps
    expected = math.sqrt(2 * 0.0008**2 + 2 * (0.001 / math.sqrt(12)) ** 2)
    assert (top - low).u == pytest.approx(expected)
    piston = read(shop, "99.900", "piston skirt diameter", "piston 1", gauge="OM-2").estimate
    clearance = by_source(low - piston)
    assert {"BG-1 calibration", "RM-100 calibration", "OM-2 calibration"} <= set(clearance)
    other_day = read(
        shop, "100.010", level="bottom", gauge="BG-1", entry="a3", at="2026-06-16T08:00:00.000Z"
    ).estimate
    assert any("zero" in name for name in by_source(top - other_day))


def test_a_deviation_counts_from_the_certified_size(tmp_path):
    """+0.012 on a ring of 99.998 is 100.010; `plus is smaller` turns the dial round."""
    shop = good_shop(tmp_path)
    assert read(shop, "+0.012", gauge="BG-1", master="RM-100").estimate.value == Fraction("100.010")
    smaller = read(shop, "+0.012", gauge="BG-1", master="RM-100", polarity="plus is smaller")
    assert smaller.estimate.value == Fraction("99.986")
    by_size = read(shop, "+0.012", gauge="BG-1", master="100 mm")
    assert by_size.estimate.value == Fraction("100.010")
    assert "RM-100 calibration" in by_source(by_size.estimate)


def test_a_master_nobody_registered_is_not_perfect(tmp_path):
    unknown = read(good_shop(tmp_path), "+0.012", gauge="BG-1", master="85 mm").estimate
    assert proves_nothing(unknown.components)
    by_rule = read(good_shop(tmp_path, SHOP + RULES), "+0.012", gauge="BG-1", master="85 mm")
    assert by_rule.estimate.value == Fraction("85.012")
    assert not proves_nothing(by_rule.estimate.components)
    assert any("85 mm" in mark and "rule of thumb" in mark
               for mark in marks_of(by_rule.estimate.components))  # fmt: skip


def test_gauges_a_reading_goes_through_add_theirs(tmp_path):
    """GUM 4.3.7: largest error a without certificate, a/√3; the micrometer's beside it."""
    parts = by_source(read(good_shop(tmp_path), "70.010", gauge="TG-1").estimate)
    assert parts["TG-1 calibration"] == pytest.approx(0.003 / math.sqrt(3))
    assert parts["OM-2 calibration"] == pytest.approx(0.001)


@pytest.mark.parametrize("gauge", ["", "NOBODY"])
def test_a_reading_without_a_gauge_is_never_perfect(tmp_path, gauge):
    silent = read(good_shop(tmp_path), "100.010", gauge=gauge).estimate
    assert proves_nothing(silent.components)
    shop = good_shop(tmp_path, SHOP + RULES)
    thumb = read(shop, "100.010", gauge=gauge).estimate
    # ± 0.02 mm for a bore diameter: 0.02/√3
    assert thumb.u == pytest.approx(0.02 / math.sqrt(3))
    assert "± 0.020 mm for bore diameter, a rule of thumb" in marks_of(thumb.components)[0]
    other = read(shop, "0.10", "piston protrusion", gauge=gauge).estimate
    assert other.u == pytest.approx(0.05 / math.sqrt(3))


def test_an_expired_certificate_is_said(tmp_path):
    shop = good_shop(tmp_path)
    late = read(shop, "56.002", gauge="OLD")
    assert marks_of(late.estimate.components) == ("the certificate of OLD expired on 2026-05-31",)
    assert late.blamed == ""
    in_time = read(shop, "56.002", gauge="OLD", at="2026-05-31T08:00:00.000Z")
    assert marks_of(in_time.estimate.components) == ()


def test_it_does_not_release_a_part_and_a_held_gauge_decides_nothing(tmp_path):
    shop = good_shop(tmp_path)
    assert "expired" in read(shop, "56.002", gauge="OLD", phase="left").blamed
    assert "dropped" in read(shop, "56.002", gauge="DROPPED").blamed


def test_blades_are_an_interval(tmp_path):
    """GUM 4.3.7: anything between them equally likely, half-width/√3."""
    gap = read(good_shop(tmp_path), "0.06 passes, 0.08 does not", "deck flatness", "deck",
               gauge="FG-1").estimate  # fmt: skip
    assert gap.value == Fraction("0.07")
    blades = next(u for name, u in by_source(gap).items() if name.startswith("blades"))
    assert blades == pytest.approx(0.01 / math.sqrt(3))


def test_a_blade_that_passes_alone_says_nothing_of_more(tmp_path):
    gap = read(good_shop(tmp_path), "0.06 passes", "deck flatness", "deck", gauge="FG-1")
    assert not proves_nothing(gap.estimate.components)
    assert proves_nothing(gap.highest.components)
    assert "no blade was tried" in marks_of(gap.highest.components)[0]


def test_heat_of_part_and_gauge(tmp_path):
    """ISO 1, L20 = L·(1 + α_g(t_g − 20))/(1 + α_p(t_p − 20)): an aluminium piston at 30 °C and a
    steel micrometer at 20 °C, α 23.6 × 10⁻⁶ or so: 100 mm reads 0.024 mm too large."""
    shop = good_shop(tmp_path, SHOP + BENCH)
    warm = read(shop, "100.000", "piston skirt diameter", "piston 1", gauge="OM-2",
                part_temperature="30 °C", gauge_temperature="20 °C",
                material="aluminium").estimate  # fmt: skip
    assert -0.0245 < float(warm.value) - 100 < -0.018
    names = by_source(warm)
    assert "expansion of aluminium" in names
    # iron and steel at one temperature: nearly nothing to correct
    same = read(shop, "100.000", gauge="OM-2", part_temperature="30 °C",
                gauge_temperature="30 °C", material="steel").estimate  # fmt: skip
    assert float(same.value) == pytest.approx(100, abs=1e-9)


def test_a_part_of_unknown_metal_grew_by_anything_up_to_the_most(tmp_path):
    warm = read(good_shop(tmp_path, SHOP + BENCH), "100.000", gauge="OM-2",
                part_temperature="30 °C", gauge_temperature="20 °C").estimate  # fmt: skip
    assert warm.value == 100
    heat = next(u for name, u in by_source(warm).items() if "made of" in name)
    assert heat == pytest.approx(100 * 24e-6 * 10.5 / math.sqrt(3))
    assert any("rule of thumb" in mark for mark in marks_of(warm.components))


def test_the_bench_counts_where_no_temperature_was_read(tmp_path):
    """Apart by ± 1 °C on 100 mm of steel: 100·11.5e-6·1/√3 = 0.00066 mm."""
    plain = read(good_shop(tmp_path), "100.000", gauge="OM-2").estimate
    benched = read(good_shop(tmp_path, SHOP + BENCH), "100.000", gauge="OM-2").estimate
    assert benched.u**2 - plain.u**2 == pytest.approx((100 * 11.5e-6 / math.sqrt(3)) ** 2, rel=1e-3)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("certificate: U 0.003 mm, k = 3", "note: none", "neither certificate nor largest error"),
        ("until: 2026-05-31", "until: 31.5.2026", "a day as year-month-day"),
        ("until: 2027-01-09", "until: 2025-01-09", "before it was made on 2026-01-10"),
        ("set by: RM-70, RM-100", "set by: RM-71", "Did you mean 'RM-70'?"),
        ("0.0008 mm from 30", "0.0008 mm", "how many readings it is from"),
        ("0.0008 mm from 30", "0.0008 mm from 1", "from 2 readings or more"),
        ("U 0.003 mm, k = 3", "U 0.003 mm, k = 30", "with k from 1 to 5"),
        ("size: 70.002 mm", "size: 0 mm", "a size above zero"),
        ("beside: OM-2", "beside: OM-9", "one of the shop's gauges"),
        ("gauge: TG-1", "gauge: OM-2", "'OM-2' twice"),
    ],
)
def test_faults_of_the_register_say_what_would_be_right(tmp_path, old, new, said):
    _, faults = shop_of(tmp_path, SHOP.replace(old, new, 1))
    assert any(said in str(fault) for fault in faults), [str(fault) for fault in faults]


def test_temperatures_that_cannot_be_are_faults(tmp_path):
    _, faults = shop_of(tmp_path, SHOP + BENCH.replace("20 ± 2 °C", "200 ± 2 °C"))
    assert "a temperature of a bench" in str(faults[0])
    row = Typed("bore 1", "bore diameter", "100", Place(), gauge="OM-2", part_temperature="900 °C")
    spot, faults = read_typed(row, FRAME, good_shop(tmp_path))
    assert spot is None
    assert "-50 to 300 °C" in str(faults[0])


def test_a_rule_for_something_unknown_is_a_fault(tmp_path):
    _, faults = shop_of(tmp_path, SHOP + "without gauge:\n  bore diametre: ± 0.02 mm\n")
    assert "Did you mean 'bore diameter'?" in str(faults[0])
    _, faults = shop_of(tmp_path, SHOP + "without gauge:\n  length: 0 mm\n")
    assert "above zero" in str(faults[0])

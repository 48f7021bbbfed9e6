"""Every declared fit against its formula of the trade, written out again by hand.

The formulas are common practice (any machinist's handbook of bearing, liner and piston fits);
what is checked is that sizes enter with their sign, diametral or radial, and worst with worst.
"""

from __future__ import annotations

import math
from fractions import Fraction
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.cli.jobargs import demo_folder
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.fits import ALL_FITS, FITS, evaluate, instances
from sparkout.fits.ratio import ratio_instances, ratio_of
from sparkout.load import files_in, load_job
from sparkout.measure.estimate import Component, Estimate
from sparkout.report.data import finding_data

F = Fraction


def _job(name):
    job, faults = load_job(files_in(demo_folder(name)))
    assert job is not None, faults
    return job


JOBS = {name: _job(name) for name in ("workboat_four", "road_eight", "farm_single")}


def fit_of(job, name, feature):
    found = instances(FITS[name], JOBS[job].frame, JOBS[job].sheet.geometry)
    return next(item for item in found if item.feature == feature)


def known(pairs):
    """Sizes at hand: by feature and characteristic, one value or a range."""
    made = {}
    for (feature, characteristic), value in pairs.items():
        low, high = value if isinstance(value, tuple) else (value, value)
        key = Key(feature, characteristic)
        made[key] = Dimension(key, Estimate(F(low)), Estimate(F(high)), How.MEASURED)
    return MappingProxyType(made)


CASES = [
    # (engine, fit, feature, sizes, value by hand)
    (
        "workboat_four", "main oil clearance", "main journal 1",
        {
            ("main housing 1", "main housing diameter"): "80.010",
            ("main shell 1", "main shell wall"): "2.480",
            ("main journal 1", "main journal diameter"): "74.970",
        },
        "0.080",  # diametral: 80.010 − 2 · 2.480 − 74.970
    ),
    (
        "road_eight", "rod oil clearance", "rod 6",
        {
            ("rod 6", "rod housing diameter"): "60.010",
            ("rod shell 6", "rod shell wall"): "1.500",
            # cylinders of a vee share pins in pairs
            (f"rod journal {JOBS['road_eight'].frame.pin_of(6)}", "rod journal diameter"): "56.960",
        },
        "0.050",
    ),
    (
        "workboat_four", "end play", "crankshaft",
        {
            ("crankshaft", "thrust gap"): "5.150",
            ("crankshaft", "thrust washer thickness"): "2.490",
        },
        "0.170",  # both washers
    ),
    (
        "workboat_four", "piston clearance", "bore 3",
        {
            ("bore 3", "bore diameter"): "100.015",
            ("piston 3", "piston skirt diameter"): "99.900",
        },
        "0.115",
    ),
    (
        "workboat_four", "liner fit", "liner 2",
        {
            ("liner 2", "liner outside diameter"): "104.040",
            ("parent bore 2", "parent bore diameter"): "104.000",
        },
        "0.040",  # + is interference
    ),
    (
        "workboat_four", "liner protrusion", "liner 2",
        {
            ("liner 2", "liner flange thickness"): "10.060",
            ("liner 2", "liner shim thickness"): "0.080",
            ("ledge 2", "ledge depth"): "10.100",
        },
        "0.040",  # + stands above the deck
    ),
    (
        "workboat_four", "piston protrusion", "bore 4",
        {
            ("rod journal 4", "throw"): "58.000",
            ("rod 4", "rod length"): "205.000",
            ("piston 4", "compression height"): "65.000",
            ("deck at bore 4", "deck height"): "327.500",
        },
        "0.500",  # throw + rod + compression height − deck height
    ),
    (
        "workboat_four", "piston to head", "bore 4",
        {
            ("rod journal 4", "throw"): "58.000",
            ("rod 4", "rod length"): "205.000",
            ("piston 4", "compression height"): "65.000",
            ("deck at bore 4", "deck height"): "327.500",
            ("head gasket", "gasket thickness"): "1.300",
        },
        "0.800",  # gasket − protrusion
    ),
    (
        "farm_single", "squish", "bore 1",
        {
            ("rod journal 1", "throw"): "30.000",
            ("rod 1", "rod length"): "110.000",
            ("piston 1", "compression height"): "35.000",
            ("deck at bore 1", "deck height"): "175.300",
            ("head gasket", "gasket thickness"): "0.600",
            ("base gasket", "base gasket thickness"): "0.400",
        },
        "1.300",  # gasket + base gasket + deck − stack
    ),
    (
        "workboat_four", "small end clearance", "rod 2",
        {
            ("rod 2", "rod bush diameter"): "36.040",
            ("piston 2", "piston pin diameter"): "36.000",
        },
        "0.040",
    ),
    (
        "workboat_four", "stem clearance", "guide I3",
        {
            ("guide I3", "guide diameter"): "9.040",
            ("valve I3", "stem diameter"): "8.980",
        },
        "0.060",
    ),
    (
        "workboat_four", "injector projection", "injector 1",
        {
            ("injector 1", "injector reach"): "4.500",
            ("injector 1", "injector washer thickness"): "2.000",
        },
        "2.500",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("job", "name", "feature", "at_hand", "by_hand"), CASES)
def test_value_by_hand(job, name, feature, at_hand, by_hand):
    low, high = evaluate(fit_of(job, name, feature), known(at_hand))
    assert low.value == high.value == F(by_hand)


@pytest.mark.parametrize(("job", "name", "feature", "at_hand", "by_hand"), CASES)
def test_worst_meets_worst(job, name, feature, at_hand, by_hand):
    """A range of 0.010 on each size opens the fit by that times the sizes' weights, both ways."""
    wide = {key: (F(value) - F("0.005"), F(value) + F("0.005")) for key, value in at_hand.items()}
    fit = fit_of(job, name, feature)
    low, high = evaluate(fit, known(wide))
    reach = sum(abs(weight) for weight, _ in fit.terms) * F("0.005")
    assert low.value == F(by_hand) - reach
    assert high.value == F(by_hand) + reach


@pytest.mark.parametrize(("job", "name", "feature", "at_hand", "by_hand"), CASES)
def test_a_size_that_is_not_there_is_not_guessed(job, name, feature, at_hand, by_hand):
    for left_out in at_hand:
        rest = {key: value for key, value in at_hand.items() if key != left_out}
        assert evaluate(fit_of(job, name, feature), known(rest)) is None


def test_an_error_two_sizes_share_cancels_where_one_is_taken_from_the_other():
    """One setting ring for guide and stem: its error is in both and falls out of the clearance."""
    ring = (Component("ring R9", 0.004),)
    made = {}
    for feature, name, value in (
        ("guide I3", "guide diameter", "9.040"),
        ("valve I3", "stem diameter", "8.980"),
    ):
        size = Estimate(F(value), ring)
        made[Key(feature, name)] = Dimension(Key(feature, name), size, size, How.MEASURED)
    low, _ = evaluate(fit_of("workboat_four", "stem clearance", "guide I3"), made)
    assert low.u == 0.0


def test_a_shell_wall_counts_twice_in_the_uncertainty_too():
    made = dict(known(CASES[0][3]))
    key = Key("main shell 1", "main shell wall")
    wall = Estimate(F("2.480"), (Component("micrometer", 0.002),))
    made[key] = Dimension(key, wall, wall, How.MEASURED)
    low, _ = evaluate(fit_of("workboat_four", "main oil clearance", "main journal 1"), made)
    assert low.u == pytest.approx(0.004)


def test_each_fit_has_one_name_and_is_used_by_one_of_the_engines():
    assert len({fit.name for fit in ALL_FITS}) == len(ALL_FITS)
    used = {
        fit.name
        for fit in ALL_FITS
        for job in JOBS.values()
        if instances(fit, job.frame, job.sheet.geometry)
    }
    assert used == {fit.name for fit in ALL_FITS}


class TestByChange:
    """What a cut moves, as weights: common practice, each a line of algebra in its docstring."""

    def test_cam_timing(self):
        """Centres 1 mm nearer turn the cam by 1/r rad, the crank by twice that: 360/π/r degrees."""
        fit = fit_of("farm_single", "cam timing error", "camshaft")
        radius = JOBS["farm_single"].sheet.geometry["cam sprocket pitch radius"]
        for weight, _ in fit.terms:
            assert float(weight) == pytest.approx(math.degrees(2 / float(radius)), rel=1e-7)
            assert weight > 0  # less height: the cam is late

    def test_bucket_lash_closes_by_the_rise_of_the_tip_and_the_thicker_shim(self):
        fit = next(item for item in instances(FITS["valve lash"], JOBS["farm_single"].frame, {}))
        assert {key.characteristic: weight for weight, key in fit.terms} == {
            "tip height": -1,
            "lash shim": -1,
        }

    def test_hydraulic_preload_takes_the_tip_over_the_rocker_ratio(self):
        job = JOBS["road_eight"]
        fit = instances(FITS["hydraulic preload"], job.frame, job.sheet.geometry)[0]
        weights = {key.characteristic: weight for weight, key in fit.terms}
        assert weights["tip height"] == 1 / job.sheet.geometry["rocker ratio"]
        assert weights["gasket thickness"] == -1  # lifts the rocker off
        assert weights["head height"] == -1

    def test_valve_to_piston_loses_what_the_piston_gains(self):
        fit = fit_of("workboat_four", "valve to piston", "valve I1")
        weights = {key.characteristic: weight for weight, key in fit.terms}
        assert weights == {
            "valve recession": 1,
            "gasket thickness": 1,
            "throw": -1,
            "rod length": -1,
            "compression height": -1,
            "deck height": 1,
        }


@given(
    bore=st.fractions(95, 105, max_denominator=1000),
    throw=st.fractions(57, 59, max_denominator=1000),
    gasket=st.fractions(1, 2, max_denominator=1000),
)
def test_compression_ratio_is_swept_and_clearance_over_clearance(bore, throw, gasket):
    """1 + V_s/V_c: Heywood, Internal Combustion Engine Fundamentals (1988), eq. 2.1."""
    job = JOBS["workboat_four"]
    geometry = {
        "bore": bore,
        "stroke": F(116),
        "bowl volume": F(45_000),
        "head chamber volume": F(2_000),
    }
    feature = job.frame.feature("bore 1")
    fit = ratio_instances(job.frame, feature, geometry, F(15), None)[0]
    stack = {"rod length": F(205), "compression height": F(65), "deck height": F(328)}
    at_hand = known(
        {
            ("bore 1", "bore diameter"): bore,
            ("head gasket", "gasket thickness"): gasket,
            ("rod journal 1", "throw"): throw,
            ("rod 1", "rod length"): stack["rod length"],
            ("piston 1", "compression height"): stack["compression height"],
            ("deck at bore 1", "deck height"): stack["deck height"],
        }
    )
    low, high = ratio_of(fit, at_hand)
    area = math.pi / 4 * float(bore) ** 2
    gap = float(gasket + stack["deck height"] - throw - 205 - 65)
    clearance = 47_000 + area * gap
    assert low == pytest.approx(1 + area * 116 / clearance, rel=1e-6)
    assert high == pytest.approx(low, rel=1e-12)
    held = evaluate(fit, at_hand)
    assert held is not None
    assert (held[0].value >= 0) == (low >= 15) or abs(low - 15) < 1e-6


def test_a_ratio_is_told_as_a_ratio_and_each_finding_as_its_end_of_the_limit():
    told = [
        finding_data(finding)
        for finding in JOBS["farm_single"].findings
        if finding.check.limit.characteristic == "compression ratio"
    ]
    assert [(one["bounds"]["low"], one["bounds"]["high"]) for one in told] == [
        (9.0, None),
        (None, 9.6),
    ]
    for one in told:
        assert one["low"]["value"] == pytest.approx(8.98, abs=0.01)  # as read on the bench

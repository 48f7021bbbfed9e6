"""Gauge studies: analysis of variance against statsmodels, bounds by simulation, faults."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm

from sparkout.faults import Place
from sparkout.measure.estimate import Shape
from sparkout.measure.studies.anova import crossed_anova
from sparkout.measure.studies.gauge_study import gauge_components, gauge_study, reading_component
from sparkout.measure.studies.intervals import (
    Term,
    large_sample_interval,
    satterthwaite_dof,
    satterthwaite_interval,
)
from sparkout.measure.studies.planning import repeats_needed, sd_bounds, study_power
from sparkout.measure.studies.table import StudyReading, StudyTable, arrange


def make(values: np.ndarray) -> StudyTable:
    readings = [
        StudyReading(f"part {i}", f"person {j}", float(v))
        for (i, j, _), v in np.ndenumerate(values)
    ]
    table, faults = arrange(readings)
    assert faults == ()
    assert table is not None
    return table


def simulated(
    rng: np.random.Generator, p: int, q: int, m: int, sds: tuple[float, ...]
) -> np.ndarray:
    part, person, both, repeat = sds
    return (
        part * rng.normal(size=(p, 1, 1))
        + person * rng.normal(size=(1, q, 1))
        + both * rng.normal(size=(p, q, 1))
        + repeat * rng.normal(size=(p, q, m))
    )


@pytest.mark.parametrize(("p", "q", "m"), [(10, 3, 2), (5, 2, 3), (4, 6, 2)])
def test_sums_of_squares_against_statsmodels(p: int, q: int, m: int) -> None:
    values = 99.98 + 0.01 * simulated(np.random.default_rng(p), p, q, m, (2.0, 0.5, 0.3, 1.0))
    frame = pd.DataFrame(
        [{"part": i, "person": j, "v": v} for (i, j, _), v in np.ndenumerate(values)]
    )
    oracle = anova_lm(ols("v ~ C(part) * C(person)", frame).fit())
    anova = crossed_anova(make(values), pooling=False)
    assert [r.sum_of_squares for r in anova.full] == pytest.approx(list(oracle["sum_sq"]), rel=1e-8)
    assert [r.dof for r in anova.full] == list(oracle["df"])
    both, repeat = anova.full[2], anova.full[3]
    assert both.f == pytest.approx(both.mean_square / repeat.mean_square)
    assert both.p == pytest.approx(float(oracle["PR(>F)"].iloc[2]), rel=1e-7)
    part = anova.full[0]
    assert part.p == pytest.approx(
        stats.f.sf(part.mean_square / both.mean_square, part.dof, both.dof), rel=1e-9
    )
    pooled = crossed_anova(make(values), pooling=True)
    simple = anova_lm(ols("v ~ C(part) + C(person)", frame).fit())
    assert [r.sum_of_squares for r in pooled.used] == pytest.approx(
        list(simple["sum_sq"]), rel=1e-8
    )
    assert [r.p for r in pooled.used[:2]] == pytest.approx(list(simple["PR(>F)"][:2]), rel=1e-7)


def test_pooling_follows_the_level_or_the_word() -> None:
    values = simulated(np.random.default_rng(4), 6, 3, 2, (2.0, 0.5, 0.0, 1.0))
    p_value = crossed_anova(make(values)).full[2].p
    assert p_value is not None
    assert crossed_anova(make(values), p_value - 1e-9).pooled
    assert not crossed_anova(make(values), p_value + 1e-9).pooled
    assert crossed_anova(make(values), True).pooled
    assert not crossed_anova(make(values), False).pooled
    with pytest.raises(ValueError, match=r"got 1\.5"):
        crossed_anova(make(values), 1.5)


@settings(max_examples=40, deadline=None)
@given(
    st.integers(2, 6),
    st.integers(1, 4),
    st.integers(2, 4),
    st.integers(0, 10_000),
    st.sampled_from([True, False]),
)
def test_components_add_up_and_shares_are_of_the_total(
    p: int, q: int, m: int, seed: int, pool: bool
) -> None:
    values = simulated(np.random.default_rng(seed), p, q, m, (1.0, 0.3, 0.2, 0.5))
    study = gauge_study(make(values), tolerance=12.0, pooling=pool)
    pieces = [study.repeatability, study.person, study.interaction, study.part]
    total = sum(c.variance for c in pieces if c is not None)
    assert study.total.variance == pytest.approx(total)
    assert study.gauge.variance + study.part.variance == pytest.approx(total)
    assert all(c.variance >= 0.0 for c in pieces if c is not None)
    assert study.gauge.of_tolerance == pytest.approx(100 * 6 * study.gauge.sd / 12)
    assert study.gauge.of_variance + study.part.of_variance == pytest.approx(100)
    assert (study.person is None) == (q == 1)
    for c in pieces:
        if c is not None:
            assert c.clipped <= (c.variance == 0.0)
            assert 0.0 <= c.low <= c.high
    assert any("below zero" in n for n in study.notes) == any(c.clipped for c in pieces if c)


def test_shifting_a_study_to_engine_sizes_changes_nothing() -> None:
    values = 0.001 * simulated(np.random.default_rng(8), 5, 3, 2, (2.0, 0.5, 0.3, 1.0))
    small, large = gauge_study(make(values)), gauge_study(make(values + 101.6))
    assert large.gauge.sd == pytest.approx(small.gauge.sd, rel=1e-9)


@pytest.mark.parametrize(
    "terms",
    [
        # reproducibility with interaction, 8 parts, 3 people, 2 repeats: a difference
        ((1 / 16, 9.0, 2), (-1 / 16 + 1 / 2, 2.0, 14), (-1 / 2, 1.0, 24)),
        # part scatter: two terms
        ((1 / 6, 30.0, 7), (-1 / 6, 2.0, 14)),
        # gauge: all positive
        ((1 / 16, 9.0, 2), (7 / 16, 2.0, 14), (1 / 2, 1.0, 24)),
    ],
)
def test_large_sample_bounds_hold_their_confidence(
    terms: tuple[tuple[float, float, int], ...],
) -> None:
    # Mean squares drawn as expected value * chi-square / dof; the truth is the sum of expectations.
    # The interval is to hold 90 %; 600 draws have a standard error of 1.2 %.
    rng = np.random.default_rng(17)
    truth = sum(w * e for w, e, _ in terms)
    draws = [e * rng.chisquare(d, 600) / d for _, e, d in terms]
    inside = 0
    for k in range(600):
        sample = [Term(w, float(x[k]), d) for (w, _, d), x in zip(terms, draws, strict=True)]
        low, high = large_sample_interval(sample, 0.90)
        inside += low <= truth <= high
    assert 0.90 - 0.025 < inside / 600 < 0.995


def test_bounds_of_a_plain_sum_are_those_of_graybill_and_wang() -> None:
    # value -+ sqrt(sum (factor * w * M)^2) with G = 1 - dof/chi2(0.975), H = dof/chi2(0.025) - 1.
    terms = [Term(0.0625, 9.0, 2), Term(0.4375, 2.0, 14), Term(0.5, 1.0, 24)]
    g = [1 - t.dof / stats.chi2.ppf(0.975, t.dof) for t in terms]
    h = [t.dof / stats.chi2.ppf(0.025, t.dof) - 1 for t in terms]
    size = [t.weight * t.mean_square for t in terms]
    low = sum(size) - math.sqrt(sum((f * s) ** 2 for f, s in zip(g, size, strict=True)))
    high = sum(size) + math.sqrt(sum((f * s) ** 2 for f, s in zip(h, size, strict=True)))
    assert large_sample_interval(terms, 0.95) == pytest.approx((low, high), rel=1e-8)


@given(st.floats(0.01, 100.0), st.integers(1, 60))
@settings(max_examples=30, deadline=None)
def test_one_mean_square_gets_its_exact_interval(square: float, dof: int) -> None:
    exact = (
        dof * square / stats.chi2.ppf(0.975, dof),
        dof * square / stats.chi2.ppf(0.025, dof),
    )
    term = [Term(1.0, square, dof)]
    assert large_sample_interval(term, 0.95) == pytest.approx(exact, rel=1e-7)
    assert satterthwaite_interval(term, 0.95) == pytest.approx(exact, rel=1e-7)
    assert satterthwaite_dof(term) == pytest.approx(dof)


def test_a_negative_component_has_no_degrees_of_freedom() -> None:
    terms = [Term(0.1, 1.0, 2), Term(-0.1, 2.0, 14)]
    assert satterthwaite_dof(terms) == 0.0
    assert satterthwaite_interval(terms, 0.95) == (0.0, 0.0)
    low, high = large_sample_interval(terms, 0.95)
    assert low == 0.0
    assert high > 0.0


def test_budget_components_carry_their_degrees_of_freedom() -> None:
    values = simulated(np.random.default_rng(3), 10, 3, 3, (3.0, 1.5, 0.0, 1.0))
    study = gauge_study(make(values), pooling=True)
    repeat, between = gauge_components(study, "mike")
    assert (repeat.shape, repeat.dof) == (Shape.STUDENT, 60 + 18)
    assert study.reproducibility is not None
    assert between.u == study.reproducibility.sd
    whole = reading_component(study, "mike")
    assert whole is not None
    assert whole.u == pytest.approx(math.hypot(repeat.u, between.u))
    assert whole.dof > between.dof


def test_a_gauge_too_coarse_to_scatter_is_said() -> None:
    table = make(np.repeat(np.arange(4.0).reshape(4, 1, 1), 3, axis=1).repeat(2, axis=2))
    study = gauge_study(table)
    assert study.categories is None
    assert any("too coarse" in note for note in study.notes)
    assert reading_component(study, "x") is None
    assert gauge_components(study, "x") == ()


def test_one_person_says_that_people_were_not_studied() -> None:
    values = simulated(np.random.default_rng(3), 6, 1, 3, (3.0, 0.0, 0.0, 1.0))
    study = gauge_study(make(values))
    assert study.reproducibility is None
    assert any("not studied" in note for note in study.notes)
    between = values.mean(axis=2).var(ddof=1)
    within = values.var(axis=2, ddof=1).mean()
    assert study.part.variance == pytest.approx(between - within / 3)
    assert len(gauge_components(study, "x")) == 1


def test_an_uneven_study_names_every_cell() -> None:
    readings = [
        StudyReading(part, person, 1.0 + 0.1 * k)
        for part in ("A", "B", "C")
        for person in ("J", "K")
        for k in range(2)
    ]
    del readings[0]
    readings.append(StudyReading("C", "K", 1.3))
    table, faults = arrange(readings, Place("study.csv"))
    assert table is None
    assert [f.found for f in faults] == [
        "1 reading(s) of part A by J",
        "3 reading(s) of part C by K",
    ]
    assert str(faults[0]).startswith(
        "study.csv: found 1 reading(s) of part A by J; expected 2, as often as every other"
    )


def test_studies_too_small_or_not_numbers() -> None:
    one = [StudyReading("A", "J", 1.0), StudyReading("A", "J", 1.1)]
    assert "two parts or more" in arrange(one)[1][0].expected
    single = [StudyReading("A", "J", 1.0), StudyReading("B", "J", 1.1)]
    assert "two or more: without repeats" in arrange(single)[1][0].expected
    bad = [*one, StudyReading("B", "J", math.nan), StudyReading("B", "J", 1.0)]
    table, faults = arrange(bad)
    assert table is None
    assert faults[0].found == "nan for part B by J (reading 3)"
    assert arrange([])[0] is None
    with pytest.raises(ValueError, match=r"got -1\.0"):
        gauge_study(make(np.ones((2, 2, 2))), tolerance=-1.0)


def test_study_power() -> None:
    low, high = sd_bounds(9, 0.95)
    assert low == pytest.approx(math.sqrt(9 / stats.chi2.ppf(0.975, 9)), rel=1e-8)
    assert high == pytest.approx(math.sqrt(9 / stats.chi2.ppf(0.025, 9)), rel=1e-8)
    assert study_power(5, 1, 3).person_high == math.inf
    m = repeats_needed(5, 2, 1.3)
    assert study_power(5, 2, m).repeatability_high <= 1.3
    assert study_power(5, 2, m - 1).repeatability_high > 1.3
    for call in (
        lambda: study_power(1, 2, 2),
        lambda: study_power(3, 0, 2),
        lambda: study_power(3, 2, 1),
        lambda: repeats_needed(3, 2, 1.0),
        lambda: sd_bounds(0, 0.9),
        lambda: sd_bounds(3, 1.0),
    ):
        with pytest.raises(ValueError, match="got"):
            call()

"""Gauge repeatability and reproducibility against published numbers."""

from __future__ import annotations

import pytest

from sparkout.measure.studies.gauge_study import GaugeStudy, gauge_components, gauge_study
from sparkout.measure.studies.table import StudyReading, arrange

# Three people, three parts, three repeats: data set ss.data.rr (column time1) of the R package
# SixSigma, read in a stored copy together with the results of its own test; the analysis of
# variance was recomputed with a general-purpose library.
DATA = {
    ("1", "p1"): (1.27, 0.90, 1.09),
    ("1", "p2"): (1.12, 1.09, 1.15),
    ("1", "p3"): (1.73, 1.28, 1.77),
    ("2", "p1"): (1.34, 1.32, 1.27),
    ("2", "p2"): (1.24, 1.00, 1.14),
    ("2", "p3"): (1.64, 1.65, 1.77),
    ("3", "p1"): (1.09, 1.26, 1.09),
    ("3", "p2"): (1.48, 1.15, 1.15),
    ("3", "p3"): (1.64, 1.44, 1.68),
}
READINGS = [StudyReading(part, person, v) for (person, part), vs in DATA.items() for v in vs]


@pytest.fixture
def study() -> GaugeStudy:
    table, faults = arrange(READINGS)
    assert faults == ()
    assert table is not None
    return gauge_study(table)


def test_analysis_of_variance(study: GaugeStudy) -> None:
    squares = [row.sum_of_squares for row in study.anova.full]
    assert squares == pytest.approx([1.2007, 0.0529, 0.0834, 0.3854], abs=5e-5)
    ratios = [row.f for row in study.anova.full[:3]]
    assert ratios == pytest.approx([28.797, 1.270, 0.974], abs=5e-4)
    assert study.anova.pooled


def test_variance_components(study: GaugeStudy) -> None:
    assert study.person is not None
    assert study.interaction is None
    found = [study.repeatability, study.person, study.gauge, study.part, study.total]
    assert [c.variance for c in found] == pytest.approx(
        [0.0213, 0.0006, 0.0219, 0.0643, 0.0862], abs=5e-5
    )
    assert study.gauge.of_study == pytest.approx(50.38, abs=0.005)
    assert study.part.of_study == pytest.approx(86.38, abs=0.005)
    assert study.categories == 2


def test_interaction_kept_gives_the_textbook_solution() -> None:
    # Expected mean squares of the two-factor random model (Montgomery, Design and Analysis of
    # Experiments): arithmetic on the published mean squares above.
    table, _ = arrange(READINGS)
    assert table is not None
    study = gauge_study(table, pooling=False)
    part, person, both, repeat = 1.2007 / 2, 0.0529 / 2, 0.0834 / 4, 0.3854 / 18
    assert study.interaction is not None
    assert study.person is not None
    assert both < repeat
    assert study.interaction.clipped
    assert study.interaction.variance == 0.0
    assert study.person.variance == pytest.approx((person - both) / 9, abs=2e-5)
    assert study.part.variance == pytest.approx((part - both) / 9, abs=2e-5)
    assert any("came out below zero" in note for note in study.notes)


def test_components_for_a_budget(study: GaugeStudy) -> None:
    repeat, between = gauge_components(study, "bore gauge 2")
    assert repeat.source == "repeatability of bore gauge 2"
    assert repeat.u == pytest.approx(0.0213**0.5, abs=2e-4)
    assert repeat.dof == 22
    assert between.u == pytest.approx(0.000571**0.5, abs=2e-4)
    assert study.reproducibility is not None
    assert 0 < study.reproducibility.dof < 1  # three people, drowned in repeatability
    assert between.dof == 1.0

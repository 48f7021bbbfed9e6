"""Gauge repeatability and reproducibility: what share of what a gauge shows is the gauge itself."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.measure.estimate import Component, Shape
from sparkout.measure.studies.anova import Anova, Pooling, crossed_anova
from sparkout.measure.studies.intervals import Term, large_sample_interval, satterthwaite_dof
from sparkout.measure.studies.table import StudyTable

__all__ = ["GaugeStudy", "VarianceShare", "gauge_components", "gauge_study", "reading_component"]


@dataclass(frozen=True, slots=True)
class VarianceShare:
    """One component of the scatter.

    variance: never below zero; clipped: the estimate came out below zero and was set to zero.
    sd: its square root; dof: Satterthwaite's, 0 where clipped. low, high: confidence bounds of the
    variance. of_variance, of_study, of_tolerance: per cent of the total variance, of the total
    standard deviation, of the tolerance by six standard deviations (None where no tolerance).
    """

    name: str
    variance: float
    clipped: bool
    sd: float
    dof: float
    low: float
    high: float
    of_variance: float
    of_study: float
    of_tolerance: float | None


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """Result of a gauge study.

    reproducibility, person and interaction are None where one person alone took part; interaction
    is None where it was pooled. categories: groups of parts the gauge tells apart, whole number,
    None where it shows no scatter of its own. notes: what has to be said along with the numbers.
    """

    anova: Anova
    repeatability: VarianceShare
    person: VarianceShare | None
    interaction: VarianceShare | None
    reproducibility: VarianceShare | None
    gauge: VarianceShare
    part: VarianceShare
    total: VarianceShare
    categories: int | None
    confidence: float
    notes: tuple[str, ...]


_Weights = dict[str, float]


def _weights(anova: Anova) -> dict[str, _Weights]:
    """Each component as weights on the mean squares (expected mean squares solved)."""
    p, q, m = anova.parts, anova.people, anova.repeats
    if q == 1:
        return {"repeatability": {"repeat": 1.0}, "part": {"part": 1.0 / m, "repeat": -1.0 / m}}
    # What people and parts are held against: the interaction, or the repeats that took it in.
    below = "repeat" if anova.pooled else "part × person"
    weights: dict[str, _Weights] = {"repeatability": {"repeat": 1.0}}
    if not anova.pooled:
        weights["interaction"] = {below: 1.0 / m, "repeat": -1.0 / m}
    weights["person"] = {"person": 1.0 / (p * m), below: -1.0 / (p * m)}
    weights["part"] = {"part": 1.0 / (q * m), below: -1.0 / (q * m)}
    return weights


def _terms(anova: Anova, *components: _Weights) -> tuple[Term, ...]:
    """A sum of components as weighted mean squares. Clipped components keep their weights here:
    bounds and degrees of freedom belong to the estimate as it came out."""
    total: _Weights = {}
    for weights in components:
        for source, weight in weights.items():
            total[source] = total.get(source, 0.0) + weight
    return tuple(
        Term(total[row.source], row.mean_square, row.dof)
        for row in anova.used
        if total.get(row.source, 0.0) != 0.0
    )


_WORDS = {
    "person": "scatter between people",
    "interaction": "scatter of people from part to part",
    "part": "scatter between parts",
}


def _notes(anova: Anova, clipped: list[str], categories: int | None) -> tuple[str, ...]:
    notes = [
        f"The {_WORDS[name]} came out below zero and counts as zero: it is too small to be seen "
        "behind the scatter of repeats in a study of this size."
        for name in clipped
    ]
    if anova.pooled:
        notes.append("The interaction of part and person was pooled into repeatability.")
    if anova.people == 1:
        notes.append("One person alone took part: reproducibility between people was not studied.")
    elif anova.people == 2:
        notes.append("Two people give one degree of freedom between people: almost nothing.")
    if categories is not None and categories < 5:
        notes.append(
            f"The gauge tells {categories} group(s) of these parts apart; five or more is common "
            "practice. The parts studied may be too much alike for the question."
        )
    if categories is None:
        notes.append("No scatter of the gauge was seen: its step may be too coarse to show it.")
    return tuple(notes)


def gauge_study(
    table: StudyTable,
    tolerance: float | None = None,
    pooling: Pooling = 0.25,
    confidence: float = 0.95,
) -> GaugeStudy:
    """Repeatability, reproducibility and part scatter of a crossed gauge study.

    Variances from expected mean squares, those below zero set to zero; gauge = repeatability +
    reproducibility; study share = sd / total sd; categories = floor(sqrt 2 * part sd / gauge sd).

    table: the balanced readings [any].
    tolerance: upper minus lower limit [as readings], above zero, or None where there is none.
    pooling: True pools the interaction, False never; a number pools when p exceeds it [-], 0 to 1.
    confidence: confidence of the bounds of each variance [-], between 0 and 1.
    Returns the study's result [-].
    Holds for parts and people drawn at random from those the gauge will meet; normal errors.
    Source: Burdick, Borror, Montgomery, Design and Analysis of Gauge R&R Studies (2005).
    Raises ValueError naming the value when an argument is out of range.

    >>> from sparkout.measure.studies.table import StudyReading, arrange
    >>> v = {("1", "a"): (2.0, 2.1), ("2", "a"): (3.0, 3.2)}
    >>> r = [StudyReading(p, q, x) for (p, q), xs in v.items() for x in xs]
    >>> round(gauge_study(arrange(r)[0]).repeatability.sd, 4)
    0.1118
    """
    if tolerance is not None and not tolerance > 0.0:
        raise ValueError(f"the tolerance is upper minus lower limit, above zero, got {tolerance!r}")
    anova = crossed_anova(table, pooling)
    weights = _weights(anova)
    terms = {name: _terms(anova, w) for name, w in weights.items()}
    raw = {name: math.fsum(t.weight * t.mean_square for t in ts) for name, ts in terms.items()}
    clipped = [name for name, value in raw.items() if value < 0.0]
    variance = {name: max(0.0, value) for name, value in raw.items()}
    people = [name for name in ("person", "interaction") if name in terms]
    total = math.fsum(variance.values())

    def share(name: str, value: float, ts: tuple[Term, ...]) -> VarianceShare:
        low, high = large_sample_interval(ts, confidence)
        sd = math.sqrt(value)
        return VarianceShare(
            name=name,
            variance=value,
            clipped=name in clipped,
            sd=sd,
            dof=satterthwaite_dof(ts),
            low=low,
            high=high,
            of_variance=100.0 * value / total if total else 0.0,
            of_study=100.0 * math.sqrt(value / total) if total else 0.0,
            of_tolerance=None if tolerance is None else 100.0 * 6.0 * sd / tolerance,
        )

    between = math.fsum(variance[name] for name in people)
    between_weights = [weights[name] for name in people]
    gauge = share(
        "gauge",
        variance["repeatability"] + between,
        _terms(anova, weights["repeatability"], *between_weights),
    )
    part = share("part", variance["part"], terms["part"])
    categories = int(math.sqrt(2.0) * part.sd / gauge.sd) if gauge.sd else None
    return GaugeStudy(
        anova=anova,
        repeatability=share("repeatability", variance["repeatability"], terms["repeatability"]),
        person=share("person", variance["person"], terms["person"]) if people else None,
        interaction=(
            share("interaction", variance["interaction"], terms["interaction"])
            if "interaction" in terms
            else None
        ),
        reproducibility=(
            share("reproducibility", between, _terms(anova, *between_weights)) if people else None
        ),
        gauge=gauge,
        part=part,
        total=share("total", total, _terms(anova, *weights.values())),
        categories=categories,
        confidence=confidence,
        notes=_notes(anova, clipped, categories),
    )


def gauge_components(study: GaugeStudy, gauge: str) -> tuple[Component, ...]:
    """Repeatability and reproducibility of a gauge as components of a reading's uncertainty.

    u = the component's standard deviation, with its degrees of freedom; one reading by anyone.

    study: result of the gauge study [-].
    gauge: name of the gauge, under which the components appear in a budget [-].
    Returns repeatability, and reproducibility where it was studied and seen [as readings].
    Holds for a single reading, taken as the study's were; more repeats shrink the first only. Few
    people leave reproducibility with hardly a degree of freedom, given as one, the least a budget
    takes; reading_component is then the better choice.
    Source: JCGM 100:2008 (GUM), 4.2; ISO 22514-7, which takes these from a study in the same way.

    >>> from sparkout.measure.studies.table import StudyReading, arrange
    >>> v = {("1", "a"): (2.0, 2.1), ("2", "a"): (3.0, 3.2)}
    >>> r = [StudyReading(p, q, x) for (p, q), xs in v.items() for x in xs]
    >>> gauge_components(gauge_study(arrange(r)[0]), "micrometer 3")[0].source
    'repeatability of micrometer 3'
    """
    parts = [("repeatability", study.repeatability)]
    if study.reproducibility is not None:
        parts.append(("reproducibility", study.reproducibility))
    return tuple(
        Component(f"{name} of {gauge}", share.sd, Shape.STUDENT, max(1.0, share.dof))
        for name, share in parts
        if share.sd > 0.0
    )


def reading_component(study: GaugeStudy, gauge: str) -> Component | None:
    """Repeatability and reproducibility together, as one component of a single reading.

    u = gauge sd, dof by Satterthwaite: the sum has many more degrees of freedom than the scatter
    between two or three people alone.

    study: result of the gauge study [-].
    gauge: name of the gauge, under which the component appears in a budget [-].
    Returns the component [as readings], or None where the study saw no scatter at all.
    Holds for a single reading by any of the people such as those in the study.
    Source: JCGM 100:2008 (GUM), 4.2 and G.4.

    >>> from sparkout.measure.studies.table import StudyReading, arrange
    >>> v = {("1", "a"): (2.0, 2.1), ("2", "a"): (3.0, 3.2)}
    >>> r = [StudyReading(p, q, x) for (p, q), xs in v.items() for x in xs]
    >>> round(reading_component(gauge_study(arrange(r)[0]), "micrometer 3").u, 4)
    0.1118
    """
    if not study.gauge.sd > 0.0:
        return None
    return Component(
        f"reading of {gauge}", study.gauge.sd, Shape.STUDENT, max(1.0, study.gauge.dof)
    )

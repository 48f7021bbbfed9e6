"""A gauge study in a terminal: the table, where the scatter comes from, the verdict."""

from __future__ import annotations

import math

from sparkout.drawings.figures import figure
from sparkout.measure.studies.anova import AnovaRow
from sparkout.measure.studies.gauge_study import GaugeStudy, VarianceShare
from sparkout.measure.studies.table import StudyTable
from sparkout.report.measuring.study_words import (
    blind_words,
    reading_words,
    rule_words,
    shop_line,
    verdict_of,
    verdict_words,
)
from sparkout.report.measuring.words import bulleted, count_of, places, size
from sparkout.report.text.layout import heading, table, wrapped

__all__ = ["study_text"]


def study_text(
    name: str, study: GaugeStudy, arranged: StudyTable, tolerance: float | None, unit: str
) -> list[str]:
    parts, people = len(arranged.parts), len(arranged.people)
    counts = [
        count_of(parts, "part"),
        count_of(people, "person", "people"),
        count_of(arranged.repeats, "repeat"),
    ]
    lines = wrapped(f"{name}: {' × '.join(counts)}{f', in {unit}' if unit else ''}")
    lines += [*heading("Analysis of variance"), *_anova(study.anova.full)]
    if study.anova.pooled:
        lines += wrapped(
            "People and parts do not act on one another that could be seen, so their row joins "
            "the repeats:", "  ")  # fmt: skip
        lines += _anova(study.anova.used)
    lines += heading("Where the scatter comes from")
    lines += _shares(study)
    mark = {"good": "✓", "may do": "!", "not good enough": "✕"}[verdict_of(study).word]
    lines += heading("Verdict")
    lines += wrapped(verdict_words(study, tolerance, unit), f"  {mark} ")
    lines += wrapped(rule_words(), "    ")
    if study.categories is not None and study.categories >= 5:
        lines += wrapped(
            f"It tells {count_of(study.categories, 'group')} of these parts apart (five or more is "
            "common practice).", "    ")  # fmt: skip
    lines += wrapped(reading_words(study, unit), "    ")
    line = shop_line(study, unit)
    if line is not None:
        lines += wrapped(f"For this gauge in the shop file: {line}", "    ")
    lines += [text for note in study.notes for text in wrapped(note, "  ! ")]
    lines += [*heading("What this study cannot show"), *bulleted(blind_words(study, arranged))]
    return lines


def _anova(rows: tuple[AnovaRow, ...]) -> list[str]:
    made = [["source", "freedom", "squares", "mean square", "F", "p"]]
    for row in rows:
        f = "" if row.f is None else "∞" if math.isinf(row.f) else f"{row.f:.3f}"
        p = "" if row.p is None else "<0.0001" if row.p < 1e-4 else f"{row.p:.4f}"
        made.append(
            [row.source, str(row.dof), _short(row.sum_of_squares), _short(row.mean_square), f, p]
        )
    return [f"  {line}" for line in table(made, right=(1, 2, 3, 4, 5))]


def _short(value: float) -> str:
    """Five significant digits; a power of ten where the number is very small."""
    if value == 0 or 1e-4 <= abs(value) < 1e6:
        return figure(value, max(0, 4 - math.floor(math.log10(value))) if value else 4)
    return f"{value:.4g}".replace("e-0", "e-")


def _shares(study: GaugeStudy) -> list[str]:
    digits = places(min(s.sd for s in (study.total, study.repeatability) if s.sd > 0) / 10
                    if study.total.sd > 0 else 0.01)  # fmt: skip
    tolerance = study.gauge.of_tolerance is not None
    head = ["", "1 sigma", f"{study.confidence:.0%} interval", "of study"]
    made = [[*head, "of tolerance"] if tolerance else head]
    listed: list[tuple[str, VarianceShare | None]] = [
        ("repeatability", study.repeatability),
        ("reproducibility", study.reproducibility),
        ("  people", study.person if study.interaction is not None else None),
        ("  people by part", study.interaction),
        ("gauge, all of it", study.gauge),
        ("parts", study.part),
        ("all scatter", study.total),
    ]
    for name, share in listed:
        if share is None:
            continue
        row = [
            name,
            size(share.sd, digits),
            f"{_root(share.low, digits)} to {_root(share.high, digits)}",
            f"{share.of_study:.1f} %",
        ]
        if tolerance:
            row.append("" if share.of_tolerance is None else f"{share.of_tolerance:.1f} %")
        made.append(row)
    lines = [f"  {line}" for line in table(made, right=(1, 2, 3, 4))]
    return [*lines, *wrapped("Shares are of standard deviations, so they do not add up to 100 %.",
                             "  ")]  # fmt: skip


def _root(variance: float, digits: int) -> str:
    if math.isinf(variance):
        return "∞"
    return size(math.sqrt(max(0.0, variance)), digits)

"""What a gauge study says in words: its verdict, and what it cannot show."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sparkout.measure.studies.distributions import student_quantile
from sparkout.measure.studies.gauge_study import GaugeStudy, reading_component
from sparkout.measure.studies.planning import repeats_needed, sd_bounds
from sparkout.measure.studies.table import StudyTable
from sparkout.report.measuring.words import count_of, places, size

__all__ = [
    "Verdict",
    "blind_words",
    "expanded",
    "reading_words",
    "rule_words",
    "shop_line",
    "verdict_of",
    "verdict_words",
]

# Shares of a tolerance up to which a gauge is called good, and may do: common practice.
_GOOD, _MAY_DO = 10.0, 30.0
_WITHIN = 1.3  # "known well enough": repeatability to within so many times


@dataclass(frozen=True, slots=True)
class Verdict:
    """word: good, may do or not good enough; share: six sigma of the gauge in per cent of the
    tolerance, or of the study's scatter where there is none."""

    word: str
    share: float
    of_tolerance: bool

    @property
    def fails(self) -> bool:
        return self.of_tolerance and self.share > _MAY_DO


def verdict_of(study: GaugeStudy) -> Verdict:
    """By the shares in common use; a rule of thumb, and said to be one wherever it shows."""
    of_tolerance = study.gauge.of_tolerance
    share = study.gauge.of_study if of_tolerance is None else of_tolerance
    word = "good" if share <= _GOOD else "may do" if share <= _MAY_DO else "not good enough"
    return Verdict(word, share, of_tolerance is not None)


def verdict_words(study: GaugeStudy, tolerance: float | None, unit: str) -> str:
    verdict = verdict_of(study)
    if tolerance is None:
        return (
            f"{verdict.word} for telling these parts apart: the gauge makes {verdict.share:.0f} % "
            "of all the scatter in the study. Give --tolerance to hold it against a limit."
        )
    digits = places(tolerance / 10)
    return (
        f"{verdict.word} for a tolerance of {size(tolerance, digits, unit)}: six sigma of the "
        f"gauge take {verdict.share:.0f} % of it."
    )


def rule_words() -> str:
    return (
        f"Up to {_GOOD:.0f} % is called good, up to {_MAY_DO:.0f} % may do: common practice, a "
        "rule of thumb."
    )


def expanded(study: GaugeStudy) -> float | None:
    """Expanded uncertainty of one reading by anyone, 95 %, from repeats and people alone."""
    part = reading_component(study, "gauge")
    return None if part is None else part.u * student_quantile(0.975, part.dof)


def reading_words(study: GaugeStudy, unit: str) -> str:
    half = expanded(study)
    if half is None:
        return "No scatter was seen: the gauge's step hides it."
    return (
        f"One reading by anyone is good to ±{size(half, places(half), unit)} (95 %), before the "
        "certificate of the gauge, its master and temperature are added."
    )


def shop_line(study: GaugeStudy, unit: str) -> str | None:
    """The line for this gauge in the shop file, None where the unit is not said."""
    sd = study.repeatability.sd
    if not unit or not sd > 0.0:
        return None
    dof = next(row.dof for row in study.anova.used if row.source == "repeat")
    return f"repeatability: {size(sd, places(sd) + 1)} {unit} from {dof + 1}"


def blind_words(study: GaugeStudy, table: StudyTable) -> tuple[str, ...]:
    """What this study cannot show, in sentences."""
    people, parts, repeats = len(table.people), len(table.parts), table.repeats
    words = [
        "A gauge that is wrong by the same amount every time: nobody compared it with a master. "
        "That is what its certificate and the setting ring are for.",
        "Wear, dirt, heat and new hands from one month to the next: all this was read in one go.",
        f"Sizes and shapes other than those of these {parts} parts.",
    ]
    low, high = sd_bounds(study.anova.used[-1].dof, study.confidence)
    more = repeats_needed(parts, people, _WITHIN, study.confidence)
    text = (
        f"Repeatability to better than {low:.2f} to {high:.2f} times the figure above"
        f" ({count_of(parts * people * repeats, 'reading')})."
    )
    if more > repeats:
        text += f" {more} repeats each would bring it within {_WITHIN:g} times."
    words.append(text)
    if people == 1:
        words.append("Differences between people: one person alone read.")
    else:
        low, high = sd_bounds(people - 1, study.confidence)
        upper = f"{high:.0f}" if math.isfinite(high) else "any number of"
        words.append(
            f"Differences between people in general: {people} people leave it open whether the "
            f"true scatter between them is {low:.1f} or {upper} times what was found."
        )
    words.append(
        "Anything, if a person could see the earlier reading while repeating it: repeats must be "
        "blind and in mixed order."
    )
    return tuple(words)

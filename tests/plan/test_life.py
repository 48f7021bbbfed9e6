"""How long what is kept should last: by its own wear, and by published wear of other engines."""

from __future__ import annotations

import csv
import os
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from shipped_jobs import job_of, plan_of

from sparkout.plan.life import kept_lives, read_family
from sparkout.plan.offers import history_of
from sparkout.report.text.life import life_lines, life_text

FOUR, EIGHT = "workboat_four", "road_eight"


@cache
def kept_of(name: str):
    job = job_of(name)
    history = history_of(job.replayed.effective, job.shop)
    return kept_lives(job.checks, plan_of(name).after, history), history


def test_a_rate_is_the_wear_so_far_over_the_hours_run():
    """Main journal 3: new 74.980 to 75.000, so from 74.990; 74.962 after 14,200 h is 0.028 mm;
    0.012 mm are left to 74.950: 0.012 / 0.028 × 14,200 = 6,086 h."""
    kept, history = kept_of(FOUR)
    item = next(
        k for k in kept if k.own.finding.check.name == "main journal 3: main journal diameter"
    )
    assert item.own.left == Fraction("0.012")
    assert history.hours == 14200
    assert item.own.remaining.p50 == pytest.approx(0.012 / 0.028 * 14200, rel=1e-3)
    assert item.own.remaining.p10 < item.own.remaining.p50 < item.own.remaining.p90


def test_only_what_is_used_again_has_a_life():
    """Rod journals are ground and liners new: neither is kept."""
    names = {k.own.finding.check.limit.characteristic for k in kept_of(FOUR)[0]}
    assert "main journal diameter" in names
    assert not names & {"rod journal diameter", "bore diameter"}


def test_without_hours_there_is_no_forecast_and_that_is_said():
    kept, history = kept_of(EIGHT)
    assert history is None
    assert all(item.own.remaining is None for item in kept)
    text = " ".join(" ".join(life_text(kept, history, job_of(EIGHT).words)).split())
    assert "The hours run are not in the log, so there is no forecast" in text
    assert life_lines(kept, history) == []


def test_what_is_taken_for_granted_is_said_beside_the_hours():
    kept, history = kept_of(FOUR)
    lines = life_text(kept, history, job_of(FOUR).words, whole=True)
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).split())
    assert "one such part in ten has reached its limit" in text
    assert "each part has run the engine's 14200 h and goes on being used as before" in text


def published(characteristic: str) -> str:
    """Wear of 32 marine diesel liners, read in a stored copy of the data set that goes with
    Giorgio, Guida and Pulcini, Technometrics 52(2) (2012) 172-187, as a family file."""
    named = os.environ.get("SPARKOUT_REFERENCE_DATA")
    folder = Path(named) if named else Path(__file__).parents[3] / "shared" / "reference-data"
    path = folder / "marine-liner-wear.csv"
    if not path.exists():
        pytest.skip(f"no reference data at {path}; set SPARKOUT_REFERENCE_DATA to their folder")
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    rows = [f"{characteristic},{r['liner']},{r['hours']},{r['wear_mm']}"
            for r in csv.DictReader(lines)]  # fmt: skip
    return "\n".join(["characteristic,unit,hours,wear", *rows])


def test_a_family_that_does_not_wear_steadily_says_so_itself():
    """The published liners wear slower with age, which a steady gamma process does not fit: the
    data say so (test_wear_published has the exponent and its p-value), and the warning shows."""
    family, faults = read_family(published("main journal diameter"), "wear.csv")
    assert not any(fault.stops for fault in faults)
    process = family.processes["main journal diameter"]
    assert process.growth < 1
    assert process.growth_p < 0.05
    job = job_of(FOUR)
    history = history_of(job.replayed.effective, job.shop)
    kept = kept_lives(job.checks, plan_of(FOUR).after, history, family)
    both = [item for item in kept if item.family is not None]
    assert {k.own.finding.check.limit.characteristic for k in both} == {"main journal diameter"}
    text = " ".join(" ".join(life_text(kept, history, job.words)).split())
    assert "by its family" in text
    assert process.warnings
    assert " ".join(process.warnings[0].split()) in text
    # these journals wear far slower than those liners: that is said too
    assert "this part does not wear as they do" in text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "wear.csv:1: found nothing; expected columns characteristic, unit, hours, wear"),
        ("characteristic,unit,hours,wear\n", "found no readings"),
        ("characteristic,unit,hours,wear\nbore,1,100,0.1", "'bore'; expected a characteristic"),
        ("characteristic,unit,hours,wear\nbore diameter,1,x,0.1", "wear.csv:2"),
        ("characteristic,unit,hours,wear\nbore diameter,1,100", "3 cells; expected 4 cells"),
        ("characteristic,unit,hours,wear\nbore diameter,1,0,0.1", "0.0 hours"),
    ],
)  # fmt: skip
def test_a_family_file_that_cannot_be_read_says_where(text, says):
    family, faults = read_family(text, "wear.csv")
    assert family is None
    assert says in "\n".join(map(str, faults))

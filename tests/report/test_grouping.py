"""Findings of one limit as one entry, in the order in which they matter."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from job_samples import shipped

from sparkout.judge.finding import Verdict
from sparkout.report.grouping import (
    by_importance,
    figure,
    grouped,
    label,
    minus,
    over,
    tier,
    told,
    unique,
    what_to_do,
)


def out_of(name: str) -> dict[str, str]:
    """What is told of each limit that is broken."""
    job = shipped(name).job
    groups = grouped(f for f in job.findings if f.verdict is Verdict.OUT)
    return {group.limit.name: told(group, job.words, job.state.sizes) for group in groups}


def test_a_limit_that_several_break_is_one_entry() -> None:
    # The figures are those of the readings: −0.020 …, and 0.030 − (−0.070) = 0.100 below the limit.
    assert out_of("workboat_four")["liner protrusion"] == (
        "liner protrusion: 1 −0.020, 2 −0.070, 3 −0.040, 4 −0.030; outside 0.030 to 0.080 mm, "
        "by up to 0.100 mm"
    )


def test_alike_figures_share_one() -> None:
    text = out_of("road_eight")["seat pit depth"]
    assert text.startswith("seat pit depth: I1, E1, I2, ")
    assert text.endswith("E8 each 0.0100; limit at most 0.0010 in, by up to 0.0090 in")


def test_a_gap_is_said_as_its_blades() -> None:
    # Read as "0.06 passes, 0.08 does not" against 0.05: beyond it by 0.08 − 0.05 at most.
    assert out_of("workboat_four")["deck flatness"] == (
        "deck flatness: between 0.06 and 0.08 (long left); service limit at most 0.05 mm, by up "
        "to 0.03 mm"
    )


def test_the_deciding_end_is_shown_with_its_place() -> None:
    assert out_of("workboat_four")["bore diameter"] == (
        "bore diameter: 2 100.246 (top, thrust), 3 100.221 (top, thrust); service limit at most "
        "100.200 mm, by up to 0.046 mm"
    )
    assert out_of("workboat_four")["rod journal diameter"].startswith(
        "rod journal diameter: 3 64.945 (front, vertical); service limit at least 64.950 mm"
    )


@pytest.mark.parametrize("name", ["workboat_four", "road_eight", "farm_single"])
def test_no_finding_is_lost_or_told_twice(name: str) -> None:
    findings = shipped(name).job.findings
    told_of = Counter(f.check.name for group in grouped(findings) for f in group.findings)
    assert set(told_of.values()) == {1}
    places = {(f.check.instance.feature, f.check.limit.name) for f in findings}
    assert len(told_of) == len(places) == len(unique(findings))


@pytest.mark.parametrize("name", ["workboat_four", "road_eight", "farm_single"])
def test_of_two_sides_of_a_ratio_the_worse_counts(name: str) -> None:
    job = shipped(name).job
    for finding in unique(job.findings):
        if not finding.check.instance.inner:
            continue
        same = [
            f.verdict
            for f in job.findings
            if f.check.instance.feature == finding.check.instance.feature
            and f.check.limit.name == finding.check.limit.name
        ]
        assert len(same) == 2
        assert finding.verdict is Verdict.OUT or Verdict.OUT not in same


def test_cracks_come_first_then_what_most_hangs_on() -> None:
    findings = shipped("workboat_four").job.findings
    groups = by_importance(grouped(f for f in findings if f.verdict is Verdict.OUT))
    assert groups[0].limit.name == "seat crack test"
    tiers = [tier(group) for group in groups[1:]]
    assert tiers == sorted(tiers)
    assert {"liner protrusion", "bore diameter"} <= {g.limit.name for g in groups[1:12]}
    # Within a tier the one farthest beyond, by its own room for wear: protrusion is off by
    # 0.100 of 0.050, the pushrod below by 0.25 of 0.30.
    assert groups[1].limit.name == "liner protrusion"
    assert groups[-1].limit.name == "pushrod runout"


def test_labels_name_the_one_of_its_kind() -> None:
    findings = {f.check.name: f for f in shipped("workboat_four").job.findings}
    assert label(findings["bore 2: bore diameter"]) == "2"
    assert label(findings["deck: deck flatness"]) == ""
    assert label(findings["liner 1 to liner 2: liner protrusion step"]) == "1–2"
    assert label(findings["top ring 3: top ring gap"]) == "3"
    assert label(findings["second ring 3: ring groove clearance"]) == "second 3"
    assert label(findings["gear mesh crank-idler: gear backlash"]) == "crank-idler"
    assert label(findings["guide I3: intake stem clearance"]) == "I3"


def test_how_far_beyond() -> None:
    findings = {f.check.name: f for f in shipped("workboat_four").job.findings}
    assert over(findings["bore 2: bore diameter"]) == Fraction(46, 1000)
    assert over(findings["liner 2: liner protrusion"]) == Fraction(100, 1000)
    assert over(findings["bore 1: bore diameter"]) == 0
    assert over(findings["ledge 1: ledge cupping"]) is None


def test_what_several_lack_is_said_once() -> None:
    job = shipped("workboat_four").job
    groups = {
        g.limit.name: g
        for g in grouped(f for f in job.findings if f.verdict is Verdict.NOT_MEASURED)
    }
    assert what_to_do(groups["liner fit"], job.state.sizes) == "Needs the liner outside diameter."
    assert told(groups["liner fit"], job.words, job.state.sizes) == "liner fit of 1, 2, 3, 4"


def test_a_ratio_shows_itself_not_its_volumes() -> None:
    job = shipped("farm_single").job
    finding = next(
        f for f in job.findings if f.check.instance.inner and f.verdict is Verdict.NOT_PROVEN
    )  # fmt: skip
    assert figure(finding, job.words, job.state.sizes) == "8.98 to 8.99"


def test_minus_signs_are_true_ones_and_hyphens_stay() -> None:
    assert minus("cut -0.25 mm, align-hone 1-3-4-2, x-1, (-.004)") == (
        "cut −0.25 mm, align-hone 1-3-4-2, x-1, (−.004)"
    )

"""Laws and draws: what the sheet or the history says is what comes out, worn alike as it says."""

from __future__ import annotations

import numpy as np
import pytest
from forecast_case import SHEET, small_case

from sparkout.engine.dimension import Key
from sparkout.forecast.case import Case, Found
from sparkout.forecast.draws import Draws, prepared
from sparkout.forecast.history import by_history, one_way, read_history, rows_of, written
from sparkout.forecast.laws import by_range, chance_law


def _values(case: Case, characteristic: str, blocks: int = 60, seed: int = 2) -> np.ndarray:
    draws = Draws(prepared(case), seed)
    at = [k for k, r in enumerate(draws.plan.rows) if r.key.characteristic == characteristic]
    return np.concatenate([draws.block(b).values[:, at] for b in range(blocks)])


def test_eight_engines_in_ten_lie_in_the_range_of_the_sheet() -> None:
    wear = _values(small_case(), "bore diameter")[:, 0]
    n, low, high = len(wear), np.sum(wear < 80.02), np.sum(wear > 80.14)
    # binomial: one in ten on either side, within four standard errors
    for beyond in (low, high):
        assert abs(beyond / n - 0.1) < 4 * np.sqrt(0.1 * 0.9 / n)


def test_bores_of_one_engine_are_worn_alike_as_the_sheet_says() -> None:
    wear = np.log(_values(small_case(), "bore diameter") - 80.01)
    engines, per = wear.shape
    found = np.corrcoef(wear.T)
    pairs = [found[i, k] for i in range(per) for k in range(i)]
    # Fisher: the standard error of a correlation r from n pairs is (1 − r²)/√n
    assert np.mean(pairs) == pytest.approx(0.7, abs=4 * (1 - 0.49) / np.sqrt(engines))


def test_a_worn_bore_makes_the_others_likely_worn() -> None:
    case = small_case()
    draws = Draws(prepared(case), 2)
    usual = _values(case, "bore diameter")
    worst = int(np.argmax(draws.block(0).values[:, 0]))
    spots, _ = draws.readings(draws.block(0), worst)
    mine = tuple(s for s in spots if s.key.feature == "bore 1")
    read = Case(case.sheet, case.shop, case.frame, case.checks, mine)
    given = np.log(_values(read, "bore diameter") - 80.01)
    plan = prepared(read)
    # against the formula of a conditional normal: mean ρz, variance 1 − ρ²
    law = next(r.law for r in plan.rows if r.key.characteristic == "bore diameter")
    top = max(float(s.estimate.value) for s in mine)
    z = law.z_of(top)
    assert z > 1.0
    n = len(given)
    expected = law.mean + law.sd * 0.7 * z
    spread = law.sd * np.sqrt(1 - 0.7**2)
    assert given.mean() == pytest.approx(expected, abs=6 * spread / np.sqrt(2 * n))
    assert given[:, 0].std() == pytest.approx(spread, rel=0.1)
    assert given.mean() > np.log(usual - 80.01).mean()


def test_a_test_is_failed_as_often_as_the_sheet_says() -> None:
    failed = _values(small_case(), "block crack test") > 0
    n = failed.size
    assert abs(failed.mean() - 0.1) < 4 * np.sqrt(0.09 / n)


def test_a_range_about_the_start_is_normal() -> None:
    law = by_range(0.0, 1, -1.0, 1.0, "x", thumb=False, alike=0.0)
    assert law.value(np.array([0.0])) == pytest.approx([0.0])
    assert not law.log


def test_a_chance_is_the_share_above_zero() -> None:
    law = chance_law(0.25, "x", thumb=False, alike=0.0)
    # 0.6745: upper quartile of the normal law (any table)
    assert law.mean == pytest.approx(-0.6745, abs=5e-5)


def test_one_way_layout_of_six_subjects_and_four_judges() -> None:
    """P. E. Shrout, J. L. Fleiss, Intraclass correlations, Psychological Bulletin 86 (1979), tables
    2 to 4: ICC(1,1) = .17; recalled from memory and recomputed: MS between 11.24, within 6.26."""
    rows = [(9, 2, 5, 8), (6, 1, 3, 2), (8, 4, 6, 8), (7, 1, 2, 6), (10, 5, 6, 9), (6, 2, 4, 7)]
    layout = one_way([[float(x) for x in row] for row in rows])
    assert layout.within == pytest.approx(6.26, abs=0.005)
    assert layout.within + 4 * layout.between == pytest.approx(11.24, abs=0.005)
    assert layout.alike == pytest.approx(0.17, abs=0.005)


def _family(engines: int, per: int, alike: float, seed: int) -> tuple[Found, ...]:
    random = np.random.default_rng(seed)
    rows = []
    for engine in range(engines):
        common = random.standard_normal()
        for bore in range(1, per + 1):
            z = np.sqrt(alike) * common + np.sqrt(1 - alike) * random.standard_normal()
            value = 80.01 + 0.05 * np.exp(0.5 * z)
            rows.append(Found(f"e{engine}", f"bore {bore}", "bore diameter", float(value)))
    return tuple(rows)


def test_history_goes_before_the_sheet_and_gives_its_own_law() -> None:
    past = by_history(_family(400, 3, 0.6, 1))["bore diameter"]
    law = past.law(80.01, 1, -np.inf)
    assert law is not None
    assert law.log
    assert law.mean == pytest.approx(np.log(0.05), abs=0.1)
    assert law.sd == pytest.approx(0.5, abs=0.05)
    assert law.alike == pytest.approx(0.6, abs=0.1)
    case = small_case(_family(5, 3, 0.6, 1))
    plan = prepared(case)
    row = next(r for r in plan.rows if r.key.characteristic == "bore diameter")
    assert row.law.source == "history of 5 engines"
    assert not row.law.thumb


def test_too_little_history_leaves_the_sheet_its_say() -> None:
    plan = prepared(small_case(_family(2, 3, 0.6, 1)))
    row = next(r for r in plan.rows if r.key.characteristic == "bore diameter")
    assert row.law.source == "invented"


def test_few_engines_still_cover_eight_in_ten() -> None:
    """The next engine lies between P10 and P90 of a history of five, one bore each, as often as it
    should: Student's law with four degrees of freedom (Hahn and Meeker, Statistical Intervals,
    1991, prediction interval for one future observation, recalled from memory)."""
    random = np.random.default_rng(5)
    inside, runs = 0, 400
    for _ in range(runs):
        wear = 0.05 * np.exp(0.5 * random.standard_normal(6))
        rows = [
            Found(f"e{k}", "bore 1", "bore diameter", 80.01 + d) for k, d in enumerate(wear[:5])
        ]
        law = by_history(rows)["bore diameter"].law(80.01, 1, -np.inf)
        assert law is not None
        low, high = law.value(np.array([-1.2815515655446004, 1.2815515655446004]))
        inside += bool(low <= 80.01 + wear[5] <= high)
    assert abs(inside / runs - 0.8) < 3.5 * np.sqrt(0.16 / runs)


def test_a_history_file_reads_back_what_was_written() -> None:
    case = small_case()
    draws = Draws(prepared(case), 2)
    spots, tests = draws.readings(draws.block(0), 1)
    rows = rows_of("job 7", case.state(spots, tests))
    assert Found("job 7", "block", "block crack test", 0.0) in rows or any(
        row.characteristic == "block crack test" and row.value == 1.0 for row in rows
    )
    again, faults = read_history(written(rows), "history.csv")
    assert not faults
    assert again == rows
    top = max(s.estimate.value for s in spots if s.key == Key("bore 1", "bore diameter"))
    assert any(r.feature == "bore 1" and r.value == pytest.approx(float(top)) for r in rows)


@pytest.mark.parametrize(
    ("text", "line", "expected"),
    [
        ("", 1, "engine,feature,characteristic,value"),
        ("engine,feature,characteristic,value\na,bore 1,bore diametre,80\n", 2, "characteristic"),
        ("engine,feature,characteristic,value\na,bore 1,bore diameter,big\n", 2, "plain number"),
        ("engine,feature,characteristic,value\na,bore 1\n", 2, "four cells"),
    ],
)
def test_a_bad_history_file_says_where(text: str, line: int, expected: str) -> None:
    _, faults = read_history(text, "history.csv")
    assert faults[0].place.file == "history.csv"
    assert faults[0].place.line == line
    assert expected in faults[0].expected


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("found: 80.02 to 80.14 mm", "found: 80.14 to 80.02 mm", "80.14 to 80.02"),
        ("alike: 70 %", "alike: 170 %", "170"),
        ("    fails: 10 %", "    found: 1 to 2 mm", "found"),
        ("  deck flatness:\n    found", "  deck flatnes:\n    found", "deck flatnes"),
        ("source: common practice", "source: somebody", "somebody"),
    ],
)
def test_a_bad_prior_is_a_fault_of_the_sheet(old: str, new: str, found: str) -> None:
    assert old in SHEET
    with pytest.raises(ValueError, match=found):
        small_case((), SHEET.replace(old, new))

"""sparkout ask: one line in, what changes out."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"
FOUR, EIGHT, FARM = (str(DEMOS / name) for name in ("workboat_four", "road_eight", "farm_single"))
TODAY = ("--today", "2026-11-23")


def out(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert run(["ask", *words, *TODAY]) == status
    text = capsys.readouterr().out
    assert max(len(line) for line in text.splitlines()) <= 80
    return text


def plain(text: str) -> str:
    return " ".join(text.split())


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["ask", *words, *TODAY, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator(find("ask").SCHEMA).validate(result)
    return dict(result)


def test_the_question_needs_no_quotes(capsys: pytest.CaptureFixture[str]) -> None:
    assert out(capsys, FOUR, "deck", "0.01", "less") == out(capsys, FOUR, "deck 0.01 less")


def test_what_changes_is_said_with_its_price(capsys: pytest.CaptureFixture[str]) -> None:
    """Four shims of 6.00; reserve 10 % and tax 20 % on both: (3991.60 + 24) × 1.1 × 1.2."""
    text = plain(out(capsys, FOUR, "deck 0.01 less"))
    assert "24.00 EUR more for work and parts, as many days; in all at most 5300.59 EUR" in text
    assert "Liner shim 0.20 under the flange of liner 1; until now: no shim under liner 1." in text
    assert "Deck cut: 0.12 mm instead of 0.13 mm." in text


def test_what_cannot_be_is_said_with_what_stands_against_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = plain(out(capsys, FOUR, "deck 0.05 more", status=1))
    assert (
        "✕ deck height would be 327.26 mm once the deck is cut 0.18 mm; at least 327.30 mm is "
        "needed." in text
    )
    assert not data(capsys, FOUR, "deck 0.05 more", status=1)["possible"]


def test_where_the_answer_waits_the_quicker_way_stands_beside_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Another block instead of the sleeve: 1912 against 1412 in the written decision."""
    text = plain(out(capsys, EIGHT, "repair sleeve in 3 weeks"))
    assert "21 days more" in text
    assert "Without that wait: 9 days in all, 500.00 USD more than the plan at hand" in text
    assert "fit another block" in text


def test_where_nothing_is_quicker_that_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """The +0.75 piston costs what the +0.50 does and comes in 14 days; +1.00 is in stock, but no
    cut or gasket brings its compression ratio within limits."""
    text = plain(out(capsys, FARM, "no 0.50 pistons until March"))
    assert "14 days more" in text
    assert "Nothing that holds every limit takes as few days as the plan at hand." in text
    assert data(capsys, FARM, "no 0.50 pistons until March")["without_waiting"] is None


def test_a_ratio_that_moves_is_told_as_a_ratio(capsys: pytest.CaptureFixture[str]) -> None:
    text = plain(out(capsys, FARM, "head 0.05 more"))
    assert "compression ratio of bore 1: " in text
    assert "(limit 9.0 to 9.6)" in text


def test_what_is_only_taken_for_granted_has_no_margin(capsys: pytest.CaptureFixture[str]) -> None:
    result = data(capsys, FOUR, "customer brings his own crank")
    assert "Measure it on arrival" in result["assumed"][0]
    assert not [m for m in result["margins"] if "out-of-round" in m["check"] and m["now"] == 0]


def test_inches_are_answered_in_inches(capsys: pytest.CaptureFixture[str]) -> None:
    result = data(capsys, EIGHT, "deck left 0.002 less", status=1)
    assert result["read_as"][0].endswith(" in")


def test_what_cannot_be_read_says_what_would_be_right(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["ask", FOUR, "make it nice"]) == 2
    assert "expected a question such as 'deck 0.05 more'" in plain(capsys.readouterr().err)

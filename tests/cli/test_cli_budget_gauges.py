"""sparkout budget and sparkout gauges: lines of eighty columns, one JSON object, exit statuses."""

from __future__ import annotations

import json
import math
import shutil
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"
BOAT = str(DEMOS / "workboat_four")
ROAD = str(DEMOS / "road_eight")


def out(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert run(list(words)) == status
    return capsys.readouterr().out


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    result = json.loads(out(capsys, *words, "--json", status=status))
    Draft202012Validator.check_schema(find(words[0]).SCHEMA)
    Draft202012Validator(find(words[0]).SCHEMA).validate(result)
    return dict(result)


def test_the_budget_adds_up_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    """GUM 5.1.2: u² = Σ (c·u)²; certificate U/2, step/√12 and the rest from the shop's file."""
    found = data(capsys, "budget", BOAT, "bore 2", "diameter")
    rows = found["rows"]
    assert found["value"] == 100.246
    assert found["place"] == "top, thrust"
    by_name = {row["source"].split(",")[0]: row["standard_uncertainty"] for row in rows}
    assert by_name["BG-1 calibration"] == pytest.approx(0.001)
    assert by_name["RM-100 calibration"] == pytest.approx(0.0005)
    assert by_name["resolution"] == pytest.approx(0.001 / math.sqrt(12))
    total = math.sqrt(sum(row["contribution"] ** 2 for row in rows))
    assert found["combined"] == pytest.approx(total)
    assert found["expanded"] == pytest.approx(found["coverage_factor"] * found["combined"])
    assert sum(row["share"] for row in rows) == pytest.approx(1)


def test_in_a_taper_the_ring_and_the_certificate_cancel(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "budget", BOAT, "bore 2", "taper")
    shared = [row for row in found["rows"] if row["shared"]]
    assert {row["source"] for row in shared} >= {"BG-1 calibration", "RM-100 calibration"}
    assert all(row["share"] < 1e-6 for row in shared)
    kept = [row["contribution"] for row in found["rows"] if not row["shared"]]
    assert found["combined"] == pytest.approx(math.sqrt(sum(u * u for u in kept)), rel=1e-5)


def test_a_fit_shows_each_size_with_its_sign(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, "budget", BOAT, "main journal 3", "main oil clearance", "--end", "highest")
    assert "main shell 3 wall, crown = 2.476 mm, sensitivity -2" in text
    assert "sensitivity +1" in text
    assert "0.1120 ± 0.0064 mm" in text


@pytest.mark.parametrize(
    "words",
    [
        (BOAT, "bore 2", "bore diameter"),
        (BOAT, "deck", "flatness"),
        (ROAD, "bore 1", "compression ratio"),
        (ROAD, "guide I1", "stem clearance"),
    ],
)
def test_no_line_is_wider_than_a_terminal(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    text = out(capsys, "budget", *words)
    assert max(map(len, text.splitlines())) <= 80
    assert "expanded uncertainty" in text


def test_what_is_not_known_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["budget", BOAT, "bore 2", "diametre"]) == 2
    assert "Did you mean 'bore diameter'?" in capsys.readouterr().err
    assert run(["budget", BOAT, "boar 2", "diameter"]) == 2
    assert "Did you mean 'bore 2'?" in capsys.readouterr().err
    assert run(["budget", BOAT, "bore 2", "piston clearance"]) == 2
    assert "nothing read of it" in capsys.readouterr().err


def test_gauges_in_date(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, "gauges", BOAT, "--on", "2026-11-16")
    assert max(map(len, text.splitlines())) <= 80
    assert "BG-1" in text
    assert "RM-100" in text
    found = data(capsys, "gauges", BOAT, "--on", "2026-11-16")
    gauge = next(row for row in found["gauges"] if row["name"] == "OM-2")
    assert gauge["standing"] == "valid"
    assert gauge["readings"] > 0
    # certificate 0.001, step 0.001/√12, repeats 0.0007, all twice
    u = math.sqrt(0.001**2 + 0.001**2 / 12 + 0.0007**2)
    assert gauge["expanded"] == pytest.approx(2 * u)


def test_an_expired_gauge_that_was_used_stops(capsys: pytest.CaptureFixture[str]) -> None:
    text = out(capsys, "gauges", ROAD, "--on", "2027-04-01", status=1)
    assert "EXPIRED 2027-03-15" in text
    found = data(capsys, "gauges", ROAD, "--on", "2027-04-01", status=1)
    assert {row["name"]: row["days"] for row in found["gauges"]}["BG-4"] == -17
    assert any("no gauge named" in mark for mark in found["marks"])
    assert run(["gauges", ROAD, "--on", "soon"]) == 2
    assert "a day as year-month-day" in capsys.readouterr().err


def test_a_held_gauge_leaves_its_readings_out_until_confirmed(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    job = tmp_path / "job"
    shutil.copytree(DEMOS / "farm_single", job)
    text = (DEMOS / "shop.yaml").read_text(encoding="utf-8")
    held = text.replace("  - gauge: BG-1\n", "  - gauge: BG-1\n    held: dropped\n")
    (job / "shop.yaml").write_text(held, encoding="utf-8")
    assert run(["check", str(job)]) in (0, 1)
    said = capsys.readouterr().out
    assert "READINGS IN QUESTION" in said
    assert "read with BG-1, which is held back: dropped" in " ".join(said.split())
    assert "HELD BACK" in out(capsys, "gauges", str(job), "--on", "2026-11-16", status=1)

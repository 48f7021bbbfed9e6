"""sparkout bring: pasted text, and headings named once."""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

import sparkout
from sparkout.cli.main import run

DEMOS = Path(sparkout.__file__).parent / "demos"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    shutil.copytree(DEMOS / "workboat_four", tmp_path / "job")
    shutil.copy(DEMOS / "shop.yaml", tmp_path / "shop.yaml")
    return tmp_path / "job"


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["bring", *words, "--json", "--by", "bench"]) == status
    return dict(json.loads(capsys.readouterr().out))


def typed(job: Path) -> list[tuple[str, str, str]]:
    lines = [json.loads(text) for text in (job / "log.jsonl").read_text("utf-8").splitlines()]
    bodies = [line["body"] for line in lines if line["by"] == "bench"]
    return [(body["feature"], body["characteristic"], body["typed"]) for body in bodies]


@pytest.mark.parametrize("gap", ["\t", "   ", ";"])
def test_pasted_text(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, job: Path, gap: str
) -> None:
    rows = [("feature", "level", "value (mm)"), ("bore 1", "top", "100.182"),
            ("bore 2", "top", "100.246")]  # fmt: skip
    text = "\n".join(gap.join(row) for row in rows)
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    words = [str(job), "-", "--characteristic", "bore diameter", "--decimal", "."]
    assert data(capsys, *words)["entered"] == 2
    assert typed(job) == [
        ("bore 1", "bore diameter", "100.182"),
        ("bore 2", "bore diameter", "100.246"),
    ]


def test_headings_are_named_once(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    path = tmp_path / "fremd.csv"
    path.write_text("Teil;Merkmal;Maß (mm)\nbore 1;bore diameter;100,18\n", encoding="utf-8")
    assert data(capsys, str(job), str(path), status=2)["entered"] == 0
    named = ["--column", "feature=Teil", "--column", "characteristic=Merkmal",
             "--column", "value=Maß (mm)"]  # fmt: skip
    assert data(capsys, str(job), str(path), *named)["entered"] == 1
    path.write_text("Teil;Merkmal;Maß (mm)\nbore 2;bore diameter;100,24\n", encoding="utf-8")
    assert data(capsys, str(job), str(path))["entered"] == 1
    assert [text for _, _, text in typed(job)] == ["100,18", "100,24"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--column", "valeu=x"), "Did you mean 'value'?"),
        (("--column", "value=Tiefe"), "a column named Tiefe"),
        (("--column", "feature=Teil"), "one for value"),
    ],
)
def test_headings_that_are_not_there_are_told(
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    job: Path,
    words: tuple[str, ...],
    said: str,
) -> None:
    path = tmp_path / "fremd.csv"
    path.write_text("Teil;Merkmal;Maß (mm)\nbore 1;bore diameter;100,18\n", encoding="utf-8")
    assert run(["bring", str(job), str(path), *words]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert said in told


def test_nothing_pasted(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, job: Path
) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"")))
    assert data(capsys, str(job), "-")["entered"] == 0


@pytest.mark.parametrize("engine", ["farm_single", "road_eight", "workboat_four"])
def test_every_bench_sheet_that_comes_along_can_be_brought_in(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, engine: str
) -> None:
    """Lengths, tests passed or failed, an angle, a ratio: as the bench wrote them."""
    own = DEMOS / engine / "shop.yaml"
    shop = own if own.exists() else DEMOS / "shop.yaml"
    job = tmp_path / "new"
    assert run(["begin", str(job), "--sheet", str(DEMOS / engine / "engine.yaml"),
                "--shop", str(shop)]) == 0  # fmt: skip
    capsys.readouterr()
    got = data(capsys, str(job), str(DEMOS / engine / "readings.csv"))
    assert got["questions"] == []
    assert not [told for told in got["faults"] if "readings.csv" in told]
    with (DEMOS / engine / "readings.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["reading"]]
    assert got["entered"] == len(rows) > 30


def test_a_unit_for_bare_lengths_is_not_put_on_an_angle(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    shutil.copytree(DEMOS / "farm_single", tmp_path / "job")
    shutil.copy(DEMOS / "shop.yaml", tmp_path / "shop.yaml")
    path = tmp_path / "a.csv"
    path.write_text(
        "feature,characteristic,reading\ncamshaft,cam timing error,0.5\n"
        "bore 1,bore diameter,72.06\nbore 1,bore diameter,6O.2\n",
        encoding="utf-8",
    )
    got = data(capsys, str(tmp_path / "job"), str(path), "--unit", "mm", status=2)
    assert got["entered"] == 2
    assert [told.split(":")[:3] for told in got["faults"] if "a.csv" in told] == [
        ["a.csv", "4", "3"]
    ]


def test_a_job_without_a_supply_list_is_told_in_one_breath(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert run(["begin", str(tmp_path / "new"), "--sheet",
                str(DEMOS / "workboat_four" / "engine.yaml"),
                "--shop", str(DEMOS / "shop.yaml")]) == 0  # fmt: skip
    capsys.readouterr()
    run(["check", str(tmp_path / "new")])
    told = " ".join(capsys.readouterr().err.split())
    assert told.count("no line for") == 1
    assert "parts of the data sheet" in told

"""`sparkout forecast`: what it prints, in lines and as JSON, and what it refuses."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from sparkout.cli.jobargs import demo_folder
from sparkout.cli.main import find, run


@pytest.fixture
def job(tmp_path: Path) -> Path:
    target = tmp_path / "job 7"
    shutil.copytree(demo_folder("farm_single"), target)
    shutil.copy(demo_folder("farm_single").parent / "shop.yaml", target)
    return target


def told(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = run(["forecast", *words])
    out = capsys.readouterr()
    return status, out.out, out.err


def test_it_says_range_chances_sources_and_draws_them(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    drawing = job / "range.svg"
    words = (str(job), "--unmeasured", "--engines", "60", "--processes", "1")
    status, out, err = told(capsys, *words, "--picture", str(drawing))
    assert status == 0
    for word in ("P10", "P90", "rule of thumb: bore diameter", "What to measure next", "seed 1"):
        assert word in out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "60 of 60 engines" in err
    assert drawing.read_text(encoding="utf-8").startswith("<svg")
    assert told(capsys, *words)[1] == out


def test_its_json_is_what_the_schema_says(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = (str(job), "--unmeasured", "--engines", "50", "--processes", "1", "--json")
    status, out, _ = told(capsys, *words)
    assert status == 0
    body = json.loads(out)
    Draft202012Validator(find("forecast").SCHEMA).validate(body)
    assert body["price"]["p10"] <= body["price"]["p50"] <= body["price"]["p90"]
    assert body["done"] == body["asked"] == 50


def test_history_is_remembered_once_and_then_used(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job.parent / "history.csv"
    assert told(capsys, str(job), "--remember", str(path))[0] == 0
    status, _, err = told(capsys, str(job), "--remember", str(path))
    assert status == 2
    assert "already in it" in err
    rows = path.read_text(encoding="utf-8").splitlines()
    # two engines more, a little apart, make three: enough for a law
    more = [row.replace("job 7", f"job {k}", 1) for k in (8, 9) for row in rows[1:]]
    path.write_text("\n".join([*rows, *more]) + "\n", encoding="utf-8")
    words = (str(job), "--unmeasured", "--engines", "10", "--processes", "1")
    _, out, _ = told(capsys, *words)
    assert "history of 3 engines: bore diameter" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--engines", "0"), "--engines"),
        (("--seed", "-1"), "--seed"),
        (("--processes", "0"), "--processes"),
    ],
)
def test_bad_usage_says_what_would_be_right(
    words: tuple[str, ...], said: str, job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, _, err = told(capsys, str(job), *words)
    assert status == 2
    assert said in err

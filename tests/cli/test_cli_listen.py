"""sparkout listen: a gauge on a pipe, in a file and on a serial line, into the log of a job."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run
from sparkout.job.reader import read_log
from sparkout.job.verify import verify

DEMOS = Path(sparkout.__file__).parent / "demos"
PLACES = ("--of", "bore diameter", "--at", "bore 2", "--levels", "top,middle",
          "--directions", "thrust,axial", "--by", "bench")  # fmt: skip
GAUGE = ("--gauge", "BG-1", "--decimals", "3", "--low", "90", "--high", "110")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    shutil.copytree(DEMOS / "workboat_four", tmp_path / "job")
    shutil.copy(DEMOS / "shop.yaml", tmp_path / "shop.yaml")
    return tmp_path / "job"


def sent(folder: Path, data: bytes) -> tuple[str, str]:
    path = folder / "sent.bin"
    path.write_bytes(data)
    return "--from", str(path)


def entered(job: Path) -> list[tuple[str, str, str]]:
    """Level, direction and text of every reading that our person entered."""
    entries, faults = read_log(job / "log.jsonl")
    assert not faults
    assert not list(verify(entries))
    lines = [json.loads(text) for text in (job / "log.jsonl").read_text("utf-8").splitlines()]
    bodies = [line["body"] for line in lines if line["by"] == "bench"]
    return [(body["level"], body["direction"], body["typed"]) for body in bodies]


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["listen", *words, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(find("listen").SCHEMA)
    Draft202012Validator(find("listen").SCHEMA).validate(result)
    return dict(result)


def test_values_go_to_the_places_in_order(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    lines = sent(tmp_path, b"100.246\r\n100.172\r\n100.110\n100.085\r")
    result = data(capsys, str(job), *PLACES, *GAUGE, *lines)
    assert entered(job) == [
        ("top", "thrust", "100.246"),
        ("top", "axial", "100.172"),
        ("middle", "thrust", "100.110"),
        ("middle", "axial", "100.085"),
    ]
    assert [row["typed"] for row in result["entered"]] == [
        "100.246",
        "100.172",
        "100.110",
        "100.085",
    ]
    assert result["left"] == []
    assert not result["faults"]


def test_what_cannot_be_is_asked_for_again(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    # cut short, in inches, glued, then the values as they should be
    lines = sent(tmp_path, b"100.24\n3.9409\n100.246100.172\n100.246\n100.172\n")
    assert run(["listen", str(job), *PLACES, *GAUGE, *lines]) == 2
    told = capsys.readouterr()
    assert entered(job) == [("top", "thrust", "100.246"), ("top", "axial", "100.172")]
    said = " ".join(told.err.split())
    assert "cut short" in said
    assert "BG-1 may be set to inches: then it is 100.09886 mm" in said
    assert "two values glued together" in said
    assert "2 readings entered; not read: bore 2, middle, thrust; bore 2, middle, axial" in said


def test_a_line_without_an_end_is_not_entered(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    lines = sent(tmp_path, b"100.246\n100.17")
    result = data(capsys, str(job), *PLACES, *GAUGE, *lines, status=2)
    assert "and then nothing" in result["faults"][0]
    assert entered(job) == [("top", "thrust", "100.246")]


def test_how_a_gauge_sends_is_remembered(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    data(capsys, str(job), *PLACES, *GAUGE, *sent(tmp_path, b"100.246\n"))
    result = data(
        capsys, str(job), *PLACES, "--gauge", "BG-1", *sent(tmp_path, b"100.2\n"), status=2
    )
    assert "3 decimals, as BG-1 always shows" in result["faults"][0]
    assert (tmp_path / "gauge-lines.json").exists()


def test_two_gauges_share_a_line_by_their_prefixes(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    nothing = sent(tmp_path, b"")
    for gauge, prefix in (("BG-1", "~B~"), ("BG-2", "~P~")):
        data(capsys, str(job), *PLACES, "--gauge", gauge, "--prefix", prefix, *nothing)
    both = ("--gauge", "BG-1", "--gauge", "BG-2")
    result = data(capsys, str(job), *PLACES, *both, *sent(tmp_path, b"~P~100.2\n~B~100.1\n"))
    assert [row["gauge"] for row in result["entered"]] == ["BG-2", "BG-1"]


def test_a_deviation_needs_its_master(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    how = ("--gauge", "BG-1", "--deviation", "yes", "--polarity", "plus is smaller")
    lines = sent(tmp_path, b"-0.246\n")
    assert run(["listen", str(job), *PLACES, *how, *lines]) == 2
    assert "--master" in capsys.readouterr().err
    result = data(capsys, str(job), *PLACES, *how, "--master", "RM-100", *lines)
    assert [row["typed"] for row in result["entered"]] == ["-0.246"]


def test_trying_enters_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    before = (job / "log.jsonl").read_bytes()
    result = data(capsys, str(job), *PLACES, *GAUGE, *sent(tmp_path, b"100.246\n"), "--try")
    assert result["entered"][0]["id"] is None
    assert (job / "log.jsonl").read_bytes() == before


def test_a_size_that_can_hardly_be_is_questioned(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    lines = sent(tmp_path, b"105.246\n")
    result = data(capsys, str(job), *PLACES, *GAUGE, *lines)
    assert any("bore 2, bore diameter" in text for text in result["questions"])


def test_a_serial_line(tmp_path: Path, job: Path) -> None:
    """A gauge at the far end of a serial line, with the settings of one, in pieces."""
    pty = pytest.importorskip("pty", reason="no serial lines on this system")
    gauge, line = pty.openpty()
    name = os.ttyname(line)
    words = ["listen", str(job), *PLACES, *GAUGE, "--from", name, "--speed", "19200"]
    done = subprocess.Popen(
        [sys.executable, "-c", "import sys; from sparkout.cli.main import run; sys.exit(run())",
         *words],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert done.stderr is not None
    assert done.stdout is not None
    seen: list[str] = []
    asked = threading.Event()

    def read() -> None:
        for text in done.stderr or ():
            seen.append(text)
            if "top, thrust?" in text:
                asked.set()

    reader = threading.Thread(target=read, daemon=True)
    reader.start()
    try:
        assert asked.wait(30), seen
        for piece in (b"100.2", b"46\r\n100.172\r\n", b"100.110\r\n100.085\r\n"):
            os.write(gauge, piece)
        assert done.wait(30) == 0, seen
    finally:
        done.kill()
        done.wait()
        reader.join(10)
        for end in (done.stdout, done.stderr):
            end.close()
        os.close(gauge)
        os.close(line)
    assert [typed for _, _, typed in entered(job)] == ["100.246", "100.172", "100.110", "100.085"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--of", "bore diametre", "--at", "bore 2", "--gauge", "BG-1"), "'bore diameter'?"),
        (("--of", "bore diameter", "--at", "bore 9", "--gauge", "BG-1"), "--at: found 'bore 9'"),
        (("--of", "bore diameter", "--at", "bore 2", "--gauge", "XX"), "a gauge of the shop file"),
        ((*PLACES, "--gauge", "BG-1", "--decimals", "many"), "a whole number from 0 to 8"),
        ((*PLACES, "--gauge", "BG-1", "--prefix", "B1"), "cannot belong to the number"),
        ((*PLACES, "--gauge", "BG-1", "--gauge", "BG-2"), "a prefix of its own"),
    ],
)
def test_what_is_not_there_is_told(
    capsys: pytest.CaptureFixture[str], job: Path, words: tuple[str, ...], said: str
) -> None:
    assert run(["listen", str(job), *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert said in " ".join(told.err.split())


def test_noise_enters_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job: Path
) -> None:
    noise = bytes(range(128, 256)) * 2000 + b"\n" + b"x" * 1000 + b"\n" + b"\0\0\n"
    result = data(capsys, str(job), *PLACES, *GAUGE, *sent(tmp_path, noise), status=2)
    assert result["entered"] == []
    assert result["faults"]

"""sparkout texture: closed forms through the real command and its filters, maps, and bad traces."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from sparkout.cli.main import find, run


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["texture", *words, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(find("texture").SCHEMA)
    Draft202012Validator(find("texture").SCHEMA).validate(result)
    return dict(result)


def faults(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["texture", *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    return " ".join(told.err.split())


def trace(folder: Path, height: Callable[[float], float], step: float = 0.0005) -> str:
    """A trace of 5.6 mm: height [µm] at each place [mm]."""
    path = folder / "trace.csv"
    rows = (f"{k * step:.4f};{height(k * step):.6f}" for k in range(round(5.6 / step)))
    path.write_text("x [mm];z [µm]\n" + "\n".join(rows), encoding="utf-8")
    return str(path)


def wave(length: float) -> Callable[[float], float]:
    return lambda x: math.sin(2 * math.pi * x / length)


def test_a_fine_sine_passes_whole(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    # Ra = 2A/pi, Rq = A/sqrt 2, Rz = 2A of a sine: integrals. Of a wave of 0.05 mm the lower
    # cut-off of 0.0025 mm passes exp(-pi (0.4697 · 0.0025/0.05)^2), ISO 16610-21.
    passed = math.exp(-math.pi * (0.4697 * 0.0025 / 0.05) ** 2)
    # The mean of |sin| over 100 points of a wave is 2/(100 tan(pi/100)), 0.03 % below 2/pi.
    mean = 2 / (100 * math.tan(math.pi / 100))
    result = data(capsys, trace(tmp_path, wave(0.05)))
    heights = result["heights"]
    assert heights["Ra"] == pytest.approx(passed * mean, rel=2e-5)
    assert heights["Rq"] == pytest.approx(passed / math.sqrt(2), rel=2e-4)
    assert heights["Rz"] == pytest.approx(2 * passed, rel=1e-3)
    assert (result["cutoff"], result["lower_cutoff"], result["sampling_lengths"]) == (
        0.8,
        0.0025,
        5,
    )
    assert any("2 places" in note for note in result["warnings"])  # a sine has no single Rk


def test_half_a_wave_passes_at_the_cutoff(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    # ISO 16610-21: half the amplitude at the cut-off; the roughness gets the other half.
    result = data(capsys, trace(tmp_path, wave(0.8)), "--cutoff", "0.8")
    assert result["heights"]["Rq"] == pytest.approx(0.5 / math.sqrt(2), rel=5e-3)


def test_a_ramp_is_all_core(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    # Heights spread evenly over H: the material ratio curve is a straight line, so by
    # ISO 13565-2 Rk = H, with neither peaks nor valleys.
    result = data(capsys, trace(tmp_path, lambda x: 2.0 * (x / 0.05 % 1.0)))
    assert result["plateau"]["Rk"] == pytest.approx(2.0, rel=1e-2)
    assert result["plateau"]["Rpk"] < 0.03
    assert result["plateau"]["Rvk"] < 0.03


def test_limits_and_inches(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = trace(tmp_path, wave(0.05))
    held = data(capsys, path, "--most", "Ra=0.7", "--least", "Rz=1.9")
    assert [demand["held"] for demand in held["demands"]] == [True, True]
    # 0.6 µm is 23.6 µin: Ra of 0.998 · 2/pi = 0.6355 µm = 25.0 µin is over it
    over = data(capsys, path, "--most", "Ra=23.6", "--show", "in", status=1)
    assert over["demands"][0]["limit"] == pytest.approx(0.599, abs=1e-3)
    assert run(["texture", path, "--most", "Ra=0.6", "--show", "in"]) == 1  # bare: in µin
    text = capsys.readouterr().out
    assert re.search(r"✕ Ra 25\.0\d µin, at most 0\.600 asked", text)


def sdf(folder: Path, angle: float, size: int = 128) -> str:
    """A map of 20 µm steps with two sets of waves, lines at ±angle from the circumference (x)."""
    turn = math.radians(90.0 - angle)  # the wave runs square to its lines
    fx, fy = math.cos(turn) / 0.1, math.sin(turn) / 0.1
    rows = []
    for j in range(size):
        y = 0.02 * j
        heights = (
            math.sin(2 * math.pi * (fx * 0.02 * i + fy * y))
            + math.sin(2 * math.pi * (fx * 0.02 * i - fy * y))
            for i in range(size)
        )
        rows.append(" ".join(f"{h:.5f}" for h in heights))
    head = f"aISO-1.0\nNumPoints = {size}\nNumProfiles = {size}\nXscale = 2E-5\nYscale = 2E-5\n"
    path = folder / "wall.sdf"
    path.write_text(head + "Zscale = 1E-6\n*\n" + "\n".join(rows) + "\n*\n*\n", encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("angle", [20.0, 30.0])
def test_the_hatch_of_a_map(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, angle: float
) -> None:
    path = sdf(tmp_path, angle)
    result = data(capsys, path, "--cutoff", "0.25", "--row", "10")
    assert result["row"] == 10
    assert result["hatch"]["about_circumference"] == pytest.approx(2 * angle, abs=1.0)
    assert result["hatch"]["about_axis"] == pytest.approx(180 - 2 * angle, abs=1.0)
    assert run(["texture", path, "--cutoff", "0.25"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "halved by the circumference" in text
    assert "Ra over" in text


def test_lines_fit_a_terminal(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    run(["texture", trace(tmp_path, wave(0.05)), "--show", "in", "--most", "Rvk=1"])
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    assert "WHAT THIS TRACE CANNOT SHOW" in text


@pytest.mark.parametrize("suffix", ["svg", "pdf"])
def test_picture(capsys: pytest.CaptureFixture[str], tmp_path: Path, suffix: str) -> None:
    picture = tmp_path / f"trace.{suffix}"
    path = trace(tmp_path, lambda x: 2.0 * (x / 0.05 % 1.0))
    assert run(["texture", path, "--picture", str(picture)]) == 0
    content = picture.read_bytes()
    assert content.startswith(b"%PDF-" if suffix == "pdf" else b"<svg")
    if suffix == "svg":
        assert b"top of the core" in content
        assert len(content) < 100_000


@pytest.mark.parametrize(
    ("text", "words", "said"),
    [
        ("", (), "an empty file"),
        ("a,b\n1,2\n", (), "trace.csv:1: found the header 'a,b'; expected two columns named x"),
        ("x [mm],z [µm]\n0,1\n0.1,high\n", (), "trace.csv:3"),
        ("x [mm],z [µm]\n0,1\n0.1,2\n0.3,1\n", (), "a step of 0.2 mm"),
        ("x [mm],z [µm]\n0,1\n0.001,2\n", (), "a trace of 0.002 mm; expected 1.6 mm or more"),
        ("aISO-1.0\nNumPoints = 3\n", (), "asterisk"),
        ("x [mm],z [µm]\n0,1\n", ("--most", "Rx=1"), "a name out of Ra, Rq"),
        ("x [mm],z [µm]\n0,1\n", ("--feed", "9 mm"), "above 0 and up to 4 mm"),
        ("x [mm],z [µm]\n0,1\n", ("--cutoff", "0.5"), "--cutoff"),
    ],
)
def test_what_is_no_trace_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, words: tuple[str, ...], said: str
) -> None:
    path = tmp_path / "trace.csv"
    path.write_text(text, encoding="utf-8")
    assert said in faults(capsys, str(path), *words)


def test_a_row_that_is_not_there(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert "a row from 1 to 128" in faults(capsys, sdf(tmp_path, 30), "--row", "129")


def test_a_short_trace_says_what_it_lacks(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "short.csv"
    rows = "".join(f"{k * 0.001:.3f},{math.sin(k / 8):.5f}\n" for k in range(2000))
    path.write_text("x [mm],z [µm]\n" + rows, encoding="utf-8")
    result = data(capsys, str(path))
    assert result["sampling_lengths"] == 1
    assert any("Only 1 sampling length" in note for note in result["warnings"])

"""sparkout chart: published series through the real command, history of jobs, and bad files."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"

# Aircraft primer viscosity, batches 1 to 20: Montgomery, Introduction to Statistical Quality
# Control, 5th edition, p. 232; read in a stored copy of the R package qcc, whose manual gives
# centre 34.088 and limits 32.56504 and 35.61096 (it takes d2 as 1.128).
_VISCOSITY = """34.05 34.40 33.59 35.96 34.70 33.51 33.79 34.04 34.52 33.75
33.27 33.71 34.03 34.58 34.02 33.97 34.05 34.04 33.73 34.05"""
VISCOSITY = _VISCOSITY.split()

# Inside diameters [mm] of forged piston rings, samples 1 to 25 of five: the same book; read in a
# stored copy of the data set of qcc, whose manual gives centre 74.00118, limits 73.98805 and
# 74.0143 for the mean, 0 and 0.04812533 for the range.
_RINGS = """
74.030 74.002 74.019 73.992 74.008  73.995 73.992 74.001 74.011 74.004
73.988 74.024 74.021 74.005 74.002  74.002 73.996 73.993 74.015 74.009
73.992 74.007 74.015 73.989 74.014  74.009 73.994 73.997 73.985 73.993
73.995 74.006 73.994 74.000 74.005  73.985 74.003 73.993 74.015 73.988
74.008 73.995 74.009 74.005 74.004  73.998 74.000 73.990 74.007 73.995
73.994 73.998 73.994 73.995 73.990  74.004 74.000 74.007 74.000 73.996
73.983 74.002 73.998 73.997 74.012  74.006 73.967 73.994 74.000 73.984
74.012 74.014 73.998 73.999 74.007  74.000 73.984 74.005 73.998 73.996
73.994 74.012 73.986 74.005 74.007  74.006 74.010 74.018 74.003 74.000
73.984 74.002 74.003 74.005 73.997  74.000 74.010 74.013 74.020 74.003
73.988 74.001 74.009 74.005 73.996  74.004 73.999 73.990 74.006 74.009
74.010 73.989 73.990 74.009 74.014  74.015 74.008 73.993 74.000 74.010
73.982 73.984 73.995 74.017 74.013
"""
RINGS = _RINGS.split()


def series(
    folder: Path, values: list[str], heading: str = "value", name: str = "series.csv"
) -> Path:
    path = folder / name
    path.write_text("\n".join([heading, *values]) + "\n", encoding="utf-8")
    return path


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["chart", *words, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(find("chart").SCHEMA)
    Draft202012Validator(find("chart").SCHEMA).validate(result)
    return dict(result)


def faults(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["chart", *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    return " ".join(told.err.split())


def test_individuals_of_a_textbook(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    result = data(capsys, str(series(tmp_path, VISCOSITY)))
    assert result["kind"] == "individuals and moving range"
    assert result["centre"] == pytest.approx(34.088, abs=5e-4)
    point = result["location"]["points"][0]
    assert (point["lower"], point["upper"]) == pytest.approx((32.56504, 35.61096), abs=6e-4)
    beyond = [s["points"] for s in result["signals"] if s["rule"] == "beyond limits"]
    assert beyond == [[4], [4]]  # the reading, and its moving range
    assert not result["alarming"]


@pytest.mark.parametrize("each", ["by column", "--each"])
def test_means_and_ranges_of_a_textbook(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, each: str
) -> None:
    if each == "--each":
        words = [str(series(tmp_path, RINGS, "value (mm)")), "--each", "5"]
    else:
        rows = [f"{k // 5 + 1};{text}" for k, text in enumerate(RINGS)]
        words = [str(series(tmp_path, rows, "Sample;Value [mm]")), "--decimal", "."]
    result = data(capsys, *words)
    assert (result["kind"], result["unit"]) == ("mean and range", "mm")
    assert result["centre"] == pytest.approx(74.00118, abs=5e-6)
    point = result["location"]["points"][0]
    assert (point["lower"], point["upper"]) == pytest.approx((73.98805, 74.0143), abs=5e-6)
    spread = result["spread"]["points"][0]
    assert (spread["lower"], spread["upper"]) == pytest.approx((0, 0.04812533), abs=1e-6)


def test_each_job_of_a_file_is_a_subgroup(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    rows = [f"J{k // 5 + 1};{text}" for k, text in enumerate(RINGS)]
    path = str(series(tmp_path, rows, "job;value (mm)"))
    result = data(capsys, path, "--by-job", "--decimal", ".")
    assert result["kind"] == "mean and range"
    assert result["centre"] == pytest.approx(74.00118, abs=5e-6)


def test_inches_out_are_the_same_chart(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = str(series(tmp_path, RINGS, "value (mm)"))
    mm = data(capsys, path, "--upper", "74.05")
    inch = data(capsys, path, "--upper", "74.05 mm", "--show", "in")
    assert inch["unit"] == "in"
    assert inch["centre"] == pytest.approx(mm["centre"] / 25.4, rel=1e-12)
    cpk = [result["capability"]["cpk"]["value"] for result in (mm, inch)]
    assert cpk[0] == pytest.approx(cpk[1], rel=1e-9)


def test_the_newest_point_decides_the_status(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    result = data(capsys, str(series(tmp_path, [*VISCOSITY, "37"])), "--base", "20", status=1)
    assert result["alarming"]
    assert result["based_on"] == 20


def test_what_is_acceptable_is_learned(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    # Factor of a one-sided tolerance interval, n 20, 95 % of all with 95 % confidence: 2.396, the
    # table of Montgomery, appendix, and of the NIST/SEMATECH e-Handbook 7.2.6.3 (recalled from
    # memory). Mean and standard deviation recomputed by hand from the twenty readings.
    path = str(series(tmp_path, VISCOSITY, "value (kPa)"))
    result = data(capsys, path, "--bad", "high")
    mean = sum(map(float, VISCOSITY)) / 20
    sd = (sum((float(v) - mean) ** 2 for v in VISCOSITY) / 19) ** 0.5
    assert result["acceptable"]["upper"] == pytest.approx(mean + 2.396 * sd, abs=5e-4)
    assert result["acceptable"]["lower"] is None
    assert any("not in control" in text for text in result["acceptable"]["warnings"])
    assert run(["chart", path, "--bad", "high"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "at most 35.45 kPa" in text
    assert "It is a rule of this shop, not a limit of a maker." in text


def test_every_line_fits_a_terminal(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = str(series(tmp_path, VISCOSITY * 8))
    run(["chart", path, "--lower", "33", "--upper", "35", "--bad", "either", "--rules", "western"])
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    assert "WHAT THIS CHART CANNOT SHOW" in text


@pytest.mark.parametrize("suffix", ["svg", "pdf"])
def test_picture(capsys: pytest.CaptureFixture[str], tmp_path: Path, suffix: str) -> None:
    picture = tmp_path / f"out.{suffix}"
    path = str(series(tmp_path, VISCOSITY, "value (mm)"))
    assert run(["chart", path, "--name", "Deck after surfacing", "--picture", str(picture)]) == 0
    content = picture.read_bytes()
    if suffix == "svg":
        assert b"<title>Deck after surfacing</title>" in content
        assert b"point 4 (rule 1)" in content
    else:
        assert content.startswith(b"%PDF-")


def test_answers_are_remembered_for_the_same_headings(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    first = series(tmp_path, VISCOSITY, "Kolumna 7", "first.csv")
    second = series(tmp_path, VISCOSITY, "kolumna  7", "second.csv")
    assert "a column named value" in faults(capsys, str(second))
    result = data(capsys, str(first), "--column", "value=Kolumna 7", "--unit", "kPa")
    again = data(capsys, str(second))
    assert (again["unit"], again["centre"]) == ("kPa", result["centre"])


def test_a_folder_of_jobs_is_a_history(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    for name in ("workboat_four", "road_eight"):
        shutil.copytree(DEMOS / name, tmp_path / name)
    shutil.copy(DEMOS / "shop.yaml", tmp_path / "shop.yaml")
    result = data(
        capsys, str(tmp_path / "workboat_four"), "--of", "vacuum drop", "--phase", "found", status=1
    )
    assert result["unit"] == "kPa"
    assert result["readings"] == 8
    both = data(capsys, str(tmp_path), "--of", "guide diameter", "--phase", "found", "--by-job",
                status=1)  # fmt: skip
    assert len(both["location"]["points"]) == 2
    assert both["readings"] == 8 + 16


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--of", "vacum drop"), "Did you mean 'vacuum drop'?"),
        ((), "a characteristic"),
        (("--of", "vacuum drop", "--phase", "left"), "--phase found"),
        (("--of", "bore diameter", "--phase", "found", "--from-target"), "with a size worked to"),
    ],
)
def test_a_history_that_is_not_there(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    assert said in faults(capsys, str(DEMOS / "workboat_four"), *words)


@pytest.mark.parametrize(
    ("text", "words", "said"),
    [
        ("", (), "nothing in it; expected a column named value"),
        ("value\n", (), "headings and no rows"),
        ("a,b\n1,2\n", (), "bad.csv:1: found the headings 'a,b'; expected a column named value"),
        ("value\n1.0\nabout 2\n3\n", (), "bad.csv:3:1: found 'about 2'; expected a number"),
        ("label;value\nx;1,5\ny;\n", (), "bad.csv:3:2: found no value; expected a number in each"),
        ("label;value\nx;1,005\ny;2,005\n", (), "--decimal ."),
        ("value\n5\n5\n5\n", (), "no scatter at all"),
        ("value\n5\n", (), "1 reading on the chart; expected two or more"),
        ("value\n5\n6\n7\n", ("--each", "2"), "1 of them left over"),
        ("value\n1\n1e200\n", (), "bad.csv:3:1: found '1e200'; expected a number that a gauge can"),
        ("value\n5\n6\n7\n", ("--by-job",), "a column headed job"),
        ("value\n5\n6\n7\n", ("--base", "9"), "a base period of 2 to 3 points"),
        ("value\n5\n6\n7\n", ("--upper", "lots"), "--upper: found 'lots'"),
        ("value\n5\n6\n7\n", ("--lower", "9", "--upper", "1"), "lower below upper"),
        ("value\n5\n6\n7\n", ("--picture", "a.gif"), "ends in .svg or .pdf"),
        ("value\n5\n6\n7\n", ("--column", "valve=x"), "Did you mean 'value'?"),
        ("value\n5\n6\n7\n", ("--unit", "furlong"), "a unit such as mm"),
        ("value\n" + "nan\n" * 50, (), "30 more faults like these"),
        ('value\n"5\n6\n', (), "quotes that do not match"),
    ],
)
def test_what_cannot_be_charted_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, words: tuple[str, ...], said: str
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    assert said in faults(capsys, str(path), *words)


def test_bytes_that_are_no_text(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_bytes(b"value\n\0\0\0")
    assert "zero bytes" in faults(capsys, str(path))


def test_a_long_history_is_charted(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = str(series(tmp_path, VISCOSITY * 1000, "value (µm)"))
    result = data(capsys, path)
    assert result["readings"] == 20_000
    assert result["centre"] == pytest.approx(34.088, abs=5e-4)

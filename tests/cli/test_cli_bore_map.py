"""sparkout bore-map: the bores of shipped jobs, a liner from a file, and files that will not do."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"
WORKBOAT = str(DEMOS / "workboat_four")
LINER = """depth (mm);direction;diameter (mm)
10;0;100,10
10;90;100,16
60;0;100,05
60;90;100,06
120;0;100,02
"""


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["bore-map", *words, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(find("bore-map").SCHEMA)
    Draft202012Validator(find("bore-map").SCHEMA).validate(result)
    return dict(result)


def faults(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["bore-map", *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    return " ".join(told.err.split())


@pytest.fixture
def liner(tmp_path: Path) -> Path:
    path = tmp_path / "liner.csv"
    path.write_text(LINER, encoding="utf-8")
    return path


def test_bores_of_a_job_are_as_its_log_says(capsys: pytest.CaptureFixture[str]) -> None:
    result = data(capsys, WORKBOAT, status=1)
    bore = next(bore for bore in result["bores"] if bore["name"] == "bore 2")
    # as typed in the log of the shipped job: readings.csv, bore 2
    assert bore["directions"] == ["thrust", "axial"]
    assert bore["levels"] == ["top", "middle", "bottom"]
    assert bore["diameters"] == [[100.246, 100.172], [100.110, 100.085], [100.040, 100.036]]
    # 100.246 − 100.172 and 100.246 − 100.040
    assert bore["out_of_round"][0] == pytest.approx(0.074, abs=1e-9)
    assert bore["tapers"][0] == pytest.approx(0.206, abs=1e-9)
    assert (bore["high"], bore["outside"]) == (100.2, 1)


def test_text_of_one_bore(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bore-map", WORKBOAT, "--bore", "2"]) == 1
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    assert "  top            +246!   +172            74\n" in text
    said = " ".join(text.split())
    assert "limit at most 100.200 mm: 1 of 6 readings outside" in said
    assert "Two-point readings do not show 3, 5, 7, 9 lobes" in said
    assert "Nothing is known above and below top and bottom" in said


def test_inches_in_and_millimetres_out(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["bore-map", str(DEMOS / "road_eight"), "--bore", "1"]) == 0
    assert "deviation from 4.0000 in, thou" in capsys.readouterr().out
    assert run(["bore-map", str(DEMOS / "road_eight"), "--bore", "1", "--show", "mm"]) == 0
    # 4.0040 in is 4.0 thou = 0.1016 mm over 4.0000 in
    assert "+102" in capsys.readouterr().out


def test_a_liner_from_a_file(capsys: pytest.CaptureFixture[str], liner: Path) -> None:
    result = data(capsys, str(liner), "--nominal", "100", "--upper", "100.15", status=1)
    (bore,) = result["bores"]
    assert bore["depths"] == [10, 60, 120]
    assert bore["diameters"][2] == [100.02, None]
    assert bore["out_of_round"] == [pytest.approx(0.06), pytest.approx(0.01), None]
    assert bore["outside"] == 1
    assert any("between levels up to 60 mm apart" in text for text in bore["cannot_show"])


@pytest.mark.parametrize("suffix", ["svg", "pdf"])
@pytest.mark.parametrize("words", [(), ("--bore", "2")])
def test_pictures(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, suffix: str, words: tuple[str, ...]
) -> None:
    picture = tmp_path / f"bores.{suffix}"
    assert run(["bore-map", WORKBOAT, *words, "--picture", str(picture)]) == 1
    content = picture.read_bytes()
    assert content.startswith(b"%PDF-" if suffix == "pdf" else b"<svg")
    if suffix == "svg":
        # sign and figure stand in each cell: readable without colour
        assert "+246" in content.decode()
        assert "top" in content.decode()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--bore", "9"), "one of bore 1, bore 2, bore 3, bore 4"),
        (("--phase", "left"), "no bore read in phase 'left'"),
    ],
)
def test_what_was_not_read_is_told(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    assert said in faults(capsys, WORKBOAT, *words)


@pytest.mark.parametrize(
    ("text", "words", "said"),
    [
        ("depth,value\n1,2\n", (), "a column for direction"),
        (
            "depth,direction,value\n10,0,100\n10,0,101\n",
            (),
            "bad.csv:3: found depth 10, direction 0 read again; expected one reading for each "
            "place; row 2 has it too",
        ),
        ("depth,direction,value\n10,north,100\n", (), "bad.csv:2:2: found 'north'"),
        ("depth,direction,value (kPa)\n10,0,100\n", (), "the unit kPa; expected a length"),
        ("depth,direction,value\n10,0,100\n", ("--upper", "wide"), "--upper: found 'wide'"),
        (
            "depth,direction,value\n" + "".join(f"10,{a},100\n" for a in range(30)),
            (),
            "at most 200 depths and 24 directions",
        ),
    ],
)
def test_what_is_no_map_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, words: tuple[str, ...], said: str
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    assert said in faults(capsys, str(path), *words)

"""sparkout gauge-study: a published study through the real command, and files that are none."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from jsonschema import Draft202012Validator

from sparkout.cli.main import find, run

# Three people, three parts, three repeats: data set ss.data.rr (column time1) of the R package
# SixSigma, read in a stored copy together with the results of its own test.
STUDY = {
    ("1", "p1"): (1.27, 0.90, 1.09),
    ("1", "p2"): (1.12, 1.09, 1.15),
    ("1", "p3"): (1.73, 1.28, 1.77),
    ("2", "p1"): (1.34, 1.32, 1.27),
    ("2", "p2"): (1.24, 1.00, 1.14),
    ("2", "p3"): (1.64, 1.65, 1.77),
    ("3", "p1"): (1.09, 1.26, 1.09),
    ("3", "p2"): (1.48, 1.15, 1.15),
    ("3", "p3"): (1.64, 1.44, 1.68),
}
ROWS = [
    (person, part, trial, value)
    for (person, part), values in STUDY.items()
    for trial, value in enumerate(values, 1)
]


@pytest.fixture
def study(tmp_path: Path) -> Path:
    path = tmp_path / "study.csv"
    text = "".join(f"{o},{p},{t},{v:.2f}\n" for o, p, t, v in ROWS)
    path.write_text("operator,part,trial,value (mm)\n" + text, encoding="utf-8")
    return path


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["gauge-study", *words, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(find("gauge-study").SCHEMA)
    Draft202012Validator(find("gauge-study").SCHEMA).validate(result)
    return dict(result)


def faults(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["gauge-study", *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    return " ".join(told.err.split())


def test_published_study(capsys: pytest.CaptureFixture[str], study: Path) -> None:
    result = data(capsys, str(study))
    squares = [row["sum_of_squares"] for row in result["anova"]]
    assert squares == pytest.approx([1.2007, 0.0529, 0.0834, 0.3854], abs=5e-5)
    assert [row["f"] for row in result["anova"][:3]] == pytest.approx(
        [28.797, 1.270, 0.974], abs=5e-4
    )
    assert result["pooled"]
    found = [result[name]["variance"] for name in
             ("repeatability", "person", "gauge", "part", "total")]  # fmt: skip
    assert found == pytest.approx([0.0213, 0.0006, 0.0219, 0.0643, 0.0862], abs=5e-5)
    assert result["gauge"]["of_study"] == pytest.approx(50.38, abs=0.005)
    assert result["categories"] == 2


def test_a_tolerance_decides(capsys: pytest.CaptureFixture[str], study: Path) -> None:
    # six times sqrt(0.0219) = 0.888 mm, the published variance: 8.88 % of 10 mm, 89 % of 1 mm
    good = data(capsys, str(study), "--tolerance", "10")
    assert (good["verdict"], good["tolerance"]) == ("good", 10)
    assert good["gauge"]["of_tolerance"] == pytest.approx(8.88, abs=0.02)
    assert data(capsys, str(study), "--tolerance", "1", status=1)["verdict"] == "not good enough"
    assert "rule of thumb" in good["rule"]


def test_inches_change_no_verdict(capsys: pytest.CaptureFixture[str], study: Path) -> None:
    mm = data(capsys, str(study), "--tolerance", "5")
    inch = data(capsys, str(study), "--tolerance", "5 mm", "--show", "in")
    assert inch["unit"] == "in"
    assert inch["repeatability"]["sd"] == pytest.approx(mm["repeatability"]["sd"] / 25.4)
    assert inch["gauge"]["of_tolerance"] == pytest.approx(mm["gauge"]["of_tolerance"])
    assert inch["shop_file"].startswith("repeatability: 0.005")


def test_a_spreadsheet_with_other_headings(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, study: Path
) -> None:
    buffer = io.BytesIO()
    with xlsxwriter.Workbook(buffer) as book:
        sheet = book.add_worksheet("Study")
        sheet.write_row(0, 0, ["Wer", "Teil", "Maß [mm]"])
        for at, (person, part, _, value) in enumerate(ROWS, 1):
            sheet.write_row(at, 0, [person, part, value])
    path = tmp_path / "study.xlsx"
    path.write_bytes(buffer.getvalue())
    words = ["--column", "operator=Wer", "--column", "part=Teil", "--column", "value=Maß [mm]"]
    result = data(capsys, str(path), *words)
    assert result["gauge"]["variance"] == pytest.approx(0.0219, abs=5e-5)
    # the headings are known from now on
    assert data(capsys, str(path))["gauge"] == result["gauge"]


def test_one_person_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "one.csv"
    rows = "".join(f"Ann,{p},{v}\n" for o, p, _, v in ROWS if o == "1")
    path.write_text("operator,part,value\n" + rows, encoding="utf-8")
    result = data(capsys, str(path))
    assert result["reproducibility"] is None
    assert any("one person alone" in text for text in result["cannot_show"])


def test_text_fits_and_speaks(capsys: pytest.CaptureFixture[str], study: Path) -> None:
    run(["gauge-study", str(study), "--tolerance", "1", "--pool", "never"])
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    said = " ".join(text.split())
    assert "✕ not good enough for a tolerance of 1.00 mm: six sigma of the gauge take" in said
    assert "people by part" in said
    assert "WHAT THIS STUDY CANNOT SHOW" in said


def test_picture(capsys: pytest.CaptureFixture[str], tmp_path: Path, study: Path) -> None:
    picture = tmp_path / "study.svg"
    assert run(["gauge-study", str(study), "--picture", str(picture)]) == 0
    text = picture.read_text(encoding="utf-8")
    assert "mean of each part by each person" in text
    assert "1 p1" in text


def test_pasted_text(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, study: Path
) -> None:
    pasted = study.read_text(encoding="utf-8").replace(",", "\t")
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(pasted.encode())))
    result = data(capsys, "-")
    assert result["gauge"]["variance"] == pytest.approx(0.0219, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "words", "said"),
    [
        (
            "operator,part\nA,1\n",
            (),
            "found the headings 'operator, part'; expected a column for value",
        ),
        ("operator,part,value\nA,1,2\nA,2,3\n", (), "1 reading of a part by one person"),
        ("operator,part,value\nA,1,2\nA,1,3\n", (), "1 part(s)"),
        ("operator,part,value\nA,1,2\nA,1,x\n", (), "bad.csv:3:3: found 'x'; expected a number"),
        (
            "operator,part,value\nA,1,2\nA,1,2.1\nA,2,3\nA,2,3.1\nB,1,2\nB,1,2.1\nB,2,3\n",
            (),
            "1 reading(s) of part 2 by B; expected 2",
        ),
        (
            "operator,part,trial,value\nA,1,1,2\nA,1,1,2.1\n",
            (),
            "bad.csv:3: found trial 1 of part 1 by A once more; expected each trial once; it "
            "stands in row 2 too",
        ),
        ("operator,part,value\nA,,2\n", (), "bad.csv:2:2: found no part"),
        ("operator,part,value\nA,1,2\n", ("--tolerance", "0"), "above zero"),
        ("operator,part,value\nA,1,2\n", ("--confidence", "100"), "50 to below 100 %"),
    ],
)
def test_what_is_no_study_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, words: tuple[str, ...], said: str
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    assert said in faults(capsys, str(path), *words)


def test_a_large_study(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    rows = "".join(
        f"{person},{part},{(part * 37 + person * 11 + k * 7) % 101}\n"
        for person in range(10)
        for part in range(200)
        for k in range(10)
    )
    path.write_text("operator,part,value\n" + rows, encoding="utf-8")
    assert data(capsys, str(path))["repeats"] == 10

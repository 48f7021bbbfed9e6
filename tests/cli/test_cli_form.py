"""sparkout form: public reference sets and worked shapes through the real command; bad points."""

from __future__ import annotations

import io
import json
import math
import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from sparkout.cli.main import find, run

# Public samples of the national metrology institute of Germany (PTB TraCIM, Chebyshev elements)
# and circles of the algorithm tests of the US National Institute of Standards and Technology, read
# in stored copies. They are not part of this project: they are looked for in the folder that
# SPARKOUT_REFERENCE_DATA names, or in ../shared/reference-data beside the checkout.
ZONES = {  # mm, as published with the sets
    ("straightness", "C01"): 0.022,
    ("straightness", "C03"): 0.001,
    ("roundness", "C09"): 0.05,
    ("roundness", "C14"): 0.002,
    ("flatness", "C17"): 0.075,
    ("flatness", "C18"): 0.001,
    ("cylindricity", "C37"): 0.025,
    ("cylindricity", "C39"): 0.002,
}


def reference(folder: Path, group: str, name: str) -> Path:
    named = os.environ.get("SPARKOUT_REFERENCE_DATA")
    home = Path(named) if named else Path(__file__).parents[3] / "shared" / "reference-data"
    path = home / group / f"{name}.csv"
    if not path.is_file():
        pytest.skip(f"no reference data at {path}; set SPARKOUT_REFERENCE_DATA to their folder")
    return Path(shutil.copy(path, folder / path.name))


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    assert run(["form", *words, "--json"]) == status
    result = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(find("form").SCHEMA)
    Draft202012Validator(find("form").SCHEMA).validate(result)
    return dict(result)


def faults(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["form", *words]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    return " ".join(told.err.split())


def points(folder: Path, text: str, name: str = "points.csv") -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def lobed(count: int, lobes: int, swing: float, radius: float = 40.0) -> list[tuple[float, float]]:
    """Angle [°] and radius of a shape r = R + swing/2·cos(lobes·angle)."""
    return [
        (360.0 * k / count, radius + swing / 2 * math.cos(math.radians(lobes * 360.0 * k / count)))
        for k in range(count)
    ]


@pytest.mark.parametrize(("what", "name"), ZONES)
def test_published_minimum_zones(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, what: str, name: str
) -> None:
    path = reference(tmp_path, "ptb-minimum-zone", name)
    result = data(capsys, what, str(path))
    assert result["form"] == pytest.approx(ZONES[what, name], abs=1e-9)
    assert result["references"][0]["method"] == "minimum zone"
    assert all(result["form"] <= one["form"] + 1e-12 for one in result["references"])


@pytest.mark.parametrize("number", [1, 11])
def test_published_circles_in_space(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, number: int
) -> None:
    path = reference(tmp_path, "nist-circles", f"cir2d{number}")
    answer = path.read_text(encoding="utf-8").splitlines()[0].rsplit(": ", 1)[1].split()
    result = data(capsys, "roundness", str(path))
    squares = next(r for r in result["references"] if r["method"] == "least squares")
    assert squares["diameter"] == pytest.approx(float(answer[6]), abs=1e-9)


def test_angles_and_radii(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    # By arithmetic: three even lobes of swing 0.010 lie between circles 0.010 apart about the same
    # middle, and a two-point gauge sees nothing of them (opposite radii add up).
    rows = "".join(f"{a:.4f},{r:.9f}\n" for a, r in lobed(36, 3, 0.010))
    result = data(capsys, "roundness", points(tmp_path, "angle,radius (mm)\n" + rows))
    assert result["form"] == pytest.approx(0.010, abs=1e-7)
    strongest = result["lobes"][0]
    assert (strongest["lobes"], strongest["two_point"]) == (3, 0)
    assert strongest["peak_to_valley"] == pytest.approx(0.010, abs=1e-6)
    assert strongest["direction"] == pytest.approx(0.0, abs=1e-3) or strongest[
        "direction"
    ] == pytest.approx(120.0, abs=1e-3)


def test_deviations_and_a_filter(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    # ISO 12181-2: a wave at the cut-off passes by half, so 15 lobes of 8 µm read 4 µm.
    rows = "".join(f"{a:.5f};{1000 * (r - 40):.6f}\n" for a, r in lobed(720, 15, 0.008))
    path = points(tmp_path, "angle;deviation [µm]\n" + rows)
    whole = data(capsys, "roundness", path, "--radius", "40 mm", "--decimal", ".")
    assert whole["form"] == pytest.approx(0.008, abs=1e-6)
    smooth = data(capsys, "roundness", path, "--radius", "40", "--undulations", "15")
    assert smooth["form"] == pytest.approx(0.004, abs=1e-6)


def test_inches_in_and_out(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    rows = "".join(f"{a:.4f},{r / 25.4:.10f}\n" for a, r in lobed(40, 4, 0.0254, 50.8))
    path = points(tmp_path, "angle,radius (in)\n" + rows)
    assert data(capsys, "roundness", path)["form"] == pytest.approx(0.0254, abs=1e-7)
    assert run(["form", "roundness", path, "--limit", "0.5 thou"]) == 1
    text = capsys.readouterr().out
    assert "roundness 1.0000 thou" in text
    assert "✕ over the limit of 0.5000 thou" in text
    assert run(["form", "roundness", path, "--show", "mm"]) == 0
    assert "roundness 25.40 µm" in capsys.readouterr().out


def test_a_cylinder_section_by_section(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    rows = "".join(
        f"{a:.4f},{r + 0.001 * z / 10:.9f},{z}\n"
        for z in (0, 50, 100)
        for a, r in lobed(24, 2, 0.02)
    )
    path = points(tmp_path, "angle,radius,z\n" + rows)
    result = data(capsys, "cylindricity", path, "--unit", "mm")
    assert [round(s["form"], 6) for s in result["sections"]] == [0.02, 0.02, 0.02]
    # oval 0.02 and a taper of 0.01 on radius: more than either, at most both
    assert 0.02 < result["form"] <= 0.03 + 1e-9
    assert any("between levels up to 50 mm apart" in text for text in result["cannot_show"])


def test_every_line_fits_and_faults_of_a_set_are_said(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    face = "x,y,z\n0,0,0\n100,0,0\n0,100,0\n100,100,0.05\n"
    assert run(["form", "flatness", points(tmp_path, face), "--unit", "mm", "--limit", "0.03"]) == 0
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    said = " ".join(text.split())
    # four corners, one 0.05 high: planes 0.025 apart hold them (a saddle about the middle)
    assert "flatness 25.00 µm" in said
    assert "4 readings are too few" in said
    assert "The least cut that cleans every reading takes 25.00 µm" in said


@pytest.mark.parametrize("what", ["roundness", "cylindricity", "flatness", "straightness"])
@pytest.mark.parametrize("suffix", ["svg", "pdf"])
def test_pictures(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, what: str, suffix: str
) -> None:
    rows = "".join(
        f"{r * math.cos(math.radians(a)):.6f},{r * math.sin(math.radians(a)):.6f},{z}\n"
        for z in (0, 40)
        for a, r in lobed(12, 2, 0.02)
    )
    face = "".join(f"{x},{y},{0.01 * ((x + y) % 3)}\n" for x in range(5) for y in range(4))
    flat = what in ("flatness", "straightness")
    path = points(tmp_path, "x,y,z\n" + (face if flat else rows))
    if what == "roundness":
        path = points(tmp_path, "x,y\n" + "".join(f"{','.join(row.split(',')[:2])}\n"
                      for row in rows.splitlines()[:12]))  # fmt: skip
    picture = tmp_path / f"out.{suffix}"
    words = ["form", what, path, "--name", "Bore 2 <top>", "--picture", str(picture)]
    assert run([*words, "--unit", "mm"]) == 0
    content = picture.read_bytes()
    assert content.startswith(b"%PDF-" if suffix == "pdf" else b"<svg")
    if suffix == "svg":
        assert b"Bore 2 &lt;top&gt;" in content


def test_bare_numbers_pasted(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    pasted = "10.01 0\n0 10.00\n-10.01 0\n0 -10.00\n"
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(pasted.encode())))
    assert run(["form", "roundness", "-"]) == 0
    told = capsys.readouterr()
    assert "roundness 10.00 µm" in told.out
    assert "no headings: the columns were taken as x, y" in told.err


@pytest.mark.parametrize(
    ("what", "text", "words", "said"),
    [
        ("roundness", "x,y\n1,1\n2,2\n3,3\n", (), "not determined"),
        ("roundness", "x,y\n1,1\n2,2\n", (), "points.csv: found"),
        ("cylindricity", "x,y,z\n1,0,0\n0,1,0\n-1,0,9\n0,-1,9\n", (), "points.csv: found"),
        ("flatness", "x,y\n1,1\n", (), "a column for z"),
        ("flatness", "x,y,z\n1,1,0\n1,2,low\n", (), "points.csv:3:3: found 'low'"),
        ("roundness", "angle,deviation\n0,1\n", (), "--radius: found deviations and no radius"),
        ("roundness", "angle,radius (kPa)\n0,1\n", (), "found the unit kPa; expected a length"),
        ("roundness", "x,y\n1,0\n0,1\n-1,0\n", ("--limit", "-1"), "a length above zero"),
        (
            "roundness",
            "angle,radius\n0,1\n10,1\n200,1.1\n",
            ("--undulations", "1"),
            "uneven angles",
        ),
        ("straightness", "", (), "nothing in it"),
    ],
)
def test_points_that_will_not_do_are_told(
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    what: str,
    text: str,
    words: tuple[str, ...],
    said: str,
) -> None:
    assert said in faults(capsys, what, points(tmp_path, text), *words)


def test_a_missing_file_is_told(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert "no such file" in faults(capsys, "roundness", str(tmp_path / "none.csv"))


def test_a_long_trace(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    rows = "".join(f"{a:.6f},{r:.9f}\n" for a, r in lobed(14_400, 5, 0.006))
    picture = tmp_path / "long.svg"
    path = points(tmp_path, "angle,radius (mm)\n" + rows)
    result = data(capsys, "roundness", path, "--picture", str(picture))
    assert result["form"] == pytest.approx(0.006, abs=1e-6)
    assert picture.stat().st_size < 200_000

"""Many engines from one shelf on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from sparkout.cli.main import run


@pytest.fixture
def jobs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> list[str]:
    made = []
    for name in ("first", "second", "third"):
        made.append(str(tmp_path / name))
        assert run(["begin", made[-1], "--demo", "farm_single"]) == 0
    capsys.readouterr()
    return made


def test_the_last_piston_goes_to_one_engine(
    jobs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["shelf", *jobs[:2]]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "piston +0.50: 1 is on the shelf and no more can be had; taken by" in said
    assert "to piston +0.75, not: bore and hone the cylinder to piston +0.50" in said
    assert "All together cannot cost less, proven." in said


def test_a_shelf_that_does_not_do_is_told(
    jobs: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Two head gaskets for three engines."""
    assert run(["shelf", *jobs]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "The shelf does not do, however it is shared out" in said
    assert "head gasket 0.80: 2 are on the shelf and no more can be had; wanted by" in said


def test_parts_are_sorted_into_sets(jobs: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["--match", "stem diameter", "--within", "0.01 mm"]
    assert run(["shelf", *jobs[:2], *arguments]) == 0
    said = capsys.readouterr().out
    assert "SETS ALIKE IN STEM DIAMETER WITHIN 0.010 MM" in said
    assert "first valve I1, second valve I1" in said


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (["{0}"], "found the same folder twice"),
        (["{workboat}"], "found another data sheet: Workboat auxiliary"),
        (["--match", "stem diameter"], "found --match or --within alone"),
        (["--match", "stem diametre", "--within", "1 mm"], "Did you mean 'stem diameter'?"),
        (["--match", "stem diameter", "--within", "2 g"], "found '2 g', a mass"),
        (["--match", "gear backlash", "--within", "1 mm"], "no gear backlash in any job"),
    ],
)
def test_what_does_not_go_together_is_refused(
    jobs: list[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    more: list[str],
    told: str,
) -> None:
    other = str(tmp_path / "boat")
    assert run(["begin", other, "--demo", "workboat_four"]) == 0
    capsys.readouterr()
    more = [word.format(jobs[0], workboat=other) for word in more]
    assert run(["shelf", *jobs[:2], *more]) == 2
    out, error = capsys.readouterr()
    assert told in " ".join(error.split())
    assert not out


def test_work_in_hand_is_told_of(jobs: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    fields = ["operation=bore and hone", "features=bore 1", "target=72.50"]
    words = [part for field in fields for part in ("--field", field)]
    assert run(["record", jobs[0], "--kind", "work", "--by", "Ines", *words]) in (0, 1)
    capsys.readouterr()
    run(["shelf", *jobs[:2]])
    said = " ".join(capsys.readouterr().out.split())
    assert "In first work is approved or done; it is planned anew here." in said

"""sparkout papers and what sparkout demo prints: files, words, JSON, and nothing half written."""

from __future__ import annotations

import hashlib
import json
import os
import stat
import subprocess
import sys
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from job_samples import copied, enter
from jsonschema import Draft202012Validator
from paper_samples import reader, words

from sparkout.cli import papers
from sparkout.cli.main import find, run
from sparkout.cli.output import CannotError
from sparkout.cli.terminal import show_lines

FILES = {"findings.pdf", "work-sheet.pdf", "build-record.pdf"}


def job(tmp_path: Path) -> Path:
    return copied(tmp_path, "farm_single")


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_writes_the_three_papers_and_says_where(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, out = job(tmp_path), tmp_path / "print" / "here"
    assert run(["papers", str(folder), "--out", str(out)]) == 0
    assert names(out) == FILES
    assert capsys.readouterr().out.split() == [
        str(out / name) for name in ("findings.pdf", "work-sheet.pdf", "build-record.pdf")
    ]
    for name, title in (("findings.pdf", "Findings and proposal"), ("work-sheet.pdf", "Work sheet"),
                        ("build-record.pdf", "Build record")):  # fmt: skip
        assert title in words((out / name).read_bytes())


def test_goes_to_out_in_the_job_folder_by_default(tmp_path: Path) -> None:
    folder = job(tmp_path)
    assert run(["papers", str(folder), "--only", "findings", "--paper", "letter"]) == 0
    assert names(folder / "out") == {"findings.pdf"}
    page = reader((folder / "out" / "findings.pdf").read_bytes()).pages[0]
    assert float(page.mediabox.width) == 612


def test_json_names_paths_and_hashes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = job(tmp_path)
    assert run(["papers", str(folder), "--json"]) == 0
    data: dict[str, Any] = json.loads(capsys.readouterr().out)
    schema = find("papers").SCHEMA
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(data)
    assert [row["paper"] for row in data["written"]] == ["findings", "work", "record"]
    for row in data["written"]:
        assert hashlib.sha256(Path(row["path"]).read_bytes()).hexdigest() == row["sha256"]


def test_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    folder = job(tmp_path)
    hashes = []
    for out in ("one", "two"):
        assert run(["papers", str(folder), "--out", str(tmp_path / out)]) == 0
        hashes.append({p.name: p.read_bytes() for p in (tmp_path / out).iterdir()})
    assert hashes[0] == hashes[1]


def test_the_job_s_number_is_its_folder_s_name(tmp_path: Path) -> None:
    folder = job(tmp_path).rename(tmp_path / "1204")
    assert run(["papers", str(folder), "--only", "findings"]) == 0
    assert "Job 1204" in words((folder / "out" / "findings.pdf").read_bytes())


def test_a_job_without_entries_is_dated_today(tmp_path: Path) -> None:
    from datetime import UTC, datetime

    folder = copied(tmp_path, "farm_single", log=False)
    before = datetime.now(UTC).date().isoformat()
    assert run(["papers", str(folder), "--only", "findings"]) == 0
    text = words((folder / "out" / "findings.pdf").read_bytes())
    assert before in text or datetime.now(UTC).date().isoformat() in text


def test_a_file_in_the_way_of_the_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, out = job(tmp_path), tmp_path / "taken"
    out.write_text("mine")
    assert run(["papers", str(folder), "--out", str(out)]) == 3
    said = capsys.readouterr()
    assert said.out == ""
    assert str(out) in said.err
    assert "nothing was written" in said.err
    assert out.read_text() == "mine"


def test_a_folder_in_the_way_of_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder, out = job(tmp_path), tmp_path / "print"
    (out / "work-sheet.pdf").mkdir(parents=True)
    (out / "findings.pdf").write_text("the old one")
    assert run(["papers", str(folder), "--out", str(out)]) == 3
    assert "work-sheet.pdf: is a folder; nothing was written" in capsys.readouterr().err
    assert names(out) == {"work-sheet.pdf", "findings.pdf"}
    assert (out / "findings.pdf").read_text() == "the old one"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_no_permission(tmp_path: Path) -> None:
    folder, out = job(tmp_path), tmp_path / "shut"
    out.mkdir()
    out.chmod(stat.S_IRUSR | stat.S_IXUSR)
    assert run(["papers", str(folder), "--out", str(out)]) == 3
    assert names(out) == set()


def test_a_full_disk_leaves_the_old_papers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "print"
    out.mkdir()
    (out / "a.pdf").write_bytes(b"old")
    written = []

    def full(handle: int) -> None:
        written.append(handle)
        if len(written) == 2:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(papers.os, "fsync", full)
    with pytest.raises(CannotError, match="No space left on device; nothing was written"):
        papers.write_all(out, {"a.pdf": b"new", "b.pdf": b"new"})
    assert names(out) == {"a.pdf"}
    assert (out / "a.pdf").read_bytes() == b"old"


def test_an_interruption_leaves_no_half_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(handle: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(papers.os, "fsync", stopped)
    with pytest.raises(KeyboardInterrupt):
        papers.write_all(tmp_path / "print", {"a.pdf": b"new"})
    assert names(tmp_path / "print") == set()


def test_a_log_that_grows_meanwhile_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = job(tmp_path)
    source_for = papers.source_for

    def late(loaded: Any, *rest: Any) -> Any:
        enter(folder, [("observation", {"feature": "deck", "what": "score", "text": "late"})])
        return source_for(loaded, *rest)

    monkeypatch.setattr(papers, "source_for", late)
    assert run(["papers", str(folder)]) == 3
    assert "written to while it was read. Run it again." in capsys.readouterr().err
    assert not (folder / "out").exists()


@pytest.mark.parametrize(
    ("words_", "told"),
    [
        (["no-such-folder"], "no such folder"),
        (["{job}", "--paper", "a3"], "a3"),
        (["{job}", "--only", "poem"], "poem"),
    ],
)
def test_bad_input_exits_with_two(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words_: list[str], told: str
) -> None:
    folder = job(tmp_path)
    assert run(["papers", *(word.format(job=folder) for word in words_)]) == 2
    assert told in capsys.readouterr().err


def test_the_demo_prints_all_three_and_tells_where(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["demo", "--engine", "farm_single"]) == 0
    said = capsys.readouterr()
    assert names(tmp_path / "sparkout-demo") == FILES
    assert said.err.split() == [
        word
        for name in ("findings.pdf", "work-sheet.pdf", "build-record.pdf")
        for word in ("wrote", str(Path("sparkout-demo") / name))
    ]
    assert "OUT OF LIMITS" in said.out


def test_the_demo_as_json_names_what_it_wrote(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "x"
    assert run(["demo", "--engine", "farm_single", "--json", "--out", str(out)]) == 0
    data = json.loads(capsys.readouterr().out)
    Draft202012Validator(find("demo").SCHEMA).validate(data)
    assert {Path(path).name for path in data["written"]} == FILES == names(out)


def test_the_demo_can_do_without(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "x"
    assert run(["demo", "--engine", "farm_single", "--no-pdf", "--out", str(out)]) == 0
    assert not out.exists()
    assert capsys.readouterr().err == ""


def test_a_place_that_cannot_be_written_to_ends_the_demo_with_three(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "taken"
    out.write_text("mine")
    assert run(["demo", "--engine", "farm_single", "--out", str(out)]) == 3
    said = capsys.readouterr()
    assert "OUT OF LIMITS" in said.out
    assert "nothing was written" in said.err


def test_the_typesetter_is_loaded_only_where_a_pdf_is_made(tmp_path: Path) -> None:
    code = "import sys; from sparkout.cli.main import run; run(sys.argv[1:]); " \
           "print('typst' in sys.modules, file=sys.stderr)"  # fmt: skip

    def loaded(*words_: str) -> str:
        done = subprocess.run(
            [sys.executable, "-c", code, *words_], capture_output=True, text=True, check=True
        )
        return done.stderr.split()[-1]

    assert loaded("demo", "--engine", "farm_single", "--no-pdf") == "False"
    assert loaded("papers", "--help") == "False"
    assert loaded("demo", "--engine", "farm_single", "--out", str(tmp_path)) == "True"


class Screen(StringIO):
    def isatty(self) -> bool:
        return True


def test_colour_only_on_a_terminal_and_never_against_no_color(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    lines = ["OUT OF LIMITS", "  ✕ bore: 2"]
    show_lines(lines)
    assert "\x1b" not in capsys.readouterr().out
    screen = Screen()
    monkeypatch.setattr(sys, "stdout", screen)
    show_lines(lines)
    assert "\x1b[31m✕" in screen.getvalue()
    monkeypatch.setenv("NO_COLOR", "1")
    quiet = Screen()
    monkeypatch.setattr(sys, "stdout", quiet)
    show_lines(lines)
    assert quiet.getvalue() == "OUT OF LIMITS\n  ✕ bore: 2\n"

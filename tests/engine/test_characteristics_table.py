"""The table of what is measured: complete, and told truly in the documents."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from sparkout.engine.characteristics import ALL, BY_NAME, Derive

ROOT = Path(__file__).resolve().parents[2]

# The trade's own list of what is looked at on each component (common practice), by mark.
MARKS = {
    "B": range(1, 26),
    "K": range(1, 17),
    "R": range(1, 12),
    "P": range(1, 11),
    "C": range(1, 12),
    "H": range(1, 21),
    "O": range(1, 4),
    "G": range(1, 4),
    "D": range(1, 3),
    "W": range(1, 3),
    "X": range(1, 2),  # what was tightened (2, 3) stands in the log of the assembly
}


def tool():
    spec = importlib.util.spec_from_file_location("page", ROOT / "tools" / "characteristics.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("letter", MARKS)
def test_every_mark_of_the_trade_is_there(letter: str) -> None:
    there = {int(item.mark[1:]) for item in ALL if item.mark[0] == letter}
    assert there >= set(MARKS[letter])


def test_everything_says_with_what_where_and_how() -> None:
    for item in ALL:
        assert item.gauge, item.name
        assert item.places, item.name
        assert item.derivation, item.name
        if item.basis:
            assert item.basis in BY_NAME, item.name


def test_what_is_worked_out_over_places_says_how() -> None:
    assert all(item.how for item in ALL if item.derive is Derive.FORM)


def test_the_page_is_what_the_table_makes() -> None:
    module = tool()
    assert module.PAGE.read_text(encoding="utf-8") == module.page()
    assert module.main(["--check"]) == 0


def test_a_page_that_fell_behind_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    module = tool()
    stale = tmp_path / "characteristics.md"
    stale.write_text(module.page().replace("bore taper", "bore tapering"), encoding="utf-8")
    monkeypatch.setattr(module, "PAGE", stale)
    assert module.main(["--check"]) == 1

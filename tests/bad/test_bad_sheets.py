"""Faulty data sheets: every fault with its place, and nothing else, word for word.

Each .yaml beside this file has a .txt with the exact message. A change of a message is a change for
the person who reads it, so it is changed here on purpose or not at all.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from sparkout.engine.names import known_names
from sparkout.sheet.files import open_sheet

SHEETS = sorted((Path(__file__).parent / "sheets").glob("*.yaml"))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_message(path):
    sheet, faults = open_sheet(path, known_names())
    expected = path.with_suffix(".txt").read_text(encoding="utf-8")
    assert "".join(f"{fault}\n" for fault in faults) == expected
    assert (sheet is None) == bool(faults)


def test_there_are_bad_sheets_and_a_sound_one():
    assert len(SHEETS) > 15
    assert (Path(__file__).parent / "sheets" / "sound.txt").read_text() == ""

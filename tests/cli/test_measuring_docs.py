"""Every console block of docs/measuring.md prints what stands there, on the example files."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

import sparkout
from sparkout.cli.main import find, run

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "measuring.md"
DEMOS = Path(sparkout.__file__).parent / "demos"
TEXT = PAGE.read_text("utf-8")
_BLOCK = r"```console\n\$ sparkout (.*?(?:\\\n.*?)*)\n(.*?)\n```"
BLOCKS = re.findall(_BLOCK, TEXT, re.DOTALL)


def words_of(typed: str) -> list[str]:
    return shlex.split(typed.replace("\\\n", " "))


def test_every_measuring_command_is_shown() -> None:
    shown = {words_of(typed)[0] for typed, _ in BLOCKS}
    assert shown == {
        "bore-map",
        "form",
        "texture",
        "hatch",
        "gauge-study",
        "chart",
        "listen",
    }


@pytest.mark.parametrize(("typed", "printed"), BLOCKS, ids=[t.split("\\")[0] for t, _ in BLOCKS])
def test_the_page_prints_what_the_command_prints(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    typed: str,
    printed: str,
) -> None:
    folder = tmp_path / "examples"
    shutil.copytree(ROOT / "docs" / "examples", folder)
    shutil.copytree(DEMOS / "workboat_four", folder / "jobs" / "1204")
    shutil.copy(DEMOS / "shop.yaml", folder / "jobs")
    monkeypatch.chdir(folder)
    words = words_of(typed)
    more = ["--by", "bench"] if words[0] == "listen" else []
    assert run([*words, *more]) in (0, 1)
    assert capsys.readouterr().out.rstrip() == printed


def test_every_picture_is_there() -> None:
    pictures = re.findall(r"!\[[^]]+\]\(([^)]+)\)", TEXT)
    assert pictures
    assert all((PAGE.parent / name).is_file() for name in pictures)


def test_options_on_the_page_exist() -> None:
    """An option named in running text belongs to one of the commands it speaks of."""
    from sparkout.cli.parsing import build

    text = re.sub(r"```.*?```", "", TEXT, flags=re.DOTALL)
    named = set(re.findall(r"`[^`]*?(--[a-z][a-z-]*)", text))
    known = {
        option
        for name in (
            "bore-map",
            "form",
            "texture",
            "hatch",
            "gauge-study",
            "chart",
            "listen",
            "check",
        )
        for action in build(name, find(name))._actions
        for option in action.option_strings
    }
    assert named
    assert named <= known

"""Completion scripts, the one of bash tried in a real bash."""

import shutil
import subprocess

import pytest

from sparkout.cli.main import COMMANDS, run

NAMES = {name for name, _, _ in COMMANDS}


def script(shell: str, capsys: pytest.CaptureFixture[str]) -> str:
    assert run(["completion", shell]) == 0
    said = capsys.readouterr()
    assert "Keep it in" in said.err
    return said.out


def completed(text: str, line: str) -> set[str]:
    """What bash offers when Tab is pressed at the end of the line."""
    words = line.split(" ")
    asked = " ".join(f'"{word}"' for word in words)
    code = (
        f"{text}\n"
        f"COMP_WORDS=({asked}); COMP_CWORD={len(words) - 1}; COMP_LINE={line!r}\n"
        f"COMP_POINT={len(line)}\n"
        'how=$(complete -p sparkout | sed "s/.*-F \\([^ ]*\\).*/\\1/")\n'
        '"$how" sparkout "${COMP_WORDS[COMP_CWORD]}" "${COMP_WORDS[COMP_CWORD-1]}"\n'
        'printf "%s\\n" "${COMPREPLY[@]}"\n'
    )
    done = subprocess.run(["bash", "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("sparkout ", NAMES),
        ("sparkout cle", {"clearance"}),
        ("sparkout completion ", {"bash", "zsh", "fish"}),
        ("sparkout clearance --", {"--hole", "--shaft", "--wall", "--unit", "--json", "--help"}),
        ("sparkout size --unit ", {"mm", "in", "thou"}),
    ],
)
def test_in_bash(line: str, offered: set[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert offered <= completed(script("bash", capsys), line)


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_offers_nothing_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert completed(script("bash", capsys), "sparkout zzz") == set()


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_the_other_shells_know_every_command(
    shell: str, capsys: pytest.CaptureFixture[str]
) -> None:
    text = script(shell, capsys)
    assert all(name in text for name in NAMES)
    assert "wall" in text
    if shutil.which(shell):  # read without running where the shell is there
        subprocess.run([shell, "-n", "-c", text], check=True)


def test_an_unknown_shell(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["completion", "cmd"]) == 2
    assert "invalid choice: 'cmd'" in capsys.readouterr().err

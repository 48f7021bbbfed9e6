"""The entry point: help, slips, exit statuses, streams."""

import argparse
import errno
import io
import json
import os
import signal
import subprocess
import sys
import time
from types import ModuleType

import pytest

from sparkout import __version__
from sparkout.cli import main as front
from sparkout.cli.output import CannotError, colours, paint
from sparkout.cli.parsing import build
from sparkout.faults import Fault, Place

RUN = "import sys; from sparkout.cli.main import run; sys.exit(run())"


def sparkout(*words: str, **settings: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, **settings}
    return subprocess.run(
        [sys.executable, "-c", RUN, *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=environment,
        check=False,
    )


@pytest.fixture
def trial(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """A command 'trial' whose main the test supplies."""
    module = ModuleType("sparkout.cli.trial")
    module.HELP = "A trial."  # type: ignore[attr-defined]
    module.parser = lambda p: None  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "sparkout.cli.trial", module)
    monkeypatch.setattr(front, "COMMANDS", (*front.COMMANDS, ("trial", "Test", "a trial")))
    return module


def test_version() -> None:
    done = sparkout("--version")
    assert (done.returncode, done.stdout, done.stderr) == (0, f"sparkout {__version__}\n", "")


@pytest.mark.parametrize("word", ["--help", "-h", "help"])
def test_help_lists_every_command_on_standard_output(word: str) -> None:
    done = sparkout(word)
    assert (done.returncode, done.stderr) == (0, "")
    for name, heading, line in front.COMMANDS:
        assert f"  {name}" in done.stdout
        assert heading in done.stdout
        assert line in done.stdout


def test_nothing_asked_is_a_usage_error() -> None:
    done = sparkout()
    assert (done.returncode, done.stdout) == (2, "")
    assert "usage: sparkout COMMAND" in done.stderr


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("szie", "'szie' is not a command. Did you mean 'size'?"),
        ("clearence", "Did you mean 'clearance'?"),
        ("frobnicate", "'frobnicate' is not a command.\n"),
        ("--verison", "'--verison' is not an option here."),
    ],
)
def test_a_mistyped_command(word: str, says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert front.run([word]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert says in said.err


def test_a_mistyped_option(capsys: pytest.CaptureFixture[str]) -> None:
    assert front.run(["size", "5 mm", "--jsn"]) == 2
    assert "did you mean --json?" in capsys.readouterr().err
    # Options are not guessed from their beginning: a script must not change meaning later.
    assert front.run(["size", "5 mm", "--js"]) == 2


@pytest.mark.parametrize("name", [name for name, _, _ in front.COMMANDS])
def test_each_command_has_help_of_80_columns(name: str) -> None:
    text = build(name, front.find(name)).format_help()
    assert max(len(line) for line in text.splitlines()) <= 80
    assert text.startswith(f"usage: sparkout {name}")


def test_a_long_list_of_choices_stands_in_the_help_text(trial: ModuleType) -> None:
    choices = tuple(f"choice-{letter}" for letter in "abcdefghijkl")

    def parser(p: argparse.ArgumentParser) -> None:
        p.add_argument("--kind", choices=choices, help="which kind, 100 %% sure")

    trial.parser = parser  # type: ignore[attr-defined]
    text = build("trial", trial).format_help()
    assert "[--kind KIND]" in text
    assert all(choice in text for choice in choices)
    assert max(len(line) for line in text.splitlines()) <= 80


def test_the_list_of_commands_fits_80_columns(capsys: pytest.CaptureFixture[str]) -> None:
    assert front.run(["--help"]) == 0
    assert max(len(line) for line in capsys.readouterr().out.splitlines()) <= 80


@pytest.mark.parametrize(
    ("raised", "status", "says"),
    [
        (CannotError("the job is locked by another session.", "Try again."), 3, "is locked"),
        (OSError(errno.ENOSPC, "No space left on device", "job/log"), 3, "job/log: No space left"),
        (PermissionError(errno.EACCES, "Permission denied", "x"), 3, "x: Permission denied"),
        (OSError(errno.EROFS, "Read-only file system", "x"), 3, "Read-only"),
        (FileNotFoundError(errno.ENOENT, "No such file or directory", "x"), 2, "x: No such file"),
        (IsADirectoryError(errno.EISDIR, "Is a directory", "x"), 2, "x: Is a directory"),
        (KeyboardInterrupt(), 130, "interrupted"),
        (ZeroDivisionError("our bug"), 3, "a fault in Sparkout itself"),
        (RecursionError("our bug"), 3, "RecursionError: our bug"),
    ],
)
def test_what_a_command_raises_becomes_a_status(
    trial: ModuleType,
    capsys: pytest.CaptureFixture[str],
    raised: BaseException,
    status: int,
    says: str,
) -> None:
    def stumble(args: object) -> int:
        raise raised

    trial.main = stumble  # type: ignore[attr-defined]
    assert front.run(["trial"]) == status
    said = capsys.readouterr()
    assert says in said.err
    assert said.out == ""


@pytest.mark.parametrize("status", [0, 1, 2, 3])
def test_the_status_of_a_command_is_passed_on(trial: ModuleType, status: int) -> None:
    trial.main = lambda args: status  # type: ignore[attr-defined]
    assert front.run(["trial"]) == status


@pytest.mark.skipif(os.name != "posix", reason="signals and pipes of POSIX")
class TestProcess:
    def test_an_interrupt_from_outside(self) -> None:
        code = (
            "import sys, time, types\n"
            "from sparkout.cli import main as front\n"
            "m = types.ModuleType('sparkout.cli.trial')\n"
            "m.HELP = 'x'; m.parser = lambda p: None\n"
            "def wait(args):\n    print('ready', flush=True); time.sleep(30)\n"
            "m.main = wait\n"
            "sys.modules['sparkout.cli.trial'] = m\n"
            "front.COMMANDS += (('trial', 'T', 't'),)\n"
            "sys.exit(front.run(['trial']))\n"
        )
        process = subprocess.Popen(
            [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=20)
        assert process.returncode == 130
        assert said.strip() == "interrupted"

    # Buffered, the command is done before its reader is missed; unbuffered, it cannot deliver.
    @pytest.mark.parametrize(("unbuffered", "status"), [("", 0), ("1", 3)])
    def test_a_reader_that_goes_away_is_met_in_silence(self, unbuffered: str, status: int) -> None:
        reader, writer = os.pipe()
        os.close(reader)
        with os.fdopen(writer, "w") as closed:
            done = subprocess.run(
                [sys.executable, "-c", RUN, "size", "5 mm"],
                stdout=closed,
                stderr=subprocess.PIPE,
                text=True,
                env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
                check=False,
            )
        assert (done.returncode, done.stderr) == (status, "")

    def test_a_full_device_is_told(self) -> None:
        if not os.path.exists("/dev/full"):
            pytest.skip("no /dev/full here")
        with open("/dev/full", "w") as full:
            done = subprocess.run(
                [sys.executable, "-c", RUN, "size", "5 mm"],
                stdout=full,
                stderr=subprocess.PIPE,
                text=True,
                check=False,
            )
        assert done.returncode == 3
        assert "No space left on device" in done.stderr

    def test_a_terminal_that_knows_only_ascii_still_gets_the_figure(self) -> None:
        done = sparkout("size", "15 µm", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
        assert done.returncode == 0
        assert "0.015" in done.stdout

    def test_an_argument_that_is_no_text_is_refused_not_stumbled_over(self) -> None:
        done = subprocess.run(
            [sys.executable, "-c", RUN, "size", b"5 \xff"], capture_output=True, check=False
        )
        assert done.returncode == 2
        assert b"Traceback" not in done.stderr

    def test_the_installed_command(self) -> None:
        script = os.path.join(os.path.dirname(sys.executable), "sparkout")
        if not os.path.exists(script):
            pytest.skip("sparkout is not installed beside this Python")
        done = subprocess.run([script, "--version"], capture_output=True, text=True, check=False)
        assert done.stdout == f"sparkout {__version__}\n"


class TestOutput:
    def test_faults_are_told_all_at_once_in_80_columns(
        self, capsys: pytest.CaptureFixture[str]
    ) -> None:
        from sparkout.cli.output import show_faults

        faults = [
            Fault(Place("sheet.yaml", 3, 5, "bores > bore 1"), "'x' " * 30, "a length", "Type it."),
            Fault(Place("sheet.yaml", 9, 1), "'y'", "a torque"),
            Fault(Place("sheet.yaml", 9, 1), "'z'", "a torque", stops=False),
        ]
        assert show_faults(faults) == 2
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err.startswith("sheet.yaml:3:5: bores > bore 1: found 'x'")
        assert "    expected a length.\n    Type it.\nsheet.yaml:9:1: found 'y';\n" in said.err
        assert said.err.endswith("2 faults; nothing was done.\n")
        assert max(len(line) for line in said.err.splitlines()) <= 79

    def test_a_warning_alone_does_not_stop(self, capsys: pytest.CaptureFixture[str]) -> None:
        from sparkout.cli.output import show_faults

        assert show_faults([Fault(Place("a"), "x", "y", stops=False)]) == 0
        assert show_faults([]) == 0

    def test_faults_as_json(self, capsys: pytest.CaptureFixture[str]) -> None:
        from sparkout.cli.output import show_faults

        assert show_faults([Fault(Place("a", 1, 2, "k"), "x", "y", "z")], as_json=True) == 2
        assert json.loads(capsys.readouterr().out) == {
            "sparkout": __version__,
            "schema": "faults",
            "faults": [
                {
                    "file": "a", "line": 1, "column": 2, "key": "k", "found": "x",
                    "expected": "y", "remedy": "z", "stops": True,
                }
            ],
        }  # fmt: skip

    def test_no_colour_where_nobody_sees_it(self, monkeypatch: pytest.MonkeyPatch) -> None:
        class Terminal(io.StringIO):
            def isatty(self) -> bool:
                return True

        monkeypatch.delenv("NO_COLOR", raising=False)
        monkeypatch.setenv("TERM", "xterm")
        assert colours(Terminal())
        assert paint("x", "red", Terminal()) == "\x1b[31mx\x1b[0m"
        assert not colours(io.StringIO())
        assert paint("x", "red", io.StringIO()) == "x"
        monkeypatch.setenv("NO_COLOR", "1")
        assert not colours(Terminal())
        monkeypatch.delenv("NO_COLOR")
        monkeypatch.setenv("TERM", "dumb")
        assert not colours(Terminal())


def test_start_is_quick_enough_not_to_be_noticed() -> None:
    # The measured goals are ratios in benchmarks/start_up.py; this only catches a gross slip.
    began = time.perf_counter()
    assert sparkout("--version").returncode == 0
    assert time.perf_counter() - began < 5

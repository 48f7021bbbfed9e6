"""What a quick command loads. A module too many costs more than the answer."""

import subprocess
import sys

import pytest

RUN = "import sys; from sparkout.cli.main import run; sys.exit(run())"
HEAVY = {
    "numpy",
    "pydantic",
    "pydantic_core",
    "dataclasses",
    "typst",
    "highspy",
    "ruamel",
    "ruamel.yaml",
    "typing",
    "importlib.metadata",
    "shutil",
    "inspect",
    "numba",
}


def loaded(*words: str) -> set[str]:
    """Every module the interpreter itself reports loading for this command line."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", RUN, *words],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    lines = (line for line in done.stderr.splitlines() if line.startswith("import time:"))
    names = {line.rpartition("|")[2].strip() for line in lines}
    assert "sparkout.cli.main" in names  # the report was read
    return names


@pytest.mark.parametrize("word", ["--help", "--version"])
def test_help_and_version_load_nothing(word: str) -> None:
    modules = loaded(word)
    assert not modules & (HEAVY | {"argparse", "fractions", "json", "re"})
    assert {name for name in modules if name.startswith("sparkout")} == {
        "sparkout",
        "sparkout.cli",
        "sparkout.cli.main",
    }


@pytest.mark.parametrize(
    "words",
    [
        ("size", "3 27/64 in"),
        ("size", "3 27/64 in", "--json"),
        ("gap", "12 fits, 13 does not"),
        ("between", "100.246", "--limit", "at most 100.20 mm", "--u", "0.003"),
        ("clearance", "--hole", "80.010", "--shaft", "74.962", "--wall", "2.478"),
    ],
)
def test_one_figure_commands_stay_light(words: tuple[str, ...]) -> None:
    modules = loaded(*words)
    assert not modules & HEAVY
    ours = {name for name in modules if name.startswith("sparkout.")}
    assert {name.split(".")[1] for name in ours} == {"cli", "units"}


def test_a_bare_import_of_the_package_is_light() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import sys, sparkout; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert not set(done.stdout.split()) & HEAVY

"""How long a command takes to answer, against Python itself doing nothing.

Peer: `python -c pass` of the same interpreter. Every command is run in turn, round after round, so
that a busy machine slows all of them alike. The ratio of medians is what counts; the ratio of the
least times, which other work on the machine disturbs less, stands beside it. Goals: --help and
--version within 2.2 times the bare interpreter, a one-figure command within 3 times.

Byte code is compiled first, as an installer does: without it every start compiles the sources anew.
"""

from __future__ import annotations

import compileall
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import sparkout

ROUNDS = 41
_RUN = "import sys; from sparkout.cli.main import run; sys.exit(run())"

# what, arguments behind the interpreter, goal
CASES: tuple[tuple[str, tuple[str, ...], float | None], ...] = (
    ("python -c pass (peer)", ("-c", "pass"), None),
    ("python -c 'import argparse'", ("-c", "import argparse"), None),
    ("sparkout --version", ("-c", _RUN, "--version"), 2.2),
    ("sparkout --help", ("-c", _RUN, "--help"), 2.2),
    ("sparkout size", ("-c", _RUN, "size", "3 27/64 in"), 3.0),
    ("sparkout size --json", ("-c", _RUN, "size", "3 27/64 in", "--json"), 3.0),
    ("sparkout gap", ("-c", _RUN, "gap", "0.06 passes, 0.08 not"), 3.0),
    (
        "sparkout between",
        ("-c", _RUN, "between", "0.092", "--limit", "0.055 to 0.100 mm", "--u", "0.003"),
        3.0,
    ),
    (
        "sparkout clearance",
        ("-c", _RUN, "clearance", "--hole", "80.010", "--shaft", "74.962", "--wall", "2.478"),
        3.0,
    ),
    ("sparkout (a slip)", ("-c", _RUN, "szie"), 3.0),
)


def milliseconds(arguments: tuple[str, ...]) -> float:
    began = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
    )
    return (time.perf_counter() - began) * 1000


def main(rounds: int = ROUNDS) -> None:
    folder = str(Path(sparkout.__file__).parent)
    compileall.compile_dir(folder, quiet=1)
    taken: dict[str, list[float]] = {name: [] for name, _, _ in CASES}
    for turn in range(rounds + 2):
        for name, arguments, _ in CASES:
            once = milliseconds(arguments)
            if turn >= 2:  # the first two rounds warm the disk cache
                taken[name].append(once)
    peer = taken[CASES[0][0]]
    print(f"{rounds} rounds in turn; {os.cpu_count()} cores, Python {sys.version.split()[0]}")
    print(f"{'command':32}{'median ms':>10}{'least ms':>10}{'ratio':>8}{'of least':>10}{'goal':>7}")
    for name, _, goal in CASES:
        middle, least = statistics.median(taken[name]), min(taken[name])
        ratios = f"{middle / statistics.median(peer):8.2f}{least / min(peer):10.2f}"
        shown = f"{goal:7.1f}" if goal else ""
        print(f"{name:32}{middle:10.1f}{least:10.1f}{ratios}{shown}")


if __name__ == "__main__":
    main()

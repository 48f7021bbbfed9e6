"""A person at the bench: types commands, reads what comes back, never looks inside."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from collections.abc import Iterable, Mapping
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

import sparkout
from sparkout.cli.main import find, run

DEMOS = Path(sparkout.__file__).parent / "demos"


@dataclass
class Told:
    """What a command printed. out: results; err: what it said about the run."""

    status: int
    out: str
    err: str

    @property
    def words(self) -> str:
        """All of it in one line, so that a wrap does not matter."""
        return " ".join((self.out + " " + self.err).split())


@dataclass
class Bench:
    """One job in a folder of its own, worked on through commands alone."""

    job: Path
    by: str = "Ana"
    typed: list[str] = field(default_factory=list)

    def sparkout(self, command: str, *words: str, status: int = 0) -> Told:
        """Run a command on the job. status: what it is to exit with."""
        line = [command, str(self.job), *words]
        self.typed.append(" ".join(line))
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            got = run(line)
        told = Told(got, out.getvalue(), err.getvalue())
        assert got == status, f"{self.typed[-1]}\nexit {got}\n{told.out}\n{told.err}"
        return told

    def data(self, command: str, *words: str, status: int = 0) -> dict[str, Any]:
        told = json.loads(self.sparkout(command, *words, "--json", status=status).out)
        Draft202012Validator(find(command).SCHEMA).validate(told)
        return dict(told)

    def record(self, *words: str, status: int = 0) -> Told:
        return self.sparkout("record", *words, "--by", self.by, status=status)

    def check(self, *words: str, status: int = 0) -> Told:
        return self.record(*words, "--kind", "check", status=status)

    def fields(self, kind: str, *pairs: str, more: Iterable[str] = (), status: int = 0) -> Told:
        """Any other entry, field by field."""
        words = [word for pair in pairs for word in ("--field", pair)]
        return self.record("--kind", kind, *words, *more, status=status)

    def lines(self) -> int:
        """How many entries the log holds."""
        log = self.job / "log.jsonl"
        return len(log.read_text("utf-8").splitlines()) if log.exists() else 0

    def step(self, name: str) -> Mapping[str, Any]:
        """A step of the assembly as it stands."""
        every = self.data("assembly", status=self.assembly_status())["steps"]
        return next(step for step in every if step["step"] == name)

    def assembly_status(self) -> int:
        return self.sparkout_status("assembly")

    def sparkout_status(self, command: str) -> int:
        """What a command exits with."""
        out = io.StringIO()
        with redirect_stdout(out), redirect_stderr(out):
            return run([command, str(self.job), "--json"])


def begin(folder: Path, demo: str, *, readings: bool = False) -> Bench:
    """A new job from the sheet of an invented engine; with its readings, or an empty log."""
    here = DEMOS / demo
    shop = here / "shop.yaml" if (here / "shop.yaml").exists() else DEMOS / "shop.yaml"
    bench = Bench(folder)
    words = ["--sheet", str(here / "engine.yaml"), "--shop", str(shop),
             "--supply", str(here / "supply.yaml")]  # fmt: skip
    bench.sparkout("begin", *(["--demo", demo] if readings else words))
    return bench


def lengths(demo: str, path: Path, *, phase: str = "found") -> tuple[Path, list[dict[str, str]]]:
    """The lengths among a demonstration's readings as a file of the shop's own; the other rows."""
    from sparkout.engine.characteristics import BY_NAME

    with (DEMOS / demo / "readings.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["phase"] == phase]
    long = [row for row in rows if BY_NAME[row["characteristic"]].dimension == "length"]
    names = ("feature", "characteristic", "level", "direction", "reading", "gauge", "note")
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, extrasaction="ignore")
        writer.writeheader()
        writer.writerows(long)
    return path, [row for row in rows if row not in long]


def good_value(check: Mapping[str, Any]) -> str:
    """A figure well inside the limits of a check, in the unit the sheet prints them in."""
    bounds = check["bounds"]
    assert bounds is not None, f"{check['check']} has no limit to be inside of"
    typed = str(bounds["typed"])
    if bounds["low"] is not None and bounds["high"] is not None and bounds["low"] < 0:
        return "0"
    numbers = [float(word) for word in re.findall(r"\d*\.?\d+", typed)]
    unit = typed.split()[-1]
    if len(numbers) > 1:
        value = sum(numbers[:2]) / 2
    else:
        value = numbers[0] * (0.5 if "most" in typed else 1.2)
    return f"{value:.4g} {unit}"


def copied(bench: Bench, folder: Path) -> Bench:
    """The same job in another folder, to try something on."""
    shutil.copytree(bench.job, folder)
    return Bench(folder, bench.by)


def first_readings(bench: Bench, demo: str, file: Path) -> None:
    """Lengths from a file, whatever else was read one by one."""
    path, others = lengths(demo, file)
    bench.sparkout("bring", str(path), "--unit", "mm", "--by", bench.by)
    for row in others:
        words = [row["feature"], row["characteristic"], row["reading"]]
        for option in ("level", "direction", "gauge"):
            if row[option]:
                words += [f"--{option}", row[option]]
        bench.record(*words)


GAUGES = {"valve lash": "FG-1", "cam timing error": "DW-1"}
SECOND = ("--field", "second_person=Otto")


def do_step(bench: Bench, step: Mapping[str, Any]) -> None:
    """Do an open step as it asks: every check recorded, every reading well inside its limits."""
    name = step["step"]
    if not step["checks"]:
        bench.check(name, "done", *SECOND)
    for check in step["checks"]:
        if check["state"] != "not recorded":
            continue
        about = [check["feature"]] if check["feature"] else []
        words = [f"{name}/{check['check']}", *about]
        if check["kind"] == "seen":
            bench.check(f"{name}/{check['check']}", "done", *SECOND)
        elif check["kind"] in ("reading", "figure"):
            gauge = GAUGES.get(check["check"], "DI-1")
            bench.check(*words, good_value(check), "--gauge", gauge)
        elif check["kind"] == "fasteners":
            tighten(bench, name)


def tighten(bench: Bench, step: str, until: int | None = None) -> None:
    """Bring the fasteners of a joint through their stages one at a time, each as it is told."""
    told = bench.data("tighten", step)
    joint = told["joint"]
    moves = joint["moves"][told["step"]["next_fastener"]["done"] : until]  # until: of all moves
    for move in moves:
        stage = joint["stages"][move["stage"] - 1]
        value = stage["words"].removeprefix("snug ").removeprefix("turn ")
        bench.data("tighten", step, "--done", value, "--tool", "TW-1", "--lubricant",
                   joint["lubrication"], "--second", "Otto", "--by", bench.by)  # fmt: skip


def build_up_to(bench: Bench, last: str) -> None:
    """Do every step that can be done until one comes up; that one is left."""
    while True:
        told = bench.data("assembly", status=bench.assembly_status())
        todo = [step for step in told["steps"] if step["state"] == "open"]
        names = [step["step"] for step in todo]
        assert todo, f"nothing can be done, and {last} is not reached"
        if names == [last]:
            return
        do_step(bench, next(step for step in todo if step["step"] != last))

"""sparkout forecast: what the job may cost and take before everything is measured."""

from __future__ import annotations

import sys
from dataclasses import dataclass

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json
from sparkout.cli.shapes import COUNT, FLAG, NUMBER, TEXT, TEXTS, listed, record

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from pathlib import Path
    from typing import Any

    from sparkout.forecast.case import Case, Found
    from sparkout.forecast.forecast import Forecast
    from sparkout.load import JobFiles

HELP = """\
Say what a job is likely to cost and take before everything is measured: plausible
readings are drawn for what is not read yet, each engine so made is planned to its
proven cheapest plan, and the prices are told as P10, P50 and P90, with the chance of
each big item and what to measure next. Works before teardown and half way through."""

_RANGE = {**record({"p10": NUMBER, "p50": NUMBER, "p90": NUMBER}), "type": ["object", "null"]}
SCHEMA = envelope(
    "forecast",
    {
        "engine": TEXT,
        "currency": TEXT,
        "seed": COUNT,
        "asked": COUNT,
        "done": COUNT,
        "stopped": FLAG,
        "read": COUNT,
        "drawn": COUNT,
        "price": _RANGE,
        "hours": _RANGE,
        "days": _RANGE,
        "items": listed(
            record(
                {
                    "words": TEXT,
                    "chance": NUMBER,
                    "with_set_ups": NUMBER,
                    "features_when_needed": NUMBER,
                }
            )
        ),
        "next": listed(
            record(
                {
                    "characteristic": TEXT,
                    "features": TEXTS,
                    "settles": NUMBER,
                    "narrows": NUMBER,
                    "turns": NUMBER,
                    "item": TEXT,
                }
            )
        ),
        "left_to_a_person": listed(record({"limit": TEXT, "chance": NUMBER})),
        "no_plan": NUMBER,
        "origins": listed(
            record({"source": TEXT, "rule_of_thumb": FLAG, "characteristics": TEXTS})
        ),
        "not_in_the_forecast": TEXTS,
    },
)

_MOST = 100_000


def parser(p: argparse.ArgumentParser) -> None:
    from pathlib import Path

    add_job(p)
    p.add_argument("--engines", type=int, default=200, metavar="N",
                   help="plausible engines to draw (200)")  # fmt: skip
    p.add_argument("--seed", type=int, default=1, metavar="S",
                   help="the same seed gives the same answer (1)")  # fmt: skip
    p.add_argument("--unmeasured", action="store_true",
                   help="as if nothing had been read yet: before teardown")  # fmt: skip
    p.add_argument("--history", type=Path, metavar="FILE",
                   help="what earlier engines of the family were found at (CSV); without it, "
                   "history.csv in the job folder or beside it")  # fmt: skip
    p.add_argument(
        "--remember",
        type=Path,
        metavar="FILE",
        help="add what this engine was found at to a history file; no forecast",
    )
    p.add_argument("--picture", type=Path, metavar="FILE", help="write the forecast as SVG, too")
    p.add_argument("--processes", type=int, metavar="N",
                   help="how many work at once (as many as there are cores)")  # fmt: skip
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout forecast jobs/1204 --engines 500\n"
        "  sparkout forecast jobs/1204 --unmeasured --picture range.svg\n"
        "  sparkout forecast jobs/1204 --remember jobs/history.csv\n"
        "Ctrl-C stops; what is done by then is kept and told."
    )


def main(args: argparse.Namespace) -> int:
    wrong = _wrong(args)
    if wrong:
        return show_faults(wrong, args.json)
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    if args.remember is not None:
        return _remember(args, job)
    path = args.history or _usual(args.job)
    history, faults = _history(path)
    status = show_faults(faults, args.json)
    if status:
        return status
    import os

    from sparkout.forecast.forecast import forecast_of, picture
    from sparkout.forecast.run import opened as desk_at
    from sparkout.forecast.run import run

    opener = _Opener(job.files, args.unmeasured, history)
    desk = desk_at(opener, args.seed)
    bar = _Bar()
    done = run(
        opener,
        desk,
        args.engines,
        processes=args.processes or os.cpu_count() or 1,
        start="fork" if sys.platform == "linux" else "spawn",
        progress=bar.show,
    )
    bar.end()
    found = forecast_of(desk, done, args.engines)
    stopped = found.summary.draws < found.asked
    if stopped:
        say(f"Stopped: {found.summary.draws} of {found.asked} engines are worked out and kept.")
    if not done:
        return 130
    drawing = picture(found) if args.picture else None
    if drawing is not None:
        args.picture.write_text(drawing, encoding="utf-8")
        say(f"{args.picture}: the forecast as a drawing.")
    if args.json:
        show_json("forecast", _data(found, stopped))
    else:
        from sparkout.cli.forecast_text import forecast_text
        from sparkout.cli.terminal import show_lines

        show_lines(forecast_text(found))
    if stopped:
        return 130
    return 1 if found.summary.price is None else 0


@dataclass(frozen=True)
class _Opener:
    """Makes the case from the job's files, here or in a worker."""

    files: JobFiles
    unmeasured: bool
    history: tuple[Found, ...]

    def __call__(self) -> Case:
        from sparkout.forecast.case import Case
        from sparkout.load import load_job

        job, _ = load_job(self.files)
        if job is None:
            raise RuntimeError(f"{self.files.sheet.parent} changed while it was worked on")
        case = Case(
            job.sheet,
            job.shop,
            job.frame,
            job.checks,
            job.located.spots,
            job.located.tests,
            self.history,
        )
        return case.unmeasured() if self.unmeasured else case


class _Bar:
    """Progress on standard error: a bar on a terminal, a line for each quarter elsewhere."""

    def __init__(self) -> None:
        self.live = sys.stderr.isatty()
        self.quarter = 0

    def show(self, done: int, asked: int) -> None:
        if self.live:
            full = 40 * done // asked
            bar = "#" * full + "." * (40 - full)
            print(f"\r[{bar}] {done} of {asked} engines", end="", file=sys.stderr, flush=True)
        elif 4 * done // asked > self.quarter:
            self.quarter = 4 * done // asked
            say(f"{done} of {asked} engines")

    def end(self) -> None:
        if self.live:
            print(file=sys.stderr)


def _wrong(args: argparse.Namespace) -> list[Any]:
    from sparkout.faults import Fault, Place

    faults = []
    if not 1 <= args.engines <= _MOST:
        faults.append(Fault(Place(key="--engines"), str(args.engines), f"from 1 to {_MOST}"))
    if args.seed < 0:
        faults.append(Fault(Place(key="--seed"), str(args.seed), "a whole number from 0"))
    if args.processes is not None and args.processes < 1:
        faults.append(Fault(Place(key="--processes"), str(args.processes), "1 or more"))
    return faults


def _usual(job: Path) -> Path | None:
    for path in (job / "history.csv", job.parent / "history.csv"):
        if path.exists():
            return path
    return None


def _history(path: Path | None) -> tuple[tuple[Found, ...], tuple[Any, ...]]:
    if path is None:
        return (), ()
    from sparkout.forecast.history import read_history

    return read_history(path.read_text(encoding="utf-8-sig"), path.name)


def _remember(args: argparse.Namespace, job: Any) -> int:
    from sparkout.forecast.history import read_history, rows_of, written

    path: Path = args.remember
    name = args.job.resolve().name
    rows = rows_of(name, job.state)
    if path.exists():
        known, faults = read_history(path.read_text(encoding="utf-8-sig"), path.name)
        if faults:
            return show_faults(faults, args.json)
        if any(row.engine == name for row in known):
            from sparkout.faults import Fault, Place

            fault = Fault(
                Place(path.name), f"engine '{name}' already in it", "each engine once",
                "Take its rows out first, or give the job folder another name.",
            )  # fmt: skip
            return show_faults([fault], args.json)
    with path.open("a", encoding="utf-8", newline="") as file:
        file.write(written(rows, head=path.stat().st_size == 0))
    say(f"{path}: {len(rows)} rows of engine '{name}' added.")
    return 0


def _data(found: Forecast, stopped: bool) -> dict[str, Any]:
    whole = found.summary

    def ends(value: Any, scale: float = 1.0) -> dict[str, float] | None:
        if value is None:
            return None
        rows = {"p10": value.p10, "p50": value.p50, "p90": value.p90}
        return {name: round(figure / scale, 2) for name, figure in rows.items()}

    return {
        "engine": found.name,
        "currency": found.currency,
        "seed": found.seed,
        "asked": found.asked,
        "done": whole.draws,
        "stopped": stopped,
        "read": found.read,
        "drawn": found.drawn,
        "price": ends(whole.price, 100),
        "hours": ends(whole.hours),
        "days": ends(whole.days),
        "items": [
            {
                "words": item.words,
                "chance": round(item.chance, 4),
                "with_set_ups": item.cost / 100,
                "features_when_needed": round(item.count, 2),
            }
            for item in found.items
        ],
        "next": [
            {
                "characteristic": row.characteristic,
                "features": list(row.features),
                "settles": round(row.settles, 3),
                "narrows": row.narrows / 100,
                "turns": round(row.turns, 3),
                "item": row.item,
            }
            for row in found.next
        ],
        "left_to_a_person": [
            {"limit": name, "chance": round(chance, 4)} for name, chance in whole.hopeless
        ],
        "no_plan": round(whole.no_plan, 4),
        "origins": [
            {
                "source": origin.source,
                "rule_of_thumb": origin.thumb,
                "characteristics": list(origin.characteristics),
            }
            for origin in found.origins
        ],
        "not_in_the_forecast": list(found.lawless),
    }

"""Least-cost plans against the better of HiGHS and CP-SAT on the same models, in one run.

One plan: `best` with and without its compiled loops (loaded beforehand), on tight engines of
several layouts. An engine on which one of them is slower than the peers is timed several times
more, all routes in turn, and the medians count: one reading of some milliseconds says little on a
machine that does other work. Many plans: a thousand engines of six cylinders on two processes; the
peers solve some of them on the same two processes and are scaled. Growth: engines from one cylinder
to twenty.

Every route starts from a model in memory and ends with a checked plan; making the engines is not
counted. Times are processor seconds of the process that solves, each on one thread, so that other
work on the machine disturbs them little. All objectives are compared; a difference is an error.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from benchmarks.solve_engines import Shape, engine
from sparkout.solve import Model, NoPlan, Optimum, best, highs
from sparkout.solve.batch import batch
from sparkout.solve.cpsat import cpsat

Key = tuple[str, int, int, float]
"""Layout, cylinders, seed and how tight."""

ONE = [
    (layout, cylinders, seed, tight)
    for layout, cylinders in (("inline", 4), ("inline", 6), ("V", 6), ("V", 8))
    for tight in (0.7, 1.0)
    for seed in range(50)
]
MANY = 1000
FEWER = 240
SAMPLE = 60
CYLINDERS = (1, 4, 8, 16, 20)
EACH = 6
AGAIN = 5


def made(key: Key) -> Model:
    layout, cylinders, seed, tight = key
    return engine(Shape(layout=layout, cylinders=cylinders), seed, tight)


def compiled(model: Model) -> Optimum | NoPlan:
    return best(model, compiled=True)


ROUTES: dict[str, Callable[[Model], Optimum | NoPlan]] = {
    "best": best,
    "compiled": compiled,
    "HiGHS": highs,
    "CP-SAT": cpsat,
}
Value = tuple[int, int] | None


def value(answer: Optimum | NoPlan) -> Value:
    return None if isinstance(answer, NoPlan) else (answer.cost, answer.preference)


def warm(number: int) -> None:
    """Import and load everything before anything is timed; a process takes one of these."""
    model = made(("inline", 1, 0, 0.5))
    for route in ROUTES.values():
        route(model)
    time.sleep(0.5)


def each_alone(keys: Sequence[Key]) -> list[tuple[Key, dict[str, tuple[float, Value]]]]:
    """Processor seconds and objective of every route on every model."""
    found = []
    for key in keys:
        model = made(key)
        row = _timed(key, model)
        theirs = min(row["HiGHS"][0], row["CP-SAT"][0])
        if max(row["best"][0], row["compiled"][0]) > theirs:
            more = [row, *[_timed(key, model) for _ in range(AGAIN)]]
            row = {
                name: (statistics.median([each[name][0] for each in more]), row[name][1])
                for name in ROUTES
            }
        found.append((key, row))
    return found


def _timed(key: Key, model: Model) -> dict[str, tuple[float, Value]]:
    row = {}
    for name, route in ROUTES.items():
        begin = time.process_time()
        answer = route(model)
        row[name] = (time.process_time() - begin, value(answer))
    if len({each for _, each in row.values()}) != 1:
        raise AssertionError(f"{key}: {row}")
    return row


def together(job: tuple[str, Sequence[Key]]) -> tuple[float, float, list[tuple[Key, Value]], int]:
    """Seconds of solving (processor, elapsed), the objectives, and how many were handed over."""
    name, keys = job
    models = [made(key) for key in keys]
    begin, clock = time.process_time(), time.perf_counter()
    handed = 0
    if name == "batch":
        answers = batch(models)
        spent, elapsed = time.process_time() - begin, time.perf_counter() - clock
        values = [value(answers[k]) for k in range(len(models))]
        handed = sum(method != "batch" for method in answers.method)
    else:
        values = [value(ROUTES[name](model)) for model in models]
        spent, elapsed = time.process_time() - begin, time.perf_counter() - clock
    return spent, elapsed, list(zip(keys, values, strict=True)), handed


def one(pool: ProcessPoolExecutor) -> None:
    parts = pool.map(each_alone, [ONE[k : k + 10] for k in range(0, len(ONE), 10)])
    rows = [row for part in parts for row in part]
    peer = [min(row["HiGHS"][0], row["CP-SAT"][0]) for _, row in rows]
    none = sum(row["best"][1] is None for _, row in rows)
    print(f"One plan: {len(rows)} tight engines ({none} of them without a plan), times in ms;")
    print("ratio: to the better of HiGHS and CP-SAT on the same engine")
    print(
        f"{'route':14s}{'median':>9s}{'p95':>9s}{'worst':>9s}{'ratio':>9s}{'p95':>8s}{'worst':>8s}"
        f"{'> 1.2':>6s}"
    )
    for name in ROUTES:
        spent = [row[name][0] for _, row in rows]
        ratio = [mine / theirs for mine, theirs in zip(spent, peer, strict=True)]
        print(f"{name:14s}{_three(spent, 1e3, 9, 1)}{_three(ratio, 1.0, 8, 2)}", end="")
        over = sum(mine > 1.2 * theirs for mine, theirs in zip(spent, peer, strict=True))
        print(f"{over:6d}")
    print(f"{'better of both':14s}{_three(peer, 1e3, 9, 1)}")
    for name in ("best", "compiled"):
        key, row = max(rows, key=lambda item: item[1][name][0])
        theirs = min(row["HiGHS"][0], row["CP-SAT"][0])
        print(
            f"slowest for {name}: {key[0]} {key[1]}, seed {key[2]}, {row[name][0] * 1e3:.0f} ms "
            f"(peer {theirs * 1e3:.0f})"
        )


def _three(numbers: Sequence[float], by: float, width: int, digits: int) -> str:
    ranked = sorted(numbers)
    some = (statistics.median(ranked), ranked[int(0.95 * len(ranked))], ranked[-1])
    return "".join(f"{number * by:{width}.{digits}f}" for number in some)


def many(pool: ProcessPoolExecutor) -> None:
    for tight in (0.0, 0.5, 1.0):
        count = MANY if tight == 0.5 else FEWER
        keys: list[Key] = [("inline", 6, seed, tight) for seed in range(count)]
        jobs = [("batch", keys[k : k + 20]) for k in range(0, len(keys), 20)]
        sample = keys[:: len(keys) // SAMPLE][:SAMPLE]
        told: dict[str, float] = {}
        values: dict[Key, Value] = {}
        for name in ("batch", "HiGHS", "CP-SAT"):
            if name != "batch":
                jobs = [(name, sample[k : k + 5]) for k in range(0, len(sample), 5)]
            spent = elapsed = 0.0
            handed = solved = 0
            for cpu, clock, answers, given in pool.map(together, jobs):
                spent, elapsed, handed = spent + cpu, elapsed + clock, handed + given
                solved += len(answers)
                for key, found in answers:
                    if values.setdefault(key, found) != found:
                        raise AssertionError(f"{name}: {key}: {found}, not {values[key]}")
            told[name] = spent / solved
            if name == "batch":
                none = sum(found is None for found in values.values())
                print(f"\n{len(keys)} engines of six cylinders on two processes, tightness {tight}")
                print(
                    f"({none} without a plan, {handed} handed over); peers on {len(sample)}, scaled"
                )
                print(f"{'route':10s}{'ms each':>10s}{'s for 1,000':>13s}{'ratio':>8s}")
            scaled = told[name] * 1000 / 2
            ratio = told[name] / told["batch"]
            print(f"{name:10s}{told[name] * 1e3:10.2f}{scaled:13.2f}{ratio:8.1f}")


def growth(pool: ProcessPoolExecutor) -> None:
    print(f"\nGrowth: median processor ms of {EACH} engines each (tightness 0.5)")
    print(f"{'cylinders':>10s}" + "".join(f"{name:>14s}" for name in ROUTES))
    first: dict[str, float] = {}
    for cylinders in CYLINDERS:
        keys = [("inline", cylinders, seed, 0.5) for seed in range(EACH)]
        rows = [row for part in pool.map(each_alone, [[key] for key in keys]) for row in part]
        line = f"{cylinders:10d}"
        for name in ROUTES:
            middle = statistics.median([row[name][0] for _, row in rows]) * 1e3
            first.setdefault(name, middle)
            line += f"{middle:8.1f}{middle / cylinders:6.1f}"
        print(line)
    print("right of each: ms per cylinder; growth is no worse than linear where it does not rise")


def main() -> None:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        list(pool.map(warm, range(2)))
        asked = sys.argv[1:] if sys.argv[0].endswith("solve.py") else []
        for name, part in (("one", one), ("many", many), ("growth", growth)):
            if not asked or name in asked:
                part(pool)


if __name__ == "__main__":
    main()

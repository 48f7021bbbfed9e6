"""A forecast of an in-line six beside HiGHS and CP-SAT on the same models.

A thousand plausible engines of six cylinders, nothing measured yet, each planned to its proven
optimum on two processes: drawing, compiling, solving and telling, start of the processes and all
that is worked out once, from the data sheet in memory on.
HiGHS and CP-SAT get the same models ready compiled, on two processes as well; they solve a sample,
and its time is scaled up to the thousand. All three must agree on every optimum of the sample.
Ratios are of processor time, which other work on the machine disturbs less than the clock does.

Run: python -m benchmarks.forecast [engines] [sample]
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import cache, partial
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

import sparkout
from sparkout.forecast.case import Case
from sparkout.forecast.lanes.together import compiled
from sparkout.forecast.outcome import Outcome
from sparkout.forecast.run import desk_of, opened, run
from sparkout.load import JobFiles, load_job
from sparkout.solve import Model, Optimum, highs
from sparkout.solve.cpsat import cpsat

ENGINES, SAMPLE, SEED = 1000, 24, 1

_SIX = (
    ("cylinders: 4", "cylinders: 6"),
    ("firing order: 1-3-4-2", "firing order: 1-5-3-6-2-4"),
    ("main bearings: 5", "main bearings: 7"),
    ("cam bearings: 5", "cam bearings: 7"),
    ("E4\n", "E4 E5 I5 I6 E6\n"),
)


@cache
def six() -> Case:
    """The shipped four-cylinder diesel with two cylinders more, and enough parts on the shelf."""
    demos = Path(sparkout.__file__).parent / "demos"
    text = (demos / "workboat_four" / "engine.yaml").read_text(encoding="utf-8")
    for old, new in _SIX:
        if old not in text:
            raise ValueError(f"the shipped sheet no longer has {old!r}")
        text = text.replace(old, new, 1)
    supply = (demos / "workboat_four" / "supply.yaml").read_text(encoding="utf-8")
    rows = [row for row in supply.splitlines() if not row.strip().startswith("on hand:")]
    rows = [f"{row}\n    on hand: 99" if row.strip().startswith("price:") else row for row in rows]
    with TemporaryDirectory() as folder:
        files = [
            Path(folder) / name for name in ("engine.yaml", "shop.yaml", "log.jsonl", "s.yaml")
        ]
        files[0].write_text(text, encoding="utf-8")
        files[1].write_text((demos / "shop.yaml").read_text(encoding="utf-8"), encoding="utf-8")
        files[3].write_text("\n".join(rows) + "\n", encoding="utf-8")
        job, faults = load_job(JobFiles(files[0], files[1], files[2], files[3]))
    if job is None:
        raise ValueError("\n".join(str(fault) for fault in faults))
    return Case(job.sheet, job.shop, job.frame, job.checks)


def _models(first: int, count: int) -> list[Model]:
    shared = desk_of(six(), SEED).shared
    if shared is None:
        raise ValueError("this engine's draws are not worked out together")
    stacked = compiled(shared, first, count).stacked
    return [stacked.model(at) for at in range(count)]


def _peer(solver: str, first: int, count: int) -> tuple[float, list[int | None]]:
    """Processor seconds a peer takes for some models, and its optima; making them is not in it."""
    solve: Callable[[Model], object] = highs if solver == "HiGHS" else partial(cpsat, workers=1)
    models = _models(first, count)
    solve(models[0])  # a first call pays for imports
    start = time.process_time()
    found = [solve(model) for model in models]
    took = time.process_time() - start
    return took, [answer.cost if isinstance(answer, Optimum) else None for answer in found]


def _both(solver: str, sample: int) -> tuple[float, list[int | None]]:
    half = sample // 2
    with ProcessPoolExecutor(2, get_context("spawn")) as pool:
        parts = list(pool.map(_peer, (solver, solver), (0, half), (half, half)))
    return sum(took for took, _ in parts), [cost for _, costs in parts for cost in costs]


def _ours(engines: int) -> tuple[float, float, tuple[Outcome, ...]]:
    """Processor seconds of all processes, seconds by the clock, and the outcomes."""
    six()
    before, start = _spent(), time.perf_counter()
    found = run(six, opened(six, SEED), engines, processes=2, start="fork")
    return _spent() - before, time.perf_counter() - start, found


def _spent() -> float:
    """Processor seconds of this process and of all that have ended."""
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


def main() -> None:
    words = [word for word in sys.argv[1:] if word.isdigit()]
    engines = int(words[0]) if words else ENGINES
    sample = int(words[1]) if len(words) > 1 else SAMPLE
    print(f"load before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    whole, clock, found = _ours(engines)
    planned = sum(outcome.cost is not None for outcome in found)
    print(
        f"{engines} engines of six cylinders, {planned} with a plan, two processes: "
        f"{clock:.0f} s by the clock\n"
    )
    print(f"{'route':<44}{'cpu s':>9}{'ms each':>9}{'ratio':>8}")
    print(f"{'forecast, readings to plans, all counted':<44}{whole:>9.1f}"
          f"{1000 * whole / engines:>9.1f}{'1':>8}")  # fmt: skip
    for solver in ("HiGHS", "CP-SAT"):
        took, costs = _both(solver, sample)
        scaled = took * engines / len(costs)
        agree = sum(a == b.cost for a, b in zip(costs, found, strict=False))
        print(f"{solver + f', solving only, {len(costs)} of them scaled':<44}{scaled:>9.1f}"
              f"{1000 * scaled / engines:>9.1f}{scaled / whole:>8.1f}"
              f"   {agree} of {len(costs)} optima agree")  # fmt: skip


if __name__ == "__main__":
    main()

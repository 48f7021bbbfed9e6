"""sparkout setups: what to dial in for each step of the work, with the sum behind every number."""

from __future__ import annotations

from sparkout.cli.job_shapes import SETUPS
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from typing import Any

    from sparkout.faults import Fault
    from sparkout.setups.bench import Bench

HELP = """\
What to dial in for each step of the plan: every number with the sum behind it,
its tolerance, the passes, where to stop and look, and what to read afterwards.
What is assumed, not proven or a rule of thumb says so on its own line. Where a plan is
approved or work is in the log, they are those that are left to do."""

SCHEMA = envelope("setups", SETUPS)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--step", type=int, metavar="N", help="only step N of the order of work")
    p.add_argument(
        "--know",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help="something measured at the machine: 'block temperature=32 °C', "
        "'insert outside diameter E3=40.08'; again for each",
    )
    p.add_argument(
        "--grade",
        action="append",
        default=[],
        metavar="PART=METAL",
        help="what a part is made of: 'block=grey iron G3000'; again for each",
    )
    p.add_argument(
        "--trial",
        action="append",
        default=[],
        metavar="VALVE=READ-OUT,RECESSION",
        help="a trial seat cut: 'E3=4.20 mm, 0.88 mm'; again for each",
    )
    p.add_argument("--moves", action="store_true", help="what each cut moves, instead of set-ups")
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout setups jobs/1204 --step 5\n"
        "  sparkout setups jobs/1204 --know 'block temperature=32 °C'\n"
        "  sparkout setups jobs/1204 --grade 'bore=grey iron G3000'"
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    bench, faults = bench_from(args.know, args.grade, args.trial, job.shop.units)
    if faults:
        return show_faults(faults, args.json)
    name = job.sheet.identity.name
    if args.moves:
        from sparkout.setups.moves_table import moves_table

        rows = moves_table(job.frame, job.sheet.geometry)
        if args.json:
            from sparkout.cli.setups_data import moves_data

            show_json("setups", {**_empty(name, job.shop.units), "moves": moves_data(rows)})
        else:
            from sparkout.cli.setups_text import moves_text

            print("\n".join(moves_text(rows)))
        return 0
    from sparkout.plan.decide import Stuck
    from sparkout.plan.order import order_of_work
    from sparkout.report.documents.source import source_of

    source = source_of(job, (), "")
    job, plan = source.job, source.plan
    if source.follows:
        say(f"sparkout: the set-ups are those left to do, by {source.follows}")
    if isinstance(plan, Stuck):
        if args.json:
            stuck = {
                "possible": False, "conflict": list(plan.sentences), "follows": source.follows
            }  # fmt: skip
            show_json("setups", {**_empty(name, job.shop.units), **stuck})
        else:
            from sparkout.report.text.plan import stuck_text

            print("\n".join(stuck_text(plan)).lstrip("\n"))
        return 1
    steps = whole = order_of_work(plan.chosen, job.shop)
    if args.step is not None:
        known = [step.number for step in steps]
        steps = tuple(step for step in steps if step.number == args.step)
        if not steps:
            from sparkout.faults import Fault, Place

            fault = Fault(Place(key="--step"), str(args.step), f"a step from 1 to {known[-1]}")
            return show_faults([fault], args.json)
    from sparkout.setups.all_steps import set_ups

    shown = {step.number for step in steps}
    made = [item for item in set_ups(job, plan, whole, bench) if item.step in shown]
    if args.json:
        from sparkout.cli.setups_data import set_up_data

        body = {
            **_empty(name, job.shop.units),
            "setups": [set_up_data(item) for item in made],
            "follows": source.follows,
        }
        show_json("setups", body)
    else:
        from sparkout.cli.setups_text import set_ups_text

        print("\n".join(set_ups_text(name, job.shop.units, steps, made)))
    return 1 if any(item.stopped for item in made) else 0


def _empty(name: str, units: str) -> dict[str, Any]:
    return {
        "engine": name,
        "units": units,
        "possible": True,
        "setups": [],
        "moves": [],
        "conflict": [],
        "follows": "",
    }


def bench_from(
    know: Sequence[str], grade: Sequence[str], trial: Sequence[str], units: str
) -> tuple[Bench, list[Fault]]:
    """What was said on the command line, or every fault in it."""
    from types import MappingProxyType

    from sparkout.setups.bench import Bench, Trial

    faults: list[Fault] = []
    values = {}
    for typed in know:
        found = _known(typed, units, faults)
        if found is not None:
            values[found[0]] = found[1]
    grades = {}
    for typed in grade:
        pair = _grade(typed, faults)
        if pair is not None:
            grades[pair[0]] = pair[1]
    trials = {}
    for typed in trial:
        valve, _, rest = typed.partition("=")
        parts = [part for part in rest.split(",") if part.strip()]
        if not valve.strip() or len(parts) != 2:
            _fault(faults, "--trial", typed, "VALVE=READ-OUT,RECESSION such as 'E3=4.20,0.88'")
            continue
        read = [_length(part, units, "--trial", faults) for part in parts]
        if read[0] is not None and read[1] is not None:
            trials[valve.strip()] = Trial(read[0], read[1])
    return Bench(
        MappingProxyType(values), MappingProxyType(grades), MappingProxyType(trials)
    ), faults


def _fault(faults: list[Fault], key: str, found: str, expected: str, remedy: str = "") -> None:
    from sparkout.faults import Fault, Place

    faults.append(Fault(Place(key=key), f"'{found}'", expected, remedy))


def _known(typed: str, units: str, faults: list[Fault]) -> tuple[str, Any] | None:
    from sparkout.setups.bench import KNOWN
    from sparkout.sheet.nearest import nearest
    from sparkout.units import QuantityError, parse

    name, sign, text = (part.strip() for part in typed.partition("="))
    kind = next((known for known in sorted(KNOWN, key=len, reverse=True)
                 if name == known or name.startswith(known + " ")), None)  # fmt: skip
    if not sign or kind is None:
        hint = nearest(name, tuple(KNOWN))
        remedy = f"Did you mean '{hint}'?" if hint else "Known are: " + "; ".join(KNOWN)
        _fault(faults, "--know", typed, "NAME=VALUE with a name the set-ups use", remedy)
        return None
    dimension = KNOWN[kind][0]
    unit = {
        "length": "in" if units == "inch" else "mm",
        "temperature": "°F" if units == "inch" else "°C",
        "stiffness": "lbf/in" if units == "inch" else "N/mm",
        "angle": "°",
    }[dimension]
    try:
        return name, parse(text, dimension, unit).value
    except QuantityError as wrong:
        _fault(faults, f"--know {kind}", text, wrong.expected, wrong.remedy)
        return None


def _length(text: str, units: str, key: str, faults: list[Fault]) -> Any:
    from sparkout.units import QuantityError, parse

    try:
        return parse(text, "length", "in" if units == "inch" else "mm").value
    except QuantityError as wrong:
        _fault(faults, key, text, wrong.expected, wrong.remedy)
        return None


def _grade(typed: str, faults: list[Fault]) -> tuple[str, str] | None:
    from sparkout.mechanics.materials import material
    from sparkout.setups.bench import GRADES

    part, _, metal = (text.strip() for text in typed.partition("="))
    if part not in GRADES:
        _fault(faults, "--grade", typed, "PART=METAL with a part out of " + ", ".join(GRADES))
        return None
    try:
        material(metal)
    except ValueError as wrong:
        _fault(faults, f"--grade {part}", metal, "a metal by its grade", f"{wrong}.")
        return None
    return part, metal

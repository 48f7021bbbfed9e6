"""sparkout budget: what one size is good to, with every source of its uncertainty."""

from __future__ import annotations

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_faults, show_json
from sparkout.cli.shapes import FLAG, MAYBE_NUMBER, NUMBER, TEXT, TEXTS, listed, record

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.engine.dimension import Key
    from sparkout.faults import Fault
    from sparkout.judge.size_budget import SizeBudget
    from sparkout.load import Job

HELP = """\
Print what one size, form or fit of a job is good to: every source of uncertainty
(certificate, smallest step, repeats, master, heat), how much it brings, and how
they add up, as a table anyone can check with a calculator."""

_FREEDOM = {**MAYBE_NUMBER, "description": "null: infinite"}
_ROW = record(
    {
        "quantity": TEXT,
        "value": NUMBER,
        "source": TEXT,
        "standard_uncertainty": NUMBER,
        "distribution": TEXT,
        "degrees_of_freedom": _FREEDOM,
        "sensitivity": NUMBER,
        "contribution": NUMBER,
        "share": NUMBER,
        "shared": FLAG,
    }
)
SCHEMA = envelope(
    "budget",
    {
        "feature": TEXT,
        "characteristic": TEXT,
        "place": TEXT,
        "unit": TEXT,
        "value": NUMBER,
        "rows": listed(_ROW),
        "combined": NUMBER,
        "degrees_of_freedom": _FREEDOM,
        "coverage": NUMBER,
        "coverage_factor": NUMBER,
        "expanded": NUMBER,
        "marks": TEXTS,
        "entries": TEXTS,
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("feature", help='such as "bore 2"')
    p.add_argument("characteristic", help='such as "bore diameter", or diameter for short')
    p.add_argument(
        "--end",
        choices=("lowest", "highest"),
        default="",
        help="which end over its positions (default: the one nearest its limit)",
    )
    add_json(p)
    p.epilog = (
        'examples:\n  sparkout budget jobs/1204 "bore 2" diameter\n'
        '  sparkout budget jobs/1204 "main journal 3" "main oil clearance" --end lowest'
    )


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.engine.characteristics import BY_NAME
    from sparkout.faults import Fault, Place
    from sparkout.judge.size_budget import size_budget

    key = _key(job, args.feature, args.characteristic)
    if isinstance(key, Fault):
        return show_faults([key], args.json)
    low_end = args.end == "lowest" if args.end else _low_decides(job, key)
    found = size_budget(
        job.state, key, job.sheet.geometry, low_end=low_end, coverage=float(job.shop.confidence)
    )
    if found is None:
        fault = Fault(
            Place(key=str(key)), "nothing read of it", "a size that was read, or a fit of such"
        )
        return show_faults([fault], args.json)
    quantity = BY_NAME[key.characteristic].dimension
    if args.json:
        show_json("budget", _data(found, quantity))
        return 0
    from sparkout.cli.terminal import show_lines
    from sparkout.report.text.budget import budget_text

    show_lines(budget_text(found, quantity, inch=job.shop.units == "inch"))
    return 0


def _key(job: Job, feature: str, word: str) -> Key | Fault:
    """The size meant: `diameter` of a bore is its bore diameter."""
    from sparkout.engine.characteristics import BY_NAME
    from sparkout.engine.dimension import Key
    from sparkout.faults import Fault, Place
    from sparkout.sheet.nearest import nearest

    known = job.frame.feature(feature)
    if known is None:
        names = tuple(item.name for item in job.frame.features)
        near = nearest(feature, names)
        remedy = f"Did you mean '{near}'?" if near else ""
        return Fault(Place(key="feature"), f"'{feature}'", "a feature of this engine", remedy)
    for name in (word, f"{known.kind} {word}"):
        if name in BY_NAME:
            return Key(feature, name)
    mine = tuple(item.name for item in BY_NAME.values() if item.feature == known.kind)
    short = {name.removeprefix(f"{known.kind} "): name for name in mine}
    found = nearest(word, (*mine, *short))
    near = f"Did you mean '{short.get(found, found)}'?" if found else ""
    remedy = near or "Known: " + ", ".join(mine)
    expected = f"something that is measured of a {known.kind}"
    return Fault(Place(key="characteristic"), f"'{word}'", expected, remedy)


def _low_decides(job: Job, key: Key) -> bool:
    """Whether the lowest value is the one near its limit."""
    for finding in job.findings:
        if finding.key != key or finding.bounds is None:
            continue
        low, high = finding.low, finding.high
        if finding.bounds.low is None or low is None or high is None:
            return False
        if finding.bounds.high is None:
            return True
        return low.value - finding.bounds.low < finding.bounds.high - high.value
    return False


def _data(found: SizeBudget, quantity: str) -> dict[str, object]:
    import math

    from sparkout.measure.gauges.sources import marks_of
    from sparkout.report.text.budget import BASE

    def dof(value: float) -> float | None:
        return None if math.isinf(value) else value

    whole = found.budget
    return {
        "feature": found.key.feature,
        "characteristic": found.key.characteristic,
        "place": found.place,
        "unit": BASE.get(quantity, ""),
        "value": whole.value,
        "rows": [
            {
                "quantity": row.quantity,
                "value": row.value,
                "source": row.source,
                "standard_uncertainty": row.u,
                "distribution": str(row.shape),
                "degrees_of_freedom": dof(row.dof),
                "sensitivity": row.sensitivity,
                "contribution": row.contribution,
                "share": row.share,
                "shared": row.shared,
            }
            for row in whole.rows
        ],
        "combined": whole.u,
        "degrees_of_freedom": dof(whole.dof),
        "coverage": whole.coverage,
        "coverage_factor": whole.k,
        "expanded": whole.expanded,
        "marks": list(marks_of(whole.components)),
        "entries": list(found.entries),
    }

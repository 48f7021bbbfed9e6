"""sparkout gauges: the shop's gauges and masters, with the state of their calibration."""

from __future__ import annotations

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_faults, show_json
from sparkout.cli.shapes import (
    COUNT,
    FLAG,
    MAYBE_NUMBER,
    MAYBE_WHOLE,
    NUMBER,
    TEXT,
    by_name,
    listed,
    record,
)

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
List the gauges and masters of the shop's file: what one reading with each is good
to, how long its certificate holds, what is held back or has expired, how many
readings of this job were taken with it, and which readings name no gauge."""

SCHEMA = envelope(
    "gauges",
    {
        "on": TEXT,
        "gauges": listed(
            record(
                {
                    "name": TEXT,
                    "kind": TEXT,
                    "measures": TEXT,
                    "resolution": MAYBE_NUMBER,
                    "expanded": NUMBER,
                    "unit": TEXT,
                    "standing": TEXT,
                    "days": MAYBE_WHOLE,
                    "certificate": TEXT,
                    "until": TEXT,
                    "held": TEXT,
                    "readings": COUNT,
                    "usable": FLAG,
                }
            )
        ),
        "marks": by_name(COUNT),
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--on", default="", metavar="DAY", help="as of this day, such as 2026-11-16")
    add_json(p)
    p.epilog = "example:\n  sparkout gauges jobs/1204 --on 2026-11-16"


def main(args: argparse.Namespace) -> int:
    from datetime import UTC, date, datetime

    from sparkout.faults import Fault, Place

    try:
        on = date.fromisoformat(args.on) if args.on else datetime.now(UTC).date()
    except ValueError:
        expected = "a day as year-month-day, such as 2026-11-16"
        return show_faults([Fault(Place(key="--on"), f"'{args.on}'", expected)], args.json)
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from collections import Counter

    from sparkout.engine.gauge_state import gauge_states
    from sparkout.measure.gauges.sources import marks_of
    from sparkout.report.text.budget import BASE

    spots = job.located.spots
    used = [spot.gauge for spot in spots]
    used += [item.typed.gauge for item in job.located.questioned]
    states = gauge_states(job.shop.gauges, used, on)
    bad = any(state.readings and not state.usable for state in states)
    if args.json:
        marks = Counter(mark for spot in spots for mark in marks_of(spot.highest.components))
        rows = [
            {
                "name": state.name,
                "kind": state.kind,
                "measures": state.measures,
                "resolution": None if state.resolution is None else float(state.resolution),
                "expanded": state.expanded,
                "unit": BASE.get(state.measures, ""),
                "standing": state.standing,
                "days": state.days,
                "certificate": state.number,
                "until": state.until,
                "held": state.held,
                "readings": state.readings,
                "usable": state.usable,
            }
            for state in states
        ]
        show_json("gauges", {"on": on.isoformat(), "gauges": rows, "marks": dict(marks)})
        return int(bad)
    from sparkout.cli.terminal import show_lines
    from sparkout.report.text.gauges import gauges_text

    show_lines(gauges_text(job, states, on))
    return int(bad)

"""sparkout chart: a process of the shop's own, charted against its own history."""

from __future__ import annotations

from sparkout.cli.chart_shapes import CHART, chart_data
from sparkout.cli.measuring import (
    add_file,
    add_picture,
    add_show,
    file_name,
    length_scale,
    picture_fault,
    read_file,
    write_picture,
)
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from sparkout.faults import Fault
    from sparkout.report.measuring.process import Asked, Series

HELP = """\
Chart a process of your own: hone finish size, vacuum held by good seats, deck
flatness after surfacing. From a file with one reading a row, or from the logs of
all jobs in a folder. Shows the limits its own history gives, which run rules are
broken and, where asked, what reading is acceptable. Ends with 1 when the newest
point is part of a broken rule."""

SCHEMA = envelope("chart", CHART)

_KINDS = ("single", "range", "sd")
# What a shop of each kind reads these in; anything else in the base unit of its dimension.
_METRIC = {"pressure": "kPa"}
_INCH = {"length": "in", "roughness": "µin", "pressure": "inHg", "force": "lbf"}


def parser(p: argparse.ArgumentParser) -> None:
    add_file(p, "CSV file or spreadsheet with a column value, and subgroup and label if there are; "
             "or a folder of job folders")  # fmt: skip
    p.add_argument("--of", default="", metavar="NAME", help="characteristic, for a folder of jobs")
    p.add_argument("--phase", default="left", choices=("found", "left", "mock-up", "new part"),
                   help="which readings of the jobs (default: left)")  # fmt: skip
    p.add_argument("--from-target", action="store_true",
                   help="chart how far each reading is from the size worked to")  # fmt: skip
    p.add_argument("--by-job", action="store_true", help="each job is one subgroup")
    p.add_argument("--name", default="", help="what to call the process")
    p.add_argument("--kind", choices=_KINDS, help="chart of single readings, or of means with "
                   "ranges or standard deviations (default: as the file is)")  # fmt: skip
    p.add_argument("--each", type=int, metavar="N", help="every N readings make one subgroup")
    p.add_argument("--base", type=int, metavar="N",
                   help="limits come from the first N points only")  # fmt: skip
    p.add_argument("--rules", choices=("nelson", "western", "iso"), default="nelson",
                   help="run rules (default: nelson)")  # fmt: skip
    p.add_argument("--lower", default="", metavar="LIMIT", help="lower limit of the part")
    p.add_argument("--upper", default="", metavar="LIMIT", help="upper limit of the part")
    p.add_argument("--bad", choices=("low", "high", "either"),
                   help="learn what is acceptable: on which side a reading can be bad")  # fmt: skip
    p.add_argument("--extremes", action="store_true",
                   help="learn it from the least and greatest reading, of any shape")  # fmt: skip
    p.add_argument("--coverage", type=float, default=95, metavar="PERCENT",
                   help="share of good parts to be inside (default: 95)")  # fmt: skip
    add_show(p)
    add_picture(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout chart vacuum.csv --bad high --picture vacuum.svg\n"
        "  sparkout chart hone.csv --each 4 --lower -0.005 --upper 0.005 --unit mm\n"
        '  sparkout chart jobs --of "bore diameter" --from-target --by-job'
    )


def main(args: argparse.Namespace) -> int:
    from sparkout.faults import Place
    from sparkout.report.measuring.process import process_of

    faults = [*picture_fault(args.picture), *_numbers(args)]
    if faults:
        return show_faults(faults, args.json)
    got, wrong = _history(args) if args.file.is_dir() else _file(args)
    if got is None:
        return show_faults(wrong, args.json)
    asked, faults = _asked(args, got.unit)
    if asked is None:
        return show_faults(faults, args.json)
    process, stops = process_of(got, asked, Place(file_name(args.file)))
    if process is None:
        return show_faults(stops, args.json)
    if args.picture is not None:
        from sparkout.report.measuring.chart_picture import chart_picture

        write_picture(args.picture, chart_picture(process))
    if args.json:
        show_json("chart", chart_data(process))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.measuring.chart_text import chart_text

        show_lines(chart_text(process))
    return 1 if process.alarming else 0


def _numbers(args: argparse.Namespace) -> list[Fault]:
    from sparkout.faults import Fault, Place

    faults = []
    if args.each is not None and args.each < 2:
        faults.append(Fault(Place(key="--each"), str(args.each), "2 or more readings"))
    if args.base is not None and args.base < 2:
        faults.append(Fault(Place(key="--base"), str(args.base), "2 or more points"))
    if not 50 <= args.coverage < 100:
        faults.append(Fault(Place(key="--coverage"), f"{args.coverage:g}", "50 to below 100 %"))
    if args.file.is_dir() and not args.of:
        faults.append(
            Fault(Place(str(args.file)), "a folder of jobs", "a characteristic",
                  'Say which, such as --of "bore diameter".')
        )  # fmt: skip
    if args.of and not args.file.is_dir():
        faults.append(Fault(Place(key="--of"), f"the file {args.file}", "a folder of job folders"))
    return faults


def _file(args: argparse.Namespace) -> tuple[Series | None, Sequence[Fault]]:
    from sparkout.cli.columns import Role
    from sparkout.faults import Fault, Place
    from sparkout.report.measuring.process import Series

    roles = (
        Role(
            "value",
            ("value", "reading", "measured", "measured value", "result", "actual", "deviation"),
        ),
        Role("subgroup", ("subgroup", "group", "sample", "batch"), text=True, needed=False),
        Role("label", ("label", "date", "day", "job", "part", "engine"), text=True, needed=False),
    )
    columns, faults = read_file(args, roles, "chart")
    if columns is None:
        return None, faults
    unit, times = length_scale(columns.unit("value"), args.show)
    values = [value * times for value in columns.numbers("value")]
    names = columns.texts("label") if "label" in columns.by_role else ()
    heading = columns.by_role["value"].header
    name = args.name or (args.file.stem if str(args.file) != "-" else heading)
    if args.each is not None:
        if len(values) % args.each:
            place = Place(file_name(args.file), columns.places[-1].line)
            found = f"{len(values)} readings, {len(values) % args.each} of them left over"
            return None, [Fault(place, found, f"a whole number of subgroups of {args.each}")]
        groups = [tuple(values[k : k + args.each]) for k in range(0, len(values), args.each)]
        return Series(name, unit, tuple(groups), tuple(names[:: args.each])), ()
    by = "label" if args.by_job else "subgroup"
    if args.by_job and "label" not in columns.by_role:
        place = Place(file_name(args.file), key="--by-job")
        return None, [Fault(place, "no column of jobs", "a column headed job, or --column label=…")]
    if by not in columns.by_role:
        return Series(name, unit, tuple((value,) for value in values), names), ()
    collected: dict[str, list[float]] = {}
    for group, value in zip(columns.texts(by), values, strict=True):
        collected.setdefault(group, []).append(value)
    return Series(name, unit, tuple(map(tuple, collected.values())), tuple(collected)), ()


def _history(args: argparse.Namespace) -> tuple[Series | None, Sequence[Fault]]:
    from fractions import Fraction

    from sparkout.cli.history import past_of
    from sparkout.report.measuring.process import Series
    from sparkout.units.table import base_unit, known_unit

    past, faults = past_of(args.file, args.of, args.phase, args.from_target)
    if past is None:
        return None, faults
    unit, factor = "", Fraction(1)
    if past.dimension not in ("ratio", "unbalance"):
        inch = args.show == "in" or (not args.show and past.units == "inch")
        usual = _INCH if inch else _METRIC
        unit = usual.get(past.dimension, base_unit(past.dimension))
        factor = known_unit(unit, past.dimension).factor
    what = args.name or args.of + (", from the size worked to" if args.from_target else "")
    if args.by_job:
        jobs: dict[str, list[float]] = {}
        for row in past.readings:
            jobs.setdefault(row.job, []).append(float(row.value / factor))
        return Series(what, unit, tuple(map(tuple, jobs.values())), tuple(jobs)), ()
    groups = tuple((float(row.value / factor),) for row in past.readings)
    labels = tuple(f"{row.job} {row.feature.rpartition(' ')[2]}" for row in past.readings)
    return Series(what, unit, groups, labels), ()


def _asked(args: argparse.Namespace, unit: str) -> tuple[Asked | None, list[Fault]]:
    from sparkout.measure.charts.base import ChartKind
    from sparkout.measure.charts.history import Method, Sides
    from sparkout.report.measuring.process import Asked

    faults: list[Fault] = []
    lower, upper = (_limit(args, name, unit, faults) for name in ("lower", "upper"))
    if faults:
        return None, faults
    kinds = dict(zip(_KINDS, ChartKind, strict=True))
    sides = {"low": Sides.LOWER, "high": Sides.UPPER, "either": Sides.BOTH}
    return (
        Asked(
            kinds.get(args.kind),
            args.base,
            args.rules,
            lower,
            upper,
            sides.get(args.bad),
            args.coverage / 100,
            Method.ORDER if args.extremes else Method.NORMAL,
        ),
        [],
    )


def _limit(args: argparse.Namespace, name: str, unit: str, faults: list[Fault]) -> float | None:
    """A limit in the unit of the readings, whatever it was typed in."""
    typed = str(getattr(args, name)).strip()
    if not typed:
        return None
    from sparkout.cli.measuring import in_unit

    value, fault = in_unit(typed, unit, f"--{name}")
    if fault is not None:
        faults.append(fault)
    return value

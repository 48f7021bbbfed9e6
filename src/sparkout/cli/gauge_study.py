"""sparkout gauge-study: how well a gauge repeats, and how much people differ with it."""

from __future__ import annotations

from sparkout.cli.measuring import (
    add_file,
    add_picture,
    add_show,
    file_name,
    in_unit,
    length_scale,
    picture_fault,
    read_file,
    write_picture,
)
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json
from sparkout.cli.shapes import (
    COUNT,
    FLAG,
    MAYBE_NUMBER,
    MAYBE_TEXT,
    NUMBER,
    TEXT,
    TEXTS,
    listed,
    maybe,
    one_of,
    record,
)

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from typing import Any

    from sparkout.cli.columns import Columns
    from sparkout.faults import Fault
    from sparkout.measure.studies.anova import AnovaRow
    from sparkout.measure.studies.gauge_study import GaugeStudy, VarianceShare
    from sparkout.measure.studies.table import StudyTable

HELP = """\
Study a gauge: every person reads every part the same number of times, blind and in
mixed order. From a file with a column each for operator, part and value (and trial,
if there is one), one reading a row. Says how much of the scatter is the gauge, the
people and the parts, how sure that is, and whether it will do for a tolerance. Ends
with 1 where the gauge takes more than 30 % of the tolerance."""

_SHARE = maybe(
    record(
        {
            "variance": NUMBER,
            "sd": NUMBER,
            "sd_low": NUMBER,
            "sd_high": {**MAYBE_NUMBER, "description": "null where nothing bounds it"},
            "dof": NUMBER,
            "of_variance": NUMBER,
            "of_study": NUMBER,
            "of_tolerance": MAYBE_NUMBER,
            "below_zero": {**FLAG, "description": "came out below zero, counts as zero"},
        }
    )
)
_ROWS = listed(
    record(
        {
            "source": TEXT,
            "dof": COUNT,
            "sum_of_squares": NUMBER,
            "mean_square": NUMBER,
            "f": MAYBE_NUMBER,
            "p": MAYBE_NUMBER,
        }
    )
)
_SHARES = ("repeatability", "person", "interaction", "reproducibility", "gauge", "part", "total")
SCHEMA = envelope(
    "gauge-study",
    {
        "name": TEXT,
        "unit": TEXT,
        "parts": TEXTS,
        "people": TEXTS,
        "repeats": COUNT,
        "anova": _ROWS,
        "used": {**_ROWS, "description": "the table the variances come from"},
        "pooled": FLAG,
        **dict.fromkeys(_SHARES, _SHARE),
        "confidence": NUMBER,
        "categories": {"type": ["integer", "null"]},
        "tolerance": MAYBE_NUMBER,
        "verdict": one_of("good", "may do", "not good enough"),
        "rule": {**TEXT, "description": "where the verdict comes from"},
        "expanded": {**MAYBE_NUMBER, "description": "of one reading by anyone, 95 %"},
        "shop_file": MAYBE_TEXT,
        "notes": TEXTS,
        "cannot_show": TEXTS,
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_file(p, "CSV file or spreadsheet with columns operator, part, trial and value")
    p.add_argument("--tolerance", default="", metavar="SIZE", help="upper less lower limit")
    p.add_argument(
        "--pool",
        choices=("auto", "always", "never"),
        default="auto",
        help="let the row of people by parts join the repeats (default: auto, where p > 0.25)",
    )
    p.add_argument("--confidence", type=float, default=95, metavar="PERCENT",
                   help="of the intervals (default: 95)")  # fmt: skip
    p.add_argument("--name", default="", help="what to call the study, such as the gauge")
    add_show(p)
    add_picture(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout gauge-study bore-gauge.csv --tolerance 0.02\n"
        "  sparkout gauge-study study.xlsx --column operator=Who --picture study.svg"
    )


def main(args: argparse.Namespace) -> int:
    from sparkout.cli.columns import Role
    from sparkout.faults import Fault, Place

    faults = picture_fault(args.picture)
    if not 50 <= args.confidence < 100:
        place = Place(key="--confidence")
        faults.append(Fault(place, f"{args.confidence:g}", "50 to below 100 %"))
    if faults:
        return show_faults(faults, args.json)
    roles = (
        Role("operator", ("operator", "person", "who", "by", "name"), text=True),
        Role("part", ("part", "piece", "sample", "item"), text=True),
        Role("value", ("value", "reading", "measured", "measured value", "result")),
        Role("trial", ("trial", "repeat", "run", "round"), text=True, needed=False),
    )
    columns, stops = read_file(args, roles, "gauge-study")
    if columns is None:
        return show_faults(stops, args.json)
    unit, times = length_scale(columns.unit("value"), args.show)
    tolerance, faults = _tolerance(args, unit)
    if faults:
        return show_faults(faults, args.json)
    table, more = _arranged(columns, times, file_name(args.file))
    if table is None:
        return show_faults(more, args.json)
    from sparkout.measure.studies.gauge_study import gauge_study
    from sparkout.report.measuring.study_words import verdict_of

    pooling: float | bool = {"auto": 0.25, "always": True, "never": False}[args.pool]
    study = gauge_study(table, tolerance, pooling, args.confidence / 100)
    name = args.name or (args.file.stem if str(args.file) != "-" else "gauge study")
    if args.picture is not None:
        from sparkout.report.measuring.study_picture import study_picture

        drawn = study_picture(name, table, unit)
        if drawn is None:
            say("No picture: every repeat reads the same, so there is no scatter to draw.")
        else:
            write_picture(args.picture, drawn)
    if args.json:
        show_json("gauge-study", _data(name, study, table, tolerance, unit))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.measuring.study_text import study_text

        show_lines(study_text(name, study, table, tolerance, unit))
    return 1 if verdict_of(study).fails else 0


def _tolerance(args: argparse.Namespace, unit: str) -> tuple[float | None, list[Fault]]:
    from sparkout.faults import Fault, Place

    if not args.tolerance:
        return None, []
    value, fault = in_unit(args.tolerance, unit, "--tolerance")
    if fault is not None:
        return None, [fault]
    if value is None or not value > 0:
        place = Place(key="--tolerance")
        return None, [Fault(place, f"'{args.tolerance}'", "upper less lower limit, above zero")]
    return value, []


def _arranged(
    columns: Columns, times: float, file: str
) -> tuple[StudyTable | None, tuple[Fault, ...]]:
    """The readings as parts × people × repeats; a trial given twice is a fault with its row."""
    from sparkout.faults import Fault, Place
    from sparkout.measure.studies.table import StudyReading, arrange

    people, parts = columns.texts("operator"), columns.texts("part")
    if "trial" in columns.by_role:
        seen: dict[tuple[str, str, str], int] = {}
        twice = []
        keys = zip(people, parts, columns.texts("trial"), strict=True)
        for at, key in enumerate(keys):
            if key in seen:
                first = columns.places[seen[key]].line
                found = f"trial {key[2]} of part {key[1]} by {key[0]} once more"
                expected = f"each trial once; it stands in row {first} too"
                twice.append(Fault(columns.places[at], found, expected))
            seen.setdefault(key, at)
        if twice:
            return None, tuple(twice[:20])
    readings = [
        StudyReading(part, person, value * times)
        for part, person, value in zip(parts, people, columns.numbers("value"), strict=True)
    ]
    return arrange(readings, Place(file))


def _row(row: AnovaRow) -> dict[str, Any]:
    import math

    f = row.f if row.f is not None and math.isfinite(row.f) else None
    return {
        "source": row.source,
        "dof": row.dof,
        "sum_of_squares": row.sum_of_squares,
        "mean_square": row.mean_square,
        "f": f,
        "p": row.p,
    }


def _share(share: VarianceShare | None) -> dict[str, Any] | None:
    import math

    if share is None:
        return None
    return {
        "variance": share.variance,
        "sd": share.sd,
        "sd_low": math.sqrt(max(0.0, share.low)),
        "sd_high": math.sqrt(max(0.0, share.high)) if math.isfinite(share.high) else None,
        "dof": share.dof,
        "of_variance": share.of_variance,
        "of_study": share.of_study,
        "of_tolerance": share.of_tolerance,
        "below_zero": share.clipped,
    }


def _data(
    name: str, study: GaugeStudy, table: StudyTable, tolerance: float | None, unit: str
) -> dict[str, Any]:
    from sparkout.report.measuring.study_words import (
        blind_words,
        expanded,
        rule_words,
        shop_line,
        verdict_of,
    )

    return {
        "name": name,
        "unit": unit,
        "parts": list(table.parts),
        "people": list(table.people),
        "repeats": table.repeats,
        "anova": [_row(row) for row in study.anova.full],
        "used": [_row(row) for row in study.anova.used],
        "pooled": study.anova.pooled,
        **{which: _share(getattr(study, which)) for which in _SHARES},
        "confidence": study.confidence,
        "categories": study.categories,
        "tolerance": tolerance,
        "verdict": verdict_of(study).word,
        "rule": rule_words(),
        "expanded": expanded(study),
        "shop_file": shop_line(study, unit),
        "notes": list(study.notes),
        "cannot_show": list(blind_words(study, table)),
    }

"""sparkout bore-map: where each bore is worn, over depth and direction."""

from __future__ import annotations

from sparkout.cli.measuring import (
    add_file,
    add_picture,
    add_show,
    file_name,
    in_unit,
    picture_fault,
    read_file,
    write_picture,
)
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json
from sparkout.cli.shapes import COUNT, MAYBE_NUMBER, NUMBER, TEXT, TEXTS, listed, record

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Mapping, Sequence
    from typing import Any

    from sparkout.drawings.palette import Verdict
    from sparkout.faults import Fault
    from sparkout.report.measuring.bore import Bore

    # what is measured, its bores, the unit to answer in, the verdict on each
    _Got = tuple[str, Sequence[Bore], str, Mapping[str, Verdict]]

HELP = """\
Map the bores of a job, or one bore from a file with columns depth, direction and
value: how far each place is from nominal, taper, out-of-round, what is outside its
limit, and what such readings cannot show. Ends with 1 where a reading is outside."""

SCHEMA = envelope(
    "bore-map",
    {
        "name": TEXT,
        "bores": listed(
            record(
                {
                    "name": TEXT,
                    "nominal": {**NUMBER, "description": "mm"},
                    "low": {**MAYBE_NUMBER, "description": "limit, mm"},
                    "high": {**MAYBE_NUMBER, "description": "limit, mm"},
                    "levels": TEXTS,
                    "depths": listed(NUMBER),
                    "directions": TEXTS,
                    "angles": listed(NUMBER),
                    "diameters": {
                        **listed(listed(MAYBE_NUMBER)),
                        "description": "mm; a row for each level, null where not read",
                    },
                    "out_of_round": listed(MAYBE_NUMBER),
                    "tapers": listed(MAYBE_NUMBER),
                    "outside": COUNT,
                    "cannot_show": TEXTS,
                }
            )
        ),
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_file(p, "job folder, or file with columns depth, direction and value")
    p.add_argument("--bore", default="", metavar="N", help="only this bore")
    p.add_argument("--phase", default="found", choices=("found", "left"),
                   help="which readings of the job (default: found)")  # fmt: skip
    p.add_argument("--nominal", default="", metavar="SIZE", help="size that a file is held against")
    p.add_argument("--lower", default="", metavar="LIMIT", help="lower limit, for a file")
    p.add_argument("--upper", default="", metavar="LIMIT", help="upper limit, for a file")
    p.add_argument("--name", default="", help="what was measured, for a file")
    add_show(p)
    add_picture(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout bore-map jobs/1204 --bore 2 --picture bore-2.svg\n"
        "  sparkout bore-map liner.csv --nominal 100 --upper 100.15 --unit mm"
    )


def main(args: argparse.Namespace) -> int:
    from sparkout.report.measuring.lengths import INCH, METRIC

    faults = picture_fault(args.picture)
    if faults:
        return show_faults(faults, args.json)
    got = _of_job(args) if args.file.is_dir() else _of_file(args)
    if isinstance(got, int):
        return got
    name, bores, units, judged = got
    from sparkout.report.measuring.bore import blind_words

    lengths = INCH if (args.show or units) == "in" else METRIC
    if args.picture is not None:
        from sparkout.report.measuring.bore_picture import bore_picture, bores_picture

        if len(bores) == 1:
            write_picture(args.picture, bore_picture(bores[0], lengths))
        else:
            write_picture(args.picture, bores_picture(name, bores, lengths, judged))
    if args.json:
        show_json("bore-map", {
            "name": name,
            "bores": [_data(bore, blind_words(bore)) for bore in bores],
        })  # fmt: skip
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.measuring.bore_text import bores_text

        show_lines(bores_text(name, bores, lengths))
    return 1 if any(bore.out(value) for bore in bores for value in bore.known) else 0


def _of_job(args: argparse.Namespace) -> _Got | int:
    from sparkout.cli.jobargs import opened
    from sparkout.faults import Fault, Place
    from sparkout.report.measuring.bore import bores_of_job, judged_bores

    job = opened(args.file, args.json)
    if isinstance(job, int):
        return job
    every = bores_of_job(job, args.phase)
    wanted = args.bore if args.bore.startswith("bore ") else f"bore {args.bore}"
    bores = [bore for bore in every if not args.bore or bore.name == wanted]
    if not bores:
        names = ", ".join(bore.name for bore in every)
        place = Place(key="--bore") if every else Place(str(args.file))
        found = f"'{args.bore}'" if every else f"no bore read in phase '{args.phase}'"
        expected = f"one of {names}" if every else "readings of bore diameter"
        return show_faults([Fault(place, found, expected)], args.json)
    units = "in" if job.shop.units == "inch" else "mm"
    return job.sheet.identity.name, bores, units, judged_bores(job, args.phase)


def _of_file(args: argparse.Namespace) -> _Got | int:
    """One bore from a file of columns; depths and sizes in one unit, directions in degrees."""
    from sparkout.cli.columns import Role
    from sparkout.faults import Fault, Place
    from sparkout.measure.form.bore_map import bore_map
    from sparkout.report.measuring.bore import Bore
    from sparkout.units.table import dimension_of, known_unit, system_of

    roles = (
        Role("depth", ("depth", "level", "z", "height")),
        Role("direction", ("direction", "angle", "degrees", "deg")),
        Role("value", ("value", "diameter", "reading", "measured", "size", "bore")),
    )
    columns, stops = read_file(args, roles, "bore-map")
    if columns is None:
        return show_faults(stops, args.json)
    file = file_name(args.file)
    faults: list[Fault] = []
    factors = {}
    for role in ("depth", "value"):
        unit = columns.unit(role) or "mm"
        if dimension_of(unit) != "length":
            place = Place(file, key=role)
            faults.append(Fault(place, f"the unit {unit}", "a length, such as mm or in"))
            continue
        if not columns.unit(role):
            say(f"{file}: no unit stands with {role}: read as mm.")
        factors[role] = float(known_unit(unit, "length").factor)
    limits: dict[str, float | None] = {}
    for option in ("nominal", "lower", "upper"):
        typed = getattr(args, option)
        unit = columns.unit("value") or "mm"
        value, fault = in_unit(typed, unit, f"--{option}") if typed else (None, None)
        if fault is not None:
            faults.append(fault)
        limits[option] = None if value is None else value * factors.get("value", 1.0)
    if faults:
        return show_faults(faults, args.json)
    seen: dict[tuple[float, float], int] = {}
    readings = []
    parts = zip(*(columns.numbers(r) for r in ("depth", "direction", "value")), strict=True)
    for at, (depth, way, value) in enumerate(parts):
        key = (depth * factors["depth"], way)
        if key in seen:
            first = columns.places[seen[key]].line
            found = f"depth {depth:g}, direction {way:g} read again"
            expected = f"one reading for each place; row {first} has it too"
            faults.append(Fault(columns.places[at], found, expected))
        seen[key] = at
        readings.append((*key, value * factors["value"]))
    if faults:
        return show_faults(faults[:20], args.json)
    table = bore_map(readings)
    values = {(cell.level, cell.direction): cell.value for cell in table.cells}
    if len(table.directions) > 24 or len(table.levels) > 200:
        found = f"{len(table.levels)} depths in {len(table.directions)} directions"
        fault = Fault(Place(file), found, "at most 200 depths and 24 directions",
                      "A trace all round is a matter for `sparkout form`.")  # fmt: skip
        return show_faults([fault], args.json)
    nominal = limits["nominal"]
    bore = Bore(
        args.name or (args.file.stem if str(args.file) != "-" else "bore"),
        tuple(f"{level / factors['depth']:g}" for level in table.levels),
        table.levels,
        tuple(f"{way:g}°" for way in table.directions),
        table.directions,
        tuple(tuple(values.get((z, way)) for way in table.directions) for z in table.levels),
        min(values.values()) if nominal is None else nominal,
        limits["lower"],
        limits["upper"],
    )
    if nominal is None:
        say(f"{file}: no --nominal, so deviations are from the smallest reading.")
    inch = system_of(columns.unit("value") or "mm") == "inch"
    return bore.name, [bore], "in" if inch else "mm", {}


def _data(bore: Bore, blind: Sequence[str]) -> dict[str, Any]:
    return {
        "name": bore.name,
        "nominal": bore.nominal,
        "low": bore.low,
        "high": bore.high,
        "levels": list(bore.levels),
        "depths": list(bore.depths),
        "directions": list(bore.directions),
        "angles": list(bore.angles),
        "diameters": [list(row) for row in bore.diameters],
        "out_of_round": list(bore.out_of_round()),
        "tapers": list(bore.tapers()),
        "outside": sum(map(bore.out, bore.known)),
        "cannot_show": list(blind),
    }

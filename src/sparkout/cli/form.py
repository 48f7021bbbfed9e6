"""sparkout form: roundness, cylindricity, flatness or straightness of measured points."""

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
from sparkout.cli.shapes import COUNT, MAYBE_NUMBER, NUMBER, TEXT, TEXTS, listed, one_of, record

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from typing import Any

    from sparkout.cli.columns import Columns
    from sparkout.faults import Fault
    from sparkout.report.measuring.shape import Fit, FormName, Shape

HELP = """\
Form of a bore, journal, face or edge from measured points: by the minimum zone, as
the standards define it, and by every other reference, each with the proof that no
better one exists. Points stand one a row: x and y, or angle and radius (or deviation,
with --radius), and z for a cylinder or a face. Says what the points cannot show. Ends
with 1 where the form is over --limit."""

_NAMES = ("roundness", "cylindricity", "flatness", "straightness")
_PROOF = {
    "type": "object",
    "properties": {
        "scope": TEXT,
        "reason": TEXT,
        **dict.fromkeys(
            ("balance", "overshoot", "sharpness", "reach", "gradient", "curvature"), NUMBER
        ),
    },
    "required": ["scope", "reason"],
    "additionalProperties": False,
}
SCHEMA = envelope(
    "form",
    {
        "name": TEXT,
        "what": one_of(*_NAMES),
        "points": COUNT,
        "form": {**NUMBER, "description": "minimum zone, mm"},
        "limit": {**MAYBE_NUMBER, "description": "mm"},
        "within": {"type": ["boolean", "null"]},
        "references": listed(
            record(
                {
                    "method": TEXT,
                    "symbol": TEXT,
                    "form": NUMBER,
                    "diameter": MAYBE_NUMBER,
                    "centre": listed(NUMBER),
                    "direction": listed(NUMBER),
                    "contacts": listed(COUNT),
                    "proof": _PROOF,
                    "warnings": TEXTS,
                }
            )
        ),
        "lobes": listed(
            record({"lobes": COUNT, "peak_to_valley": NUMBER, "direction": NUMBER,
                    "two_point": NUMBER})
        ),
        "sections": listed(
            record({"level": NUMBER, "form": NUMBER, "diameter": NUMBER, "readings": COUNT})
        ),
        "cannot_show": TEXTS,
        "notes": TEXTS,
    },
)  # fmt: skip

_SYMBOLS = {"roundness": "CI", "cylindricity": "CY", "flatness": "PL", "straightness": "LI"}
# Points in one file: exact fits of more take minutes, and no bench reads so many.
_MOST = 50_000


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("what", choices=_NAMES, help="which form")
    add_file(p, "CSV file or spreadsheet of points")
    p.add_argument("--radius", default="", metavar="SIZE",
                   help="nominal radius, where the file gives deviations from it")  # fmt: skip
    p.add_argument("--limit", default="", metavar="SIZE", help="largest form allowed")
    p.add_argument("--undulations", type=float, metavar="N",
                   help="smooth first: N waves a turn pass by half (15, 50, 150)")  # fmt: skip
    p.add_argument("--name", default="", help="what was measured")
    add_show(p)
    add_picture(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout form roundness bore-2.csv --picture bore-2.svg\n"
        "  sparkout form flatness deck.xlsx --limit '0.05 mm' --show in\n"
        "  sparkout form roundness trace.csv --radius 50 --undulations 50"
    )


def main(args: argparse.Namespace) -> int:
    from sparkout.faults import Fault, Place
    from sparkout.measure.form.records import UndeterminedError
    from sparkout.report.measuring.shape import shape_of

    faults = picture_fault(args.picture)
    limit, radius = (_length(args, name, faults) for name in ("limit", "radius"))
    if faults:
        return show_faults(faults, args.json)
    columns, stops = read_file(args, *_roles(args.what))
    if columns is None:
        return show_faults(stops, args.json)
    got, faults = _points(args, columns, radius)
    if got is None:
        return show_faults(faults, args.json)
    points, angles = got
    try:
        shape = shape_of(args.what, points, angles)
    except UndeterminedError as error:
        found, _, expected = str(error).partition("; expected ")
        place = Place(file_name(args.file))
        fault = Fault(place, found, expected or f"points that determine the {args.what}",
                      "Take more points, spread over the whole feature.")  # fmt: skip
        return show_faults([fault], args.json)
    name = args.name or (args.file.stem if str(args.file) != "-" else "points")
    from sparkout.report.measuring.lengths import INCH, METRIC

    lengths = INCH if _system(args, columns) == "in" else METRIC
    if args.picture is not None:
        from sparkout.report.measuring.shape_picture import shape_picture

        write_picture(args.picture, shape_picture(name, shape, lengths, angles is not None))
    if args.json:
        show_json("form", _data(name, shape, limit))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.measuring.shape_text import shape_text

        show_lines(shape_text(name, shape, lengths, limit))
    return 1 if limit is not None and shape.best.form > limit else 0


def _roles(what: FormName):  # type: ignore[no-untyped-def]
    """The sets of columns that will do, plainest first, after the command's name."""
    from sparkout.cli.columns import Role

    x, y = Role("x", ("x",)), Role("y", ("y",))
    z = Role("z", ("z", "height", "level", "depth"))
    angle = Role("angle", ("angle", "direction", "degrees", "deg", "theta"), guess=False)
    radius = Role("radius", ("radius", "r"))
    away = Role("deviation", ("deviation", "reading", "dr"))
    if what == "roundness":
        free = Role("z", ("z",), needed=False)
        return (x, y, free), "form", (angle, radius), (angle, away)
    if what == "cylindricity":
        return (x, y, z), "form", (angle, radius, z), (angle, away, z)
    if what == "flatness":
        face = Role("z", ("z", "height", "h", "reading", "value", "deviation"))
        return (x, y, face), "form"
    along = Role("x", ("x", "along", "place", "position", "distance"))
    up = Role("y", ("y", "height", "h", "reading", "value", "deviation", "z"))
    return (along, up), "form"


def _length(args: argparse.Namespace, name: str, faults: list[Fault]) -> float | None:
    """A length typed as an option, in mm; a bare one is in the unit of the file or the answer."""
    typed = str(getattr(args, name)).strip()
    if not typed:
        return None
    from sparkout.faults import Fault, Place
    from sparkout.units.table import dimension_of, known_unit

    unit = args.unit if dimension_of(args.unit) == "length" else args.show or "mm"
    value, fault = in_unit(typed, unit, f"--{name}")
    if fault is not None:
        faults.append(fault)
        return None
    if value is None or not value > 0:
        faults.append(Fault(Place(key=f"--{name}"), f"'{typed}'", "a length above zero"))
        return None
    return value * float(known_unit(unit, "length").factor)


def _system(args: argparse.Namespace, columns: Columns) -> str:
    from sparkout.units.table import system_of

    if args.show:
        return str(args.show)
    units = [column.unit for column in columns.by_role.values() if column.unit]
    return "in" if any(system_of(unit) == "inch" for unit in units) else "mm"


def _points(
    args: argparse.Namespace, columns: Columns, radius: float | None
) -> tuple[tuple[list[tuple[float, ...]], tuple[float, ...] | None] | None, list[Fault]]:
    """Points in mm, and their angles where the file gives them."""
    import math

    from sparkout.faults import Fault, Place
    from sparkout.units.table import dimension_of, known_unit

    faults: list[Fault] = []
    by_role: dict[str, list[float]] = {}
    bare: list[str] = []
    file = file_name(args.file)
    for role, column in columns.by_role.items():
        if role == "angle":
            by_role[role] = list(column.numbers)
            continue
        if column.unit and dimension_of(column.unit) != "length":
            place = Place(file, key=column.header)
            faults.append(Fault(place, f"the unit {column.unit}", "a length, such as mm or in"))
            continue
        if not column.unit:
            bare.append(role)
        factor = float(known_unit(column.unit or "mm", "length").factor)
        by_role[role] = [value * factor for value in column.numbers]
    if "deviation" in by_role and args.what in ("roundness", "cylindricity") and radius is None:
        faults.append(
            Fault(Place(key="--radius"), "deviations and no radius", "the nominal radius",
                  "Give it, such as --radius '50 mm': form depends on it a little.")
        )  # fmt: skip
    if bare:
        say(f"{file}: no unit stands with {', '.join(bare)}: read as mm.")
    count = len(columns.places)
    if count > _MOST:
        faults.append(Fault(Place(file), f"{count} points", f"{_MOST} at most", "Thin them out."))
    if faults:
        return None, faults
    if "angle" not in by_role:
        names = [name for name in ("x", "y", "z") if name in by_role]
        return (list(zip(*(by_role[name] for name in names), strict=True)), None), []
    angles = by_role["angle"]
    if "radius" in by_role:
        radii = by_role["radius"]
    else:
        assert radius is not None
        radii = [radius + value for value in by_role["deviation"]]
    if args.undulations is not None:
        smoothed, fault = _smoothed(angles, radii, args, file)
        if smoothed is None:
            return None, [fault] if fault else []
        radii = smoothed
    # Angles count clockwise from the top, as the picture draws them: x to the right, y up.
    turns = [math.radians(angle) for angle in angles]
    flat = [(r * math.sin(a), r * math.cos(a)) for r, a in zip(radii, turns, strict=True)]
    if "z" in by_role:
        return (
            [(*point, z) for point, z in zip(flat, by_role["z"], strict=True)],
            tuple(angles),
        ), []
    return (list(flat), tuple(angles)), []


def _smoothed(
    angles: list[float], radii: list[float], args: argparse.Namespace, file: str
) -> tuple[list[float] | None, Fault | None]:
    """The trace without what is finer than so many waves a turn, in the order given."""
    from sparkout.faults import Fault, Place
    from sparkout.measure.form.trace_filter import filtered_trace

    place = Place(file)
    order = sorted(range(len(angles)), key=lambda k: angles[k] % 360.0)
    turned = [angles[k] % 360.0 for k in order]
    step = 360.0 / len(turned)
    if any(abs(turn - turned[0] - k * step) > 0.05 * step for k, turn in enumerate(turned)):
        return None, Fault(place, "readings at uneven angles, or not once round",
                           "even steps once round, which the filter needs")  # fmt: skip
    try:
        smooth = filtered_trace([radii[k] for k in order], args.undulations)
    except ValueError as error:
        return None, Fault(Place(key="--undulations"), str(error), "fewer undulations")
    made = [0.0] * len(radii)
    for k, value in zip(order, smooth, strict=True):
        made[k] = value
    return made, None


def _fit(shape: Shape, method: Any, fit: Fit) -> dict[str, Any]:
    import math

    from sparkout.measure.form.records import CircleFit
    from sparkout.report.measuring.shape import reading_numbers

    proof = fit.proof
    parts = {
        name: value
        for name in ("balance", "overshoot", "sharpness", "reach", "gradient", "curvature")
        if (value := getattr(proof, name, None)) is not None and math.isfinite(value)
    }
    centre = (fit.x, fit.y) if isinstance(fit, CircleFit) else fit.point
    direction = getattr(fit, "direction", getattr(fit, "normal", ()))
    return {
        "method": method.value,
        "symbol": method.reference_symbol(_SYMBOLS[shape.what]),
        "form": fit.form,
        "diameter": getattr(fit, "diameter", None),
        "centre": list(centre),
        "direction": list(direction),
        "contacts": list(reading_numbers(fit)),
        "proof": {"scope": proof.scope.value, "reason": proof.reason, **parts},
        "warnings": list(fit.warnings),
    }


def _data(name: str, shape: Shape, limit: float | None) -> dict[str, Any]:
    return {
        "name": name,
        "what": shape.what,
        "points": len(shape.points),
        "form": shape.best.form,
        "limit": limit,
        "within": None if limit is None else shape.best.form <= limit,
        "references": [_fit(shape, method, fit) for method, fit in shape.fits.items()],
        "lobes": [
            {"lobes": part.order, "peak_to_valley": part.peak_to_valley,
             "direction": part.direction, "two_point": part.two_point}
            for part in shape.lobes
        ],
        "sections": [
            {"level": s.level, "form": s.form, "diameter": s.diameter, "readings": s.readings}
            for s in shape.sections
        ],
        "cannot_show": list(shape.cannot_show),
        "notes": list(shape.notes),
    }  # fmt: skip

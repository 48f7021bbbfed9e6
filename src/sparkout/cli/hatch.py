"""sparkout hatch: the cross-hatch angle of a honed bore, from lines or from how the hone moves."""

from __future__ import annotations

from sparkout.cli.measuring import add_picture, in_unit, picture_fault, write_picture
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.faults import Fault
    from sparkout.measure.texture.hatch import Hatch, HatchLines

HELP = """\
The cross-hatch angle of a honed bore: from the angles of single lines on the wall,
measured from the circumference, with a minus for those that slope the other way; or
from bore, spindle speed and stroking. With --want it says the stroking that gives an
angle. The two habits of naming the angle mean opposite things, so both are printed.
Ends with 1 where the angle is under --least or over --most."""

_MAYBE = {"type": ["number", "null"]}
SCHEMA = envelope(
    "hatch",
    {
        "about_circumference": {"type": "number", "description": "included angle, degrees"},
        "about_axis": {"type": "number"},
        "expanded": {**_MAYBE, "description": "of the angle, two sd from the scatter of the lines"},
        "rising": _MAYBE,
        "falling": _MAYBE,
        "lines": {"type": ["integer", "null"]},
        "surface_speed": {**_MAYBE, "description": "m/min"},
        "axial_speed": {**_MAYBE, "description": "m/min"},
        "strokes": {**_MAYBE, "description": "double strokes a minute"},
        "least": _MAYBE,
        "most": _MAYBE,
        "within": {"type": ["boolean", "null"]},
        "cannot_show": {"type": "array", "items": {"type": "string"}},
    },
)

_MOVES = ("bore", "rpm", "stroke", "strokes")


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("--lines", default="", metavar="LIST",
                   help="angles of single lines, such as '29 31 -30 -32'")  # fmt: skip
    p.add_argument("--bore", default="", metavar="SIZE", help="bore diameter")
    p.add_argument("--rpm", type=float, help="spindle speed, 1/min")
    p.add_argument("--stroke", default="", metavar="SIZE", help="length of stroke")
    p.add_argument("--strokes", type=float, help="double strokes a minute, down and up being one")
    p.add_argument("--want", type=float, metavar="ANGLE",
                   help="angle to reach (halved by the circumference), not --strokes")  # fmt: skip
    p.add_argument("--least", type=float, metavar="ANGLE", help="least angle allowed")
    p.add_argument("--most", type=float, metavar="ANGLE", help="greatest angle allowed")
    p.add_argument("--unit", choices=("mm", "in"), default="mm", help="of bare sizes (default: mm)")
    p.add_argument("--name", default="Cross-hatch", help="which bore")
    add_picture(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout hatch --lines '29 31 -30 -32' --picture hatch.svg\n"
        "  sparkout hatch --bore 100 --rpm 150 --stroke 130 --strokes 60\n"
        "  sparkout hatch --bore '4 in' --rpm 180 --stroke '5 in' --want 45"
    )


def main(args: argparse.Namespace) -> int:
    faults = picture_fault(args.picture)
    if args.lines:
        found, more = _of_lines(args)
        faults += more
        if found is None or faults:
            return show_faults(faults, args.json)
        return _told(args, found.hatch, found, None, None, args.strokes)
    moves, more = _moves(args)
    faults += more
    if moves is None or faults:
        return show_faults(faults, args.json)
    from sparkout.measure.texture.hatch import axial_speed_for, hatch_from_speeds

    surface, stroke = moves
    if args.want is not None:
        axial = axial_speed_for(args.want, surface)
        strokes = 1000.0 * axial / (2.0 * stroke)
    else:
        strokes = args.strokes
        axial = 2.0 * stroke * strokes / 1000.0
    return _told(args, hatch_from_speeds(axial, surface), None, surface, axial, strokes)


def _of_lines(args: argparse.Namespace) -> tuple[HatchLines | None, list[Fault]]:
    import re

    from sparkout.faults import Fault, Place
    from sparkout.measure.texture.hatch import hatch_from_lines

    if args.want is not None or args.bore or args.rpm or args.stroke or args.strokes:
        found = "lines and how the hone moves together"
        return None, [Fault(Place(key="--lines"), found, "one of the two")]
    angles = []
    faults = []
    for word in re.split(r"[\s;]+", args.lines.replace("−", "-").strip()):
        try:
            angles.append(float(word.rstrip("°").replace(",", ".")))
        except ValueError:
            expected = "angles with spaces between them, such as 29.5 -30"
            faults.append(Fault(Place(key="--lines"), f"'{word}'", expected))
    if faults:
        return None, faults
    got, more = hatch_from_lines(angles, Place(key="--lines"))
    return got, list(more)


def _moves(args: argparse.Namespace) -> tuple[tuple[float, float] | None, list[Fault]]:
    """Surface speed [m/min] and stroke [mm], or what is missing or wrong."""
    from sparkout.faults import Fault, Place
    from sparkout.measure.texture.hatch import surface_speed
    from sparkout.units.table import known_unit

    faults: list[Fault] = []
    needed = [name for name in _MOVES if not getattr(args, name)]
    if args.want is not None:
        needed = [name for name in needed if name != "strokes"]
    if needed:
        missing = ", ".join(f"--{name}" for name in needed)
        found = "neither lines nor all of how the hone moves" if len(needed) > 2 else "too little"
        faults.append(Fault(Place(), found, f"--lines, or {missing} too"))
        return None, faults
    sizes = []
    factor = float(known_unit(args.unit, "length").factor)
    for name in ("bore", "stroke"):
        value, fault = in_unit(getattr(args, name), args.unit, f"--{name}")
        if fault is not None:
            faults.append(fault)
        elif value is not None and not value > 0:
            faults.append(Fault(Place(key=f"--{name}"), f"'{getattr(args, name)}'", "above zero"))
        else:
            sizes.append((value or 0.0) * factor)
    for name in ("rpm", "strokes"):
        number = getattr(args, name)
        if number is not None and not 0 < number < 1e6:
            faults.append(Fault(Place(key=f"--{name}"), f"{number:g}", "above zero"))
    if args.want is not None and not 0 < args.want < 180:
        faults.append(Fault(Place(key="--want"), f"{args.want:g}", "above 0 and below 180 degrees"))
    if faults:
        return None, faults
    return (surface_speed(sizes[0], args.rpm), sizes[1]), []


def _told(
    args: argparse.Namespace,
    hatch: Hatch,
    lines: HatchLines | None,
    surface: float | None,
    axial: float | None,
    strokes: float | None,
) -> int:
    angle = hatch.about_circumference
    limited = args.least is not None or args.most is not None
    within = (args.least is None or angle >= args.least) and (
        args.most is None or angle <= args.most
    )
    blind = _blind(lines)
    if args.picture is not None:
        write_picture(args.picture, _picture(args, hatch, surface, axial, strokes, within))
    if args.json:
        show_json("hatch", {
            "about_circumference": angle,
            "about_axis": hatch.about_axis,
            "expanded": None if lines is None else 2.0 * lines.u,
            "rising": None if lines is None else lines.rising,
            "falling": None if lines is None else lines.falling,
            "lines": None if lines is None else lines.lines,
            "surface_speed": surface,
            "axial_speed": axial,
            "strokes": strokes,
            "least": args.least,
            "most": args.most,
            "within": within if limited else None,
            "cannot_show": list(blind),
        })  # fmt: skip
        return 0 if within else 1
    from sparkout.report.measuring.words import bulleted
    from sparkout.report.text.layout import heading, wrapped

    text = wrapped(f"{args.name}: {hatch}", "")
    if lines is not None:
        text += wrapped(
            f"{lines.rising:.1f}° one way and {lines.falling:.1f}° the other, {lines.lines} lines; "
            f"±{2 * lines.u:.1f}° from their scatter (two standard deviations)", "  ")  # fmt: skip
        if abs(lines.tilt) > 2.0:
            text += wrapped("The two ways differ: up- and downstroke are not equally fast, or the "
                            "bore was not read square.", "  ! ")  # fmt: skip
    if surface is not None and axial is not None and strokes is not None:
        text += wrapped(f"surface {surface:.1f} m/min, stroking {axial:.1f} m/min, {strokes:.0f} "
                        "double strokes a minute", "  ")  # fmt: skip
    if limited:
        ends = [f"at least {args.least:g}°" if args.least is not None else "",
                f"at most {args.most:g}°" if args.most is not None else ""]  # fmt: skip
        asked = " and ".join(end for end in ends if end)
        text += wrapped(f"{asked} asked: {'within' if within else 'OUT'}",
                        f"  {'✓' if within else '✕'} ")  # fmt: skip
    text += [*heading("What this cannot show"), *bulleted(blind)]
    print("\n".join(text))
    return 0 if within else 1


def _blind(lines: HatchLines | None) -> tuple[str, ...]:
    ends = "The angle at the two ends of the stroke: there the lines turn and it goes to zero."
    if lines is None:
        return ("What is on the wall: this is what the machine's settings should give.", ends)
    return (
        "Other places of the bore: only these lines were measured.",
        ends,
        "How deep or open the grooves are: that is a matter for `sparkout texture`.",
    )


def _picture(
    args: argparse.Namespace,
    hatch: Hatch,
    surface: float | None,
    axial: float | None,
    strokes: float | None,
    within: bool,
) -> str:
    from sparkout.drawings.crosshatch import Crosshatch, crosshatch
    from sparkout.drawings.palette import Verdict

    facts = [("halved by the bore axis", f"{hatch.about_axis:.1f}°")]
    if surface is not None and axial is not None and strokes is not None:
        facts += [("surface speed", f"{surface:.1f} m/min"),
                  ("stroking speed", f"{axial:.1f} m/min"),
                  ("double strokes", f"{strokes:.0f} a minute")]  # fmt: skip
    limited = args.least is not None or args.most is not None
    verdict = (Verdict.OK if within else Verdict.OUT) if limited else Verdict.NOT_MEASURED
    return crosshatch(Crosshatch(args.name, hatch.about_circumference, args.least, args.most,
                                 verdict, tuple(facts)))  # fmt: skip

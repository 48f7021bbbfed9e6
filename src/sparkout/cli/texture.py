"""sparkout texture: roughness and plateau figures of a surface trace or map."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.measuring import (
    add_picture,
    add_show,
    file_name,
    file_text,
    in_unit,
    picture_fault,
    write_picture,
)
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json
from sparkout.cli.shapes import (
    COUNT,
    FLAG,
    MAYBE_NUMBER,
    NUMBER,
    TEXT,
    TEXTS,
    by_name,
    listed,
    maybe,
    record,
)

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Mapping, Sequence
    from typing import Any

    from sparkout.faults import Fault
    from sparkout.measure.texture.profile import Profile
    from sparkout.measure.texture.surface_map import SurfaceMap
    from sparkout.report.measuring.texture import Texture
    from sparkout.report.measuring.texture_text import Demand

HELP = """\
Texture of a surface: Ra, Rq, Rz and their kin, the Rk family of a plateau honed
bore, the filter used, and of a map the cross-hatch angle. The file is a trace as text
with two columns headed with their units (x [mm]; z [µm]), or surface data of
ISO 25178-71 (.sdf, text form), one row or a whole map. Ends with 1 where a height is
over --most or under --least."""

_PLATEAU = ("Rpk", "Rk", "Rvk", "Mr1", "Mr2", "oil_volume")
_HATCH = ("about_circumference", "about_axis", "rising", "falling", "contrast")
SCHEMA = envelope(
    "texture",
    {
        "name": TEXT,
        "row": {**COUNT, "description": "of a map; 0 for a trace"},
        "length": {**NUMBER, "description": "of the trace, mm"},
        "spacing": {**NUMBER, "description": "mm"},
        "cutoff": {**NUMBER, "description": "mm"},
        "lower_cutoff": MAYBE_NUMBER,
        "sampling_lengths": COUNT,
        "ends": TEXT,
        "heights": {**by_name(NUMBER), "description": "by symbol, µm; Rsk and Rku without unit"},
        "plateau": {
            **maybe(record(dict.fromkeys(_PLATEAU, NUMBER))),
            "description": "heights in µm, Mr1 and Mr2 in %, oil in mm³/cm²",
        },
        "hatch": {
            **maybe(record(dict.fromkeys(_HATCH, NUMBER))),
            "description": "angles in degrees",
        },
        "demands": listed(
            record({"symbol": TEXT, "most": FLAG, "limit": NUMBER, "found": NUMBER, "held": FLAG})
        ),
        "cannot_show": TEXTS,
        "warnings": TEXTS,
    },
)

_CUTOFFS = (0.08, 0.25, 0.8, 2.5, 8.0)


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("file", type=Path, help="trace as text, or surface data (.sdf); - reads text")
    p.add_argument("--cutoff", type=float, choices=_CUTOFFS, metavar="MM",
                   help="0.08, 0.25, 0.8, 2.5 or 8 (default: as the surface asks for)")  # fmt: skip
    p.add_argument("--feed", default="", metavar="SIZE",
                   help="spacing of regular marks, for turned or fly-cut surfaces")  # fmt: skip
    p.add_argument("--ends", choices=("drop", "level", "slope"), default="drop",
                   help="what to do at the ends of the trace (default: drop)")  # fmt: skip
    p.add_argument("--row", type=int, default=0, metavar="N", help="row of a map (default: middle)")
    for name, word in (("most", "upper"), ("least", "lower")):
        p.add_argument(f"--{name}", action="append", default=[], metavar="NAME=SIZE",
                       help=f"{word} limit, such as Ra=0.8; again for each height")  # fmt: skip
    p.add_argument("--name", default="", help="what was traced")
    add_show(p)
    add_picture(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout texture bore-2.csv --most Rpk=0.3 --least Rvk=0.8\n"
        "  sparkout texture wall.sdf --picture wall.svg --show in"
    )


def main(args: argparse.Namespace) -> int:
    from sparkout.faults import Place
    from sparkout.measure.texture.filters import Ends
    from sparkout.report.measuring.texture import texture_of
    from sparkout.report.measuring.texture_text import INCH, METRIC

    faults = picture_fault(args.picture)
    feed = _feed(args, faults)
    wanted = _wanted(args, faults)
    if faults:
        return show_faults(faults, args.json)
    surface, stops = _surface(args)
    if surface is None:
        return show_faults(stops, args.json)
    found, stops = texture_of(
        surface,
        Place(file_name(args.file)),
        cutoff=args.cutoff,
        feed=feed,
        ends={"drop": Ends.DROP, "level": Ends.LEVEL, "slope": Ends.SLOPE}[args.ends],
        row=args.row,
    )
    if found is None:
        return show_faults(stops, args.json)
    demands, faults = _demands(wanted, found)
    if faults:
        return show_faults(faults, args.json)
    name = args.name or (args.file.stem if str(args.file) != "-" else "trace")
    scale = INCH if args.show == "in" else METRIC
    if args.picture is not None:
        from sparkout.report.measuring.texture_picture import texture_picture

        write_picture(args.picture, texture_picture(name, found, scale))
    if args.json:
        show_json("texture", _data(name, found, demands))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.measuring.texture_text import texture_text

        show_lines(texture_text(name, found, scale, demands))
    return 0 if all(demand.held for demand in demands) else 1


def _feed(args: argparse.Namespace, faults: list[Fault]) -> float | None:
    from sparkout.faults import Fault, Place
    from sparkout.units.table import known_unit

    if not args.feed:
        return None
    unit = args.show or "mm"
    value, fault = in_unit(args.feed, unit, "--feed")
    if fault is not None:
        faults.append(fault)
        return None
    feed = (value or 0.0) * float(known_unit(unit, "length").factor)
    if not 0 < feed <= 4:
        faults.append(Fault(Place(key="--feed"), f"'{args.feed}'", "above 0 and up to 4 mm"))
        return None
    return feed


def _wanted(args: argparse.Namespace, faults: list[Fault]) -> list[tuple[str, bool, float]]:
    """Symbol, whether an upper limit, and the limit in µm."""
    from sparkout.faults import Fault, Place
    from sparkout.report.measuring.texture import LIMITED
    from sparkout.sheet.nearest import nearest
    from sparkout.units.table import known_unit

    made = []
    unit = "µin" if args.show == "in" else "µm"
    for option in ("most", "least"):
        for typed in getattr(args, option):
            symbol, _, size = (part.strip() for part in typed.partition("="))
            if symbol not in LIMITED or not size:
                hint = nearest(symbol, LIMITED)
                remedy = f"Did you mean {hint}?" if hint and hint != symbol else ""
                expected = f"NAME=SIZE with a name out of {', '.join(LIMITED)}"
                faults.append(Fault(Place(key=f"--{option}"), f"'{typed}'", expected, remedy))
                continue
            value, fault = in_unit(size, unit, f"--{option} {symbol}")
            if fault is not None:
                faults.append(fault)
            elif value is not None:
                made.append((symbol, option == "most",
                             value * float(known_unit(unit, "roughness").factor)))  # fmt: skip
    return made


def _demands(
    wanted: Sequence[tuple[str, bool, float]], found: Texture
) -> tuple[list[Demand], list[Fault]]:
    from sparkout.faults import Fault, Place
    from sparkout.report.measuring.texture import values_of
    from sparkout.report.measuring.texture_text import Demand

    values = values_of(found)
    faults = [
        Fault(Place(key=symbol), f"no {symbol} of this trace", "a trace long enough for it",
              " ".join(found.warnings[:1]))
        for symbol, _, _ in wanted
        if symbol not in values
    ]  # fmt: skip
    if faults:
        return [], faults
    return [Demand(symbol, most, limit, values[symbol]) for symbol, most, limit in wanted], []


def _surface(
    args: argparse.Namespace,
) -> tuple[Profile | SurfaceMap | None, tuple[Fault, ...]]:
    """The trace or map, by what the first line of the file says it is."""
    from sparkout.faults import Fault, Place
    from sparkout.measure.texture.csv_trace import trace_from_csv
    from sparkout.measure.texture.sdf import map_from_sdf

    if not args.file.exists() and str(args.file) != "-":
        return None, (Fault(Place(str(args.file)), "no such file", "a trace or surface data"),)
    text, warnings = file_text(args.file)
    if text is None:
        return None, warnings
    for fault in warnings:
        say(str(fault))
    name = file_name(args.file)
    start = text.lstrip("\ufeff").lstrip()[1:4]
    if args.file.suffix.lower() != ".sdf" and start not in ("ISO", "BCR"):
        return trace_from_csv(text, name)
    surface, faults = map_from_sdf(text, name)
    if surface is not None and not 0 <= args.row <= len(surface.heights_um):
        expected = f"a row from 1 to {len(surface.heights_um)}"
        return None, (Fault(Place(key="--row"), str(args.row), expected),)
    return surface, faults


def _data(name: str, found: Texture, demands: Sequence[Demand]) -> dict[str, Any]:
    from sparkout.report.measuring.texture import blind_words, lower_cutoff, values_of

    r, k = found.heights, found.rk
    heights: Mapping[str, float] = {
        **{s: v for s, v in values_of(found).items() if s not in ("Rk", "Rpk", "Rvk")},
        "Rsk": r.rsk,
        "Rku": r.rku,
    }
    return {
        "name": name,
        "row": found.row,
        "length": found.trace.length,
        "spacing": found.trace.spacing,
        "cutoff": r.cutoff,
        "lower_cutoff": lower_cutoff(found),
        "sampling_lengths": r.sections,
        "ends": r.ends.value,
        "heights": heights,
        "plateau": None
        if k is None
        else {"Rpk": k.rpk, "Rk": k.rk, "Rvk": k.rvk, "Mr1": k.mr1, "Mr2": k.mr2,
              "oil_volume": k.oil_volume},
        "hatch": None
        if found.hatch is None
        else {
            "about_circumference": found.hatch.hatch.about_circumference,
            "about_axis": found.hatch.hatch.about_axis,
            "rising": found.hatch.rising,
            "falling": found.hatch.falling,
            "contrast": found.hatch.contrast,
        },
        "demands": [
            {"symbol": d.symbol, "most": d.most, "limit": d.limit, "found": d.found, "held": d.held}
            for d in demands
        ],
        "cannot_show": list(blind_words(found)),
        "warnings": list(found.warnings),
    }  # fmt: skip

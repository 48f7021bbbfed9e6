"""sparkout lash: which valves are set at which crank position, and with which blades."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.assembly_shapes import LASH
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from fractions import Fraction

    from sparkout.assembly.lash import LashTable
    from sparkout.engine.frame import Bank, Frame, Layout
    from sparkout.faults import Fault
    from sparkout.sheet.assembly_model import CamEvents, LashSpec

HELP = """\
Which valves to set at which crank position: the fewest positions that do them all,
for any layout and firing order. With a job, from its data sheet, with the lash, the
feeler blades and what was read; without one, for the engine that is typed."""

SCHEMA = envelope("lash", LASH)

_LAYOUTS = ("inline", "V", "flat", "single")


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("job", nargs="?", type=Path, help="job folder; none for an engine as typed")
    p.add_argument("--layout", choices=_LAYOUTS, help="how the cylinders stand")
    p.add_argument("--cylinders", type=int, metavar="N", help="how many")
    p.add_argument("--firing", metavar="ORDER", help="firing order: 1-5-3-6-2-4")
    p.add_argument("--banks", metavar="ROWS", help="cylinders of each bank of a V: '1 3 5/2 4 6'")
    p.add_argument("--bank-angle", metavar="ANGLE", help="between the banks: 90 deg")
    p.add_argument(
        "--firing-angles",
        metavar="ANGLES",
        help="crank degrees in firing order, where it fires unevenly: 0 90 270 …",
    )
    p.add_argument(
        "--valves",
        metavar="I,E",
        default="1,1",
        help="intake and exhaust valves of a cylinder (default: 1,1)",
    )
    p.add_argument("--intake", metavar="LASH", help="lash of the intake valves: 0.30 to 0.35 mm")
    p.add_argument("--exhaust", metavar="LASH", help="lash of the exhaust valves")
    p.add_argument(
        "--events",
        metavar="IO,IC,EO,EC",
        help="cam: intake opens before top, closes after bottom, exhaust opens before "
        "bottom, closes after top, degrees: 10,42,46,12",
    )
    p.add_argument("--ramp", metavar="ANGLE", help="crank degrees off the base circle outside them")
    p.add_argument("--units", choices=("mm", "inch"), default="mm", help="feeler blades")
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout lash jobs/1204\n"
        "  sparkout lash --layout inline --cylinders 6 --firing 1-5-3-6-2-4\n"
        "  sparkout lash --layout V --cylinders 8 --firing 1-8-4-3-6-5-7-2 \\\n"
        "      --banks '1 3 5 7/2 4 6 8' --bank-angle 90 --intake '0.20 mm'"
    )


def main(args: argparse.Namespace) -> int:
    if args.job is not None:
        return _of_job(args)
    from sparkout.assembly.lash import lash_table

    faults: list[Fault] = []
    frame = _frame(args, faults)
    spec = _spec(args, faults)
    angle = _degrees(args.bank_angle, "--bank-angle", faults)
    if frame is None or faults:
        return show_faults(faults, args.json)
    table, wrong = lash_table(frame, spec, bank_angle=angle, system=args.units)
    status = show_faults(wrong, args.json)
    if table is None:
        return status or 2
    firing = "-".join(map(str, frame.firing_order))
    return _show(f"{args.layout}, {args.cylinders} cylinders, firing {firing}", table, {}, args)


def _of_job(args: argparse.Namespace) -> int:
    from sparkout.cli.jobargs import opened
    from sparkout.faults import Fault, Place

    typed = [
        name
        for name in (
            "layout",
            "cylinders",
            "firing",
            "banks",
            "bank_angle",
            "firing_angles",
            "intake",
            "exhaust",
            "events",
            "ramp",
        )
        if getattr(args, name)
    ]
    if typed:
        option = "--" + typed[0].replace("_", "-")
        fault = Fault(Place(key=option), "a job and an engine as typed", "one of them",
                      "The data sheet of a job says all of this.")  # fmt: skip
        return show_faults([fault], args.json)
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.assembly.lash import lash_table
    from sparkout.assembly.mock_up import latest
    from sparkout.assembly.records import records

    sheet = job.sheet
    table, faults = lash_table(job.frame, sheet.assembly.lash, bank_angle=sheet.layout.bank_angle,
                               cycle=sheet.identity.cycle, system=job.shop.units)  # fmt: skip
    status = show_faults(faults, args.json)
    if table is None:
        return status or 2
    read = {
        record.feature.removeprefix("valve "): record.result
        for record in latest(records(job.replayed.effective))
        if record.check == "valve lash"
    }
    return _show(sheet.identity.name, table, read, args)


def _show(name: str, table: LashTable, read: dict[str, str], args: argparse.Namespace) -> int:
    if args.json:
        from sparkout.report.assembly_data import lash_data

        show_json("lash", {"engine": name, "table": lash_data(table), "readings": read})
        return 0
    from sparkout.cautions import messages_for, shipped_messages
    from sparkout.cli.terminal import show_lines
    from sparkout.report.text.lash import lash_text

    show_lines(lash_text(name, table, read, messages_for(shipped_messages(), ("lash",))))
    return 0


# The engine as typed ----------------------------------------------------------------------------


def _fault(faults: list[Fault], key: str, found: str, expected: str, remedy: str = "") -> None:
    from sparkout.faults import Fault, Place

    faults.append(Fault(Place(key=key), found, expected, remedy))


def _frame(args: argparse.Namespace, faults: list[Fault]) -> Frame | None:
    from sparkout.engine.frame import CylinderKind, Layout, build_frame

    lacking = [f"--{name}" for name in ("layout", "cylinders", "firing") if not getattr(args, name)]
    if lacking:
        _fault(faults, "lash", "no " + ", no ".join(lacking),
               "a job folder, or --layout, --cylinders and --firing")  # fmt: skip
        return None
    layout, count = Layout(args.layout), args.cylinders
    order = _numbers(args.firing)
    if not 1 <= count <= 24:
        _fault(faults, "--cylinders", str(count), "1 to 24")
    elif order is None or sorted(order) != list(range(1, count + 1)):
        expected = f"each of the {count} cylinders once, as 1-3-4-2 is for four"
        _fault(faults, "--firing", f"'{args.firing}'", expected)
    valves = _numbers(args.valves)
    if valves is None or len(valves) != 2 or not all(1 <= n <= 3 for n in valves):
        _fault(faults, "--valves", f"'{args.valves}'", "two counts from 1 to 3, such as 2,2")
    banks = _banks(args, layout, count, faults)
    if faults or order is None or valves is None:
        return None
    return build_frame(
        layout,
        banks,
        main_bearings=count + 1,  # none of them counts here
        cylinder_kind=CylinderKind.PARENT_BORE,
        firing_order=order,
        intakes=valves[0],
        exhausts=valves[1],
    )


def _banks(
    args: argparse.Namespace, layout: Layout, count: int, faults: list[Fault]
) -> tuple[Bank, ...]:
    from sparkout.engine.frame import Bank

    every = list(range(1, count + 1))
    if layout.value in ("inline", "single"):
        if args.banks:
            _fault(faults, "--banks", f"'{args.banks}' of an {layout.value} engine", "none")
        return (Bank("", tuple(every)),)
    rows = [_numbers(row) for row in (args.banks or "").split("/")]
    joined = [number for row in rows for number in row or ()]
    if len(rows) != 2 or sorted(joined) != every:
        found = f"'{args.banks}'" if args.banks else f"no rows of a {layout.value} engine"
        _fault(faults, "--banks", found,
               "two rows that hold each cylinder once: '1 3 5 7/2 4 6 8'")  # fmt: skip
        return ()
    return tuple(Bank(name, row or ()) for name, row in zip(("one", "two"), rows, strict=True))


def _numbers(text: str) -> tuple[int, ...] | None:
    words = text.replace("-", " ").replace(",", " ").split()
    return tuple(map(int, words)) if words and all(word.isdecimal() for word in words) else None


def _spec(args: argparse.Namespace, faults: list[Fault]) -> LashSpec:
    from sparkout.sheet.assembly_model import LashSpec, LashValues
    from sparkout.sheet.model import Bounds
    from sparkout.units import QuantityError, parse, parse_range

    def bounds(text: str | None, key: str) -> Bounds | None:
        """A range, or one figure."""
        if text is None:
            return None
        unit = "in" if args.units == "inch" else "mm"
        try:
            found = parse_range(text, "length", unit)
            return Bounds(found.low, found.high, text.strip())
        except QuantityError as wrong:
            try:
                value = parse(text, "length", unit).value
            except QuantityError:
                _fault(faults, key, wrong.found, wrong.expected, wrong.remedy)
                return None
        return Bounds(value, value, text.strip())

    cold = LashValues(bounds(args.intake, "--intake"), bounds(args.exhaust, "--exhaust"))
    angles: tuple[Fraction, ...] = ()
    if args.firing_angles:
        angles = tuple(
            angle
            for word in args.firing_angles.replace(",", " ").split()
            if (angle := _degrees(word, "--firing-angles", faults)) is not None
        )
        if args.cylinders and len(angles) != args.cylinders:
            _fault(faults, "--firing-angles", f"{len(angles)} angles",
                   f"one for each of the {args.cylinders} cylinders, in firing order")  # fmt: skip
    return LashSpec(cold=cold, events=_events(args, faults), firing_angles=angles)


def _events(args: argparse.Namespace, faults: list[Fault]) -> CamEvents | None:
    """From before and after the dead centres to crank degrees from firing top dead centre."""
    from sparkout.sheet.assembly_model import CamEvents

    ramp = _degrees(args.ramp, "--ramp", faults)
    if not args.events:
        if args.ramp:
            _fault(faults, "--ramp", "a ramp without events", "--events with it")
        return None
    words = args.events.split(",")
    found = [_degrees(word, "--events", faults) for word in words]
    if len(found) != 4:
        _fault(faults, "--events", f"'{args.events}'", "four angles, such as 10,42,46,12")
        return None
    opens, closes, out, shut = found
    if opens is None or closes is None or out is None or shut is None:
        return None
    return CamEvents(360 - opens, 540 + closes, 180 - out, 360 + shut, ramp)


def _degrees(text: str | None, key: str, faults: list[Fault]) -> Fraction | None:
    if text is None:
        return None
    from sparkout.units import QuantityError, parse

    try:
        return parse(text, "angle").value
    except QuantityError as wrong:
        _fault(faults, key, wrong.found, wrong.expected, wrong.remedy)
        return None

"""sparkout begin: make the folder of a new job."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.jobargs import demo_folder, demo_names
from sparkout.cli.output import add_json, envelope, show_faults, show_json
from sparkout.cli.shapes import TEXT, TEXTS

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Make a job folder from a data sheet and a shop file. With --demo, from an engine that
comes with Sparkout, readings included, to try things on."""

SCHEMA = envelope("begin", {"folder": TEXT, "files": TEXTS})


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("folder", type=Path, help="new or empty folder")
    p.add_argument("--sheet", type=Path, help="data sheet of the engine (YAML)")
    p.add_argument("--shop", type=Path, help="shop file (YAML)")
    p.add_argument("--supply", type=Path, help="supply list (YAML)")
    p.add_argument("--demo", choices=demo_names(), metavar="NAME",
                   help="start from an invented engine: " + ", ".join(demo_names()))  # fmt: skip
    add_json(p)


def main(args: argparse.Namespace) -> int:
    from sparkout.engine.names import known_names
    from sparkout.faults import Fault, Place
    from sparkout.job.folder import make_folder
    from sparkout.load import files_in
    from sparkout.sheet.files import open_sheet, open_shop

    log = supply = None
    if args.demo:
        files = files_in(demo_folder(args.demo))
        args.sheet, args.shop, supply, log = files.sheet, files.shop, files.supply, files.log
    if args.sheet is None or args.shop is None:
        fault = Fault(Place(key="begin"), "no data sheet or no shop file", "--sheet and --shop",
                      "Or --demo NAME to try one that comes with Sparkout.")  # fmt: skip
        return show_faults([fault], args.json)
    supply = args.supply or supply
    _, faults = open_sheet(args.sheet, known_names())
    _, more = open_shop(args.shop, known_names())
    status = show_faults((*faults, *more), args.json)
    if status:
        return status
    made, faults = make_folder(args.folder, args.sheet.read_bytes(), args.shop.read_bytes())
    if made is None:
        return show_faults(faults, args.json)
    if supply is not None:
        (args.folder / "supply.yaml").write_bytes(supply.read_bytes())
    if log is not None:
        made.log.write_bytes(log.read_bytes())
    names = sorted(path.name for path in args.folder.iterdir())
    if args.json:
        show_json("begin", {"folder": str(args.folder), "files": names})
    else:
        print(f"{args.folder}: " + ", ".join(names))
    return 0

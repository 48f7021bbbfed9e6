"""sparkout sheets: check a data sheet, or list what a sheet can name."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.output import add_json, envelope, show_faults, show_json
from sparkout.cli.shapes import MAYBE_TEXT, TEXT, TEXTS, listed, record

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Check a data sheet, a shop file or a supply list, with every fault and its line. Without
a file: the characteristics a sheet can give limits for, with instrument and places."""

_CHARACTERISTIC = record(
    {
        "name": TEXT,
        "feature": TEXT,
        "mark": TEXT,
        "dimension": TEXT,
        "sense": TEXT,
        "derive": TEXT,
        "gauge": TEXT,
        "places": TEXT,
    }
)
SCHEMA = envelope(
    "sheets", {"file": MAYBE_TEXT, "faults": TEXTS, "characteristics": listed(_CHARACTERISTIC)}
)


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("file", type=Path, nargs="?", help="data sheet to check")
    p.add_argument("--about", default="", metavar="WORD", help="only characteristics with WORD")
    p.add_argument(
        "--thumb", action="store_true", help="list the rules of thumb a sheet may ask for"
    )
    add_json(p)


def main(args: argparse.Namespace) -> int:
    if args.file is not None:
        return _check(args)
    if args.thumb:
        from sparkout.sheet.thumb import RULES

        for rule in RULES.values():
            print(f"{rule.name}: {rule.characteristic} {rule.says}; {rule.source}")
        return 0
    from sparkout.engine.characteristics import ALL

    rows = [item for item in ALL if args.about in item.name or args.about in item.feature]
    if args.json:
        listed = [
            {
                "name": item.name,
                "feature": item.feature,
                "mark": item.mark,
                "dimension": item.dimension,
                "sense": item.sense.value,
                "derive": item.derive.value,
                "gauge": item.gauge,
                "places": item.places,
            }
            for item in rows
        ]
        show_json("sheets", {"file": None, "faults": [], "characteristics": listed})
        return 0
    from sparkout.report.text.layout import wrapped

    for item in rows:
        sense = f", {item.sense.value}" if item.sense.value else ""
        print(f"{item.name} ({item.mark}, of a {item.feature}{sense})")
        for text in (item.places, item.gauge):
            if text:
                print("\n".join(wrapped(text, "    ")))
    return 0


def _check(args: argparse.Namespace) -> int:
    from sparkout.engine.names import known_names
    from sparkout.sheet.files import open_sheet, open_shop

    head = args.file.read_text(encoding="utf-8", errors="replace").splitlines()
    first = next((line for line in head if line.strip() and not line.startswith("#")), "")
    if first.lower().startswith("sparkout shop"):
        _, faults = open_shop(args.file, known_names(), str(args.file))
    else:
        _, faults = open_sheet(args.file, known_names(), str(args.file))
    if args.json:
        told = [str(fault) for fault in faults]
        show_json("sheets", {"file": str(args.file), "faults": told, "characteristics": []})
        return 2 if any(fault.stops for fault in faults) else 0
    status = show_faults(faults)
    if not status:
        print(f"{args.file}: no faults")
    return status

"""sparkout schema: the JSON Schema of a file format or of a command's --json."""

from __future__ import annotations

import json

from sparkout.cli.output import show_faults

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Print a JSON Schema: of the data sheet (sheet), the shop file (shop), the supply list
(supply), an entry of the log (log), or of what a command prints with --json (its name);
of what any command may print instead: faults in what it was given, or that the step of
a build is held."""


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("name", nargs="?", default="", help="which one; none lists them")
    p.add_argument("--command", action="store_true",
                   help="of the command, where a file has the same name (log)")  # fmt: skip
    p.epilog = "examples:\n  sparkout schema sheet\n  sparkout schema log --command"


def main(args: argparse.Namespace) -> int:
    from sparkout.cli.main import COMMANDS, find
    from sparkout.cli.refusal_shapes import REFUSALS
    from sparkout.faults import Fault, Place

    commands = [name for name, _, _ in COMMANDS]
    files = ("sheet", "shop", "supply", "log")
    with_schema = [name for name in commands if hasattr(find(name), "SCHEMA")]
    if not args.name:
        print("files:    " + ", ".join(files))
        print("commands: " + ", ".join(with_schema))
        print("instead:  " + ", ".join(REFUSALS))
        return 0
    # the command `log` and the file share a name: the file's schema is meant unless said otherwise
    schema = None if args.command else _file_schema(args.name)
    if schema is None and args.name in with_schema:
        schema = find(args.name).SCHEMA
    if schema is None:
        schema = REFUSALS.get(args.name)
    if schema is None:
        from sparkout.sheet.nearest import nearest

        known = [*(() if args.command else files), *with_schema, *REFUSALS]
        near = nearest(args.name, known)
        fault = Fault(
            Place(key="name"),
            f"'{args.name}'",
            "one of " + ", ".join(known),
            f"Did you mean '{near}'?" if near else "",
        )
        return show_faults([fault])
    print(json.dumps(schema, ensure_ascii=False, indent=2))
    return 0


def _file_schema(name: str) -> dict[str, object] | None:
    if name == "log":
        from sparkout.job.schema import entry_schema

        return entry_schema()
    if name not in ("sheet", "shop", "supply"):
        return None
    from pydantic import BaseModel

    from sparkout.sheet.engine_form import SheetForm
    from sparkout.sheet.reading import json_schema
    from sparkout.sheet.shop_form import ShopForm, SupplyListForm

    forms: dict[str, type[BaseModel]] = {
        "sheet": SheetForm,
        "shop": ShopForm,
        "supply": SupplyListForm,
    }
    model = forms[name]
    return json_schema(model, f"Sparkout {name}")

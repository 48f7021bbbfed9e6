"""The entry point: finds the command, loads its module, turns what happens into an exit status.

To add a command: write `sparkout/cli/<name>.py` (a hyphen becomes _) and add one line to COMMANDS.
The module has

    HELP = "What it does, in a sentence or two."
    def parser(p: argparse.ArgumentParser) -> None: ...    # its arguments; p.epilog for examples
    def main(args: argparse.Namespace) -> int: ...         # the exit status

and may have SCHEMA, the JSON Schema of its --json object (see output.add_json, output.show_json).

Exit status: 0 done; 1 findings that stop the job; 2 bad input or usage; 3 cannot (locked, no space,
no permission, or a fault of Sparkout itself); 130 interrupted. Results go to standard output;
everything said to the person about the run goes to standard error.

This file imports nothing but sys, so that --help and --version answer at once. A one-figure command
may load argparse, fractions and sparkout.units, nothing else (tests/cli/test_cli_imports.py).
"""

from __future__ import annotations

import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from types import ModuleType

__all__ = ["COMMANDS", "find", "run"]

# name, heading it stands under, what it does in one line
COMMANDS: tuple[tuple[str, str, str], ...] = (
    ("demo", "A whole job", "judge, plan, price and print a worn engine shipped with Sparkout"),
    ("check", "A whole job", "judge every limit against what was read"),
    ("plan", "A whole job", "the cheapest plan that holds every limit, with its reasons"),
    ("offers", "A whole job", "least cost, best value and as new side by side"),
    ("ask", "A whole job", "what if, in one line: what changes in price, days and work"),
    ("life", "A whole job", "how long what is kept should last, by its wear so far"),
    ("parts", "A whole job", "what to buy, what to order now, and what after which reading"),
    ("forecast", "A whole job", "price and time before everything is measured, and what to read"),
    ("shelf", "A whole job", "many engines of one kind planned at once, from one shelf"),
    ("papers", "A whole job", "findings sheet, work sheet and build record as PDF"),
    ("setups", "A whole job", "what to dial in for each step, with the sum behind each number"),
    ("assembly", "Putting it together", "every step, where it stands and what the next waits for"),
    ("tighten", "Putting it together", "one fastener at a time, in order, stage by stage"),
    ("lash", "Putting it together", "which valves to set at which crank position, and to what"),
    ("draw", "Putting it together", "joints, pistons, lash, seats, liners and crank as SVG"),
    ("begin", "The job folder", "make the folder of a new job"),
    ("record", "The job folder", "put one entry into the log and hear what it means"),
    ("bring", "The job folder", "bring readings in from a CSV file or a spreadsheet"),
    ("listen", "The job folder", "take readings straight from a gauge that types or sends"),
    ("log", "The job folder", "verify the log and list what counts"),
    ("merge", "The job folder", "add what another device wrote"),
    ("sheets", "The job folder", "check a data sheet; list what a sheet can name"),
    ("schema", "The job folder", "JSON Schema of a file format or of a command's --json"),
    ("budget", "Measuring", "what one size is good to, source by source"),
    ("gauges", "Measuring", "the shop's gauges, what they are good to, which have expired"),
    ("bore-map", "Measuring", "where each bore is worn, over depth and direction"),
    ("form", "Measuring", "roundness, cylindricity, flatness, straightness of points"),
    ("texture", "Measuring", "Ra, Rz, the Rk family and cross-hatch of a surface trace or map"),
    ("hatch", "Measuring", "cross-hatch angle of a honed bore, from lines or settings"),
    ("gauge-study", "Measuring", "how well a gauge repeats and how far people differ with it"),
    ("chart", "Measuring", "a process of the shop's own against its own history"),
    ("size", "One figure", "what a typed size is, exactly, in mm, inches and thou"),
    ("gap", "One figure", "what feeler blades that fit and do not fit say of a gap"),
    ("between", "One figure", "is a reading within its limit, out of it, or not proven"),
    ("clearance", "One figure", "hole less two shell walls less shaft, on diameter"),
    ("completion", "Shell", "let the Tab key complete commands and options"),
)

DONE, STOPS, BAD_INPUT, CANNOT, INTERRUPTED = 0, 1, 2, 3, 130


def run(argv: Sequence[str] | None = None) -> int:
    """Run one command line and answer its exit status."""
    words = list(sys.argv[1:] if argv is None else argv)
    for stream in (sys.stdout, sys.stderr):
        # A sign the terminal cannot show must not cost the person the result.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    status: int | None = None
    try:
        status = _dispatch(words)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print("\ninterrupted", file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        _hush()
        return CANNOT if status is None else status
    except Exception as error:  # last resort: said in words, with its own status
        from sparkout.cli.output import failed

        return failed(error)
    return status


def find(name: str) -> ModuleType:
    """The module of a command."""
    path = f"sparkout.cli.{name.replace('-', '_')}"
    __import__(path)
    return sys.modules[path]


def _dispatch(words: list[str]) -> int:
    first = words[0] if words else ""
    if first in ("-h", "--help", "help"):
        print(_help())
        return DONE
    if first == "--version":
        from sparkout import __version__

        print(f"sparkout {__version__}")
        return DONE
    if not first:
        print(_help(), file=sys.stderr)
        return BAD_INPUT
    if first not in {name for name, _, _ in COMMANDS}:
        return _unknown(first)
    from sparkout.cli.parsing import parse

    parsed = parse(first, find(first), words[1:])
    return parsed if isinstance(parsed, int) else int(find(first).main(parsed))


def _unknown(word: str) -> int:
    kind = "an option here" if word.startswith("-") else "a command"
    from sparkout.sheet.nearest import nearest

    near = nearest(word, [name for name, _, _ in COMMANDS])
    hint = f" Did you mean '{near}'?" if near else ""
    print(f"sparkout: '{word}' is not {kind}.{hint}", file=sys.stderr)
    print("`sparkout --help` lists what there is.", file=sys.stderr)
    return BAD_INPUT


def _help() -> str:
    from sparkout import __version__

    lines = [
        f"sparkout {__version__}: from bench readings of a worn engine to a proven,",
        "costed machining plan, and from the plan to a signed build record.",
        "",
        "usage: sparkout COMMAND [arguments]",
        "       sparkout COMMAND --help",
    ]
    wide = max(len(name) for name, _, _ in COMMANDS)
    under = ""
    for name, heading, line in COMMANDS:
        if heading != under:
            lines += ["", f"{heading}:"]
            under = heading
        lines.append(f"  {name:<{wide}}  {line}")
    lines += [
        "",
        "exit status: 0 done, 1 something stops the job, 2 bad input, 3 cannot,",
        "             130 interrupted",
    ]
    return "\n".join(lines)


def _hush() -> None:
    """The reader of our output has gone: leave Python's own flush at exit nothing to say."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(run())

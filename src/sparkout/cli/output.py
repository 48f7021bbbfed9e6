"""How commands speak: one JSON object or plain lines on standard output, faults in plain sentences
on standard error, and the exit status that goes with what happened."""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Mapping
    from fractions import Fraction
    from typing import Any, TextIO

    from sparkout.faults import Fault
    from sparkout.units import QuantityError

__all__ = [
    "CannotError",
    "add_json",
    "colours",
    "envelope",
    "exact",
    "failed",
    "number",
    "refuse",
    "say",
    "show_faults",
    "show_json",
]

_WIDTH = 79
_STYLES = {"bold": "1", "red": "31", "yellow": "33", "blue": "34", "dim": "2"}


class CannotError(Exception):
    """Something outside stands in the way: locked, no space, no permission. Exit status 3."""

    def __init__(self, problem: str, remedy: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.remedy = remedy


def add_json(p: argparse.ArgumentParser) -> None:
    """The --json option, the same for every command."""
    p.add_argument("--json", action="store_true", help="print one JSON object instead of lines")


def show_json(schema: str, body: Mapping[str, Any]) -> None:
    """Print the result as one object: who made it, which schema it follows, then the result."""
    import json

    from sparkout import __version__

    whole = {"sparkout": __version__, "schema": schema, **body}
    print(json.dumps(whole, ensure_ascii=False, indent=2, allow_nan=False))


def envelope(schema: str, properties: Mapping[str, Any]) -> dict[str, Any]:
    """The JSON Schema of what show_json prints: every property is always there."""
    head: dict[str, Any] = {"sparkout": {"type": "string"}, "schema": {"const": schema}}
    every = {**head, **properties}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"sparkout {schema} --json",
        "type": "object",
        "properties": every,
        "required": list(every),
        "additionalProperties": False,
    }


def number(value: Fraction | float | None) -> float | int | None:
    """A JSON number; a whole one without a decimal point."""
    if value is None:
        return None
    plain = float(value)
    return int(plain) if plain.is_integer() else plain


def exact(value: Fraction | None) -> str | None:
    """An exact fraction as text: '27813/320', '100'."""
    return None if value is None else str(value)


def say(text: str = "") -> None:
    """Something for the person about the run, kept out of the results."""
    print(text, file=sys.stderr)


def show_faults(faults: Iterable[Fault], as_json: bool = False) -> int:
    """Tell all faults at once; the exit status: 2 when one of them stops the work, else 0."""
    told = list(faults)
    for fault in told:
        say(_in_lines(fault))
    stopping = sum(fault.stops for fault in told)
    if stopping > 1:
        say(f"{stopping} faults; nothing was done.")
    if as_json and stopping:
        show_json("faults", {"faults": [_fault(fault) for fault in told]})
    return 2 if stopping else 0


def refuse(what: str, error: QuantityError, as_json: bool = False) -> int:
    """Tell what is wrong with a typed quantity. what: the argument it was typed for."""
    from sparkout.faults import Fault, Place

    fault = Fault(Place(key=what), error.found, error.expected, error.remedy)
    return show_faults([fault], as_json)


def failed(error: BaseException) -> int:
    """The exit status of a command that raised, said in words."""
    if isinstance(error, CannotError):
        say(f"sparkout: {error.problem}" + (f" {error.remedy}" if error.remedy else ""))
        return 3
    if isinstance(error, OSError) and error.errno is not None:
        name = f"{error.filename}: " if error.filename else ""
        say(f"sparkout: {name}{error.strerror}.")
        missing = (FileNotFoundError, IsADirectoryError, NotADirectoryError, FileExistsError)
        return 2 if isinstance(error, missing) else 3
    import traceback

    traceback.print_exception(error)
    say("sparkout: this is a fault in Sparkout itself, not in what you typed.")
    return 3


def colours(stream: TextIO | None = None) -> bool:
    """Whether to colour: on a terminal only, and never where NO_COLOR is set."""
    stream = sys.stdout if stream is None else stream
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def paint(text: str, style: str, stream: TextIO | None = None) -> str:
    """Text in a style where colours are wanted; colour never says what the words do not."""
    return f"\x1b[{_STYLES[style]}m{text}\x1b[0m" if colours(stream) else text


def _in_lines(fault: Fault) -> str:
    """A fault in lines of 79: where and what on the first, what would be right indented below."""
    from textwrap import fill

    place = str(fault.place)
    head = f"{place}: found {fault.found};" if place else f"found {fault.found};"
    below = f"expected {fault.expected}."
    text = [head, below, fault.remedy] if fault.remedy else [head, below]
    return "\n".join(
        fill(line, _WIDTH, initial_indent="    " * bool(at), subsequent_indent="    ")
        for at, line in enumerate(text)
    )


def _fault(fault: Fault) -> dict[str, Any]:
    place = fault.place
    return {
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "key": place.key,
        "found": fault.found,
        "expected": fault.expected,
        "remedy": fault.remedy,
        "stops": fault.stops,
    }

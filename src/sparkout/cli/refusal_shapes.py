"""Schemas of what any command may print with --json instead of its own result: faults in what it
was given (made in output), or what holds the step of a build that was to be recorded (checking)."""

from __future__ import annotations

from sparkout.cli.output import envelope
from sparkout.cli.shapes import FLAG, MAYBE_WHOLE, TEXT, TEXTS, listed, record

__all__ = ["REFUSALS"]

_FAULT = record(
    {
        "file": TEXT,
        "line": MAYBE_WHOLE,
        "column": MAYBE_WHOLE,
        "key": TEXT,
        "found": TEXT,
        "expected": TEXT,
        "remedy": TEXT,
        "stops": FLAG,
    }
)

REFUSALS = {
    "faults": envelope("faults", {"faults": listed(_FAULT)}),
    "held": envelope("held", {"step": TEXT, "held": TEXTS}),
}

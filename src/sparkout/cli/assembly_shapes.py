"""Schemas of the build, its joints and the valve lash as --json prints them (made in
report.assembly_data).

Words that come from a fixed set are listed; tests hold them to the sets they come from.
"""

from __future__ import annotations

from sparkout.cli.shapes import (
    BOUNDS,
    COUNT,
    FLAG,
    MAYBE_NUMBER,
    MAYBE_TEXT,
    NUMBER,
    TEXT,
    TEXTS,
    by_name,
    listed,
    maybe,
    one_of,
    record,
)

__all__ = ["ASSEMBLY", "LASH", "TIGHTEN"]

_CHECK = record(
    {
        "check": TEXT,
        "kind": one_of("reading", "worked out", "figure", "largest", "seen", "fasteners", "parts"),
        "feature": TEXT,
        "words": TEXT,
        "how": TEXT,
        "bounds": maybe(BOUNDS),
        "state": one_of("not recorded", "in order", "out", "not proven", "waived"),
        "reading": TEXT,
        "reason": TEXT,
        "by": TEXT,
        "second_person": TEXT,
        "entries": TEXTS,
        "source": TEXT,
    }
)
_NEXT = record(
    {
        "act": one_of("tighten", "loosen", "loosen fully and begin again", "done"),
        "words": TEXT,
        "stage": COUNT,
        "fastener": TEXT,
        "done": COUNT,
        "of": COUNT,
        "reason": TEXT,
        "record": TEXT,
    }
)
_STEP = record(
    {
        "step": TEXT,
        "title": TEXT,
        "stage": one_of(
            "getting ready", "trial assembly", "final assembly", "first start and run-in"
        ),
        "state": one_of("done", "open", "held", "failed"),
        "reasons": TEXTS,
        "notes": TEXTS,
        "after": TEXTS,
        "features": TEXTS,
        "do": TEXTS,
        "lubricant": TEXT,
        "sealant": TEXT,
        "orientation": TEXT,
        "special_fasteners": TEXT,
        "timing_marks": TEXT,
        "align": TEXT,
        "parts": listed(record({"part": TEXT, "count": COUNT, "features": TEXTS})),
        "checks": listed(_CHECK),
        "next_fastener": maybe(_NEXT),
        "cautions": TEXTS,
        "second_person": FLAG,
        "source": TEXT,
    }
)
_PART = record(
    {
        "part": TEXT,
        "planned": COUNT,
        "received": COUNT,
        "used": COUNT,
        "verdict": one_of(
            "complete",
            "not all received",
            "received, not recorded as used",
            "fewer used than planned",
            "more used than planned",
            "left over",
            "not in the plan",
            "none chosen",
            "substituted, approved",
            "substituted without approval",
        ),
        "settled": FLAG,
        "instead": TEXT,
        "reason": TEXT,
        "approved_by": TEXT,
    }
)
_FIRST_START = record(
    {
        "lines": listed(
            record(
                {
                    "when": one_of("before", "start", "warm-up", "run-in", "after"),
                    "words": TEXT,
                    "source": TEXT,
                }
            )
        ),
        "stages": listed(
            record({"stage": TEXT, "speed": TEXT, "load": TEXT, "time": TEXT, "watch": TEXT})
        ),
        "stages_source": TEXT,
    }
)

ASSEMBLY = {
    "engine": TEXT,
    "follows": TEXT,
    "finished": FLAG,
    "steps": listed(_STEP),
    "parts": listed(_PART),
    "first_start": _FIRST_START,
    "strays": TEXTS,
}

_JOINT = record(
    {
        "name": TEXT,
        "feature": TEXT,
        "fastener": TEXT,
        "thread": TEXT,
        "count": COUNT,
        "lubrication": TEXT,
        "order": one_of(
            "from the centre outward by rings",
            "from the centre outward by rows",
            "cross",
            "as given",
        ),
        "mapped": FLAG,
        "places": listed(record({"fastener": TEXT, "x": NUMBER, "y": NUMBER})),
        # of a torque in N·m, of a turn in degrees; null for loosening
        "stages": listed(
            record(
                {"kind": one_of("torque", "turn", "loosen"), "words": TEXT, "value": MAYBE_NUMBER}
            )
        ),
        "moves": listed(record({"stage": COUNT, "fastener": TEXT})),
        "used_again": one_of("yes", "no", "to a length", ""),
        "source": TEXT,
    }
)

TIGHTEN = {
    "engine": TEXT,
    "joints": listed(_STEP),
    "joint": maybe(_JOINT),
    "step": maybe(_STEP),
    "recorded": MAYBE_TEXT,
}

_POSITION = record(
    {
        "cylinder": COUNT,
        "event": one_of("firing", "overlap"),
        "angle": NUMBER,
        "turn_on": NUMBER,
        "words": TEXT,
        "set_here": TEXTS,
        "may_set": TEXTS,
    }
)
_BLADES = record({"go": NUMBER, "no_go": NUMBER, "words": TEXT, "rule_of_thumb": FLAG})
_VALVE = record(
    {
        "valve": TEXT,
        "side": one_of("intake", "exhaust"),
        "cold": maybe(BOUNDS),
        "cold_pair": maybe(_BLADES),
        "hot": maybe(BOUNDS),
        "hot_pair": maybe(_BLADES),
    }
)

LASH = {
    "engine": TEXT,
    "table": record(
        {
            "method": TEXT,
            "positions": listed(_POSITION),
            "valves": listed(_VALVE),
            "assumptions": TEXTS,
            "doubts": TEXTS,
            "source": TEXT,
        }
    ),
    "readings": by_name(TEXT),
}

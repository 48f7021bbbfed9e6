"""What `chart --json` prints: its shape, and the process in it."""

from __future__ import annotations

from sparkout.cli.shapes import (
    COUNT,
    FLAG,
    MAYBE_NUMBER,
    NUMBER,
    TEXT,
    TEXTS,
    listed,
    maybe,
    one_of,
    record,
)

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from sparkout.measure.charts.capability import Index
    from sparkout.report.measuring.process import Process

__all__ = ["CHART", "chart_data"]

_POINT = record(dict.fromkeys(("number", "value", "centre", "lower", "upper"), NUMBER))
_LINE = record({"what": TEXT, "points": listed(_POINT)})
_INDEX = maybe(record(dict.fromkeys(("value", "low", "high"), NUMBER)))
CHART = {
    "name": TEXT,
    "unit": TEXT,
    "kind": TEXT,
    "readings": COUNT,
    "based_on": {**COUNT, "description": "points of the base period"},
    "centre": NUMBER,
    "sigma": {**NUMBER, "description": "of a reading, within subgroups"},
    "location": _LINE,
    "spread": _LINE,
    "signals": listed(
        record(
            {
                "chart": one_of("location", "spread"),
                "rule": TEXT,
                "source": TEXT,
                "points": listed(COUNT),
                "text": TEXT,
            }
        )
    ),
    "alarming": {**FLAG, "description": "the newest point is part of a signal"},
    "capability": maybe(
        record(
            {
                **dict.fromkeys(("cp", "cpk", "pp", "ppk"), _INDEX),
                "share_outside": NUMBER,
                "confidence": NUMBER,
            }
        )
    ),
    "acceptable": maybe(
        record(
            {
                "lower": MAYBE_NUMBER,
                "upper": MAYBE_NUMBER,
                "method": TEXT,
                "coverage": NUMBER,
                "confidence": NUMBER,
                "readings": COUNT,
                "assumptions": TEXTS,
                "warnings": TEXTS,
            }
        )
    ),
    "cannot_show": TEXTS,
    "warnings": TEXTS,
}


def _index(index: Index | None) -> dict[str, float] | None:
    return None if index is None else {"value": index.value, "low": index.low, "high": index.high}


def chart_data(process: Process) -> dict[str, Any]:
    from sparkout.report.measuring.process import blind_words

    able, accepted = process.capability, process.accepted

    def points(which: str) -> dict[str, Any]:
        line = getattr(process.chart, which)
        return {
            "what": line.what,
            "points": [
                {"number": p.number, "value": p.value, "centre": p.centre, "lower": p.lower,
                 "upper": p.upper}
                for p in line.points
            ],
        }  # fmt: skip

    return {
        "name": process.series.name,
        "unit": process.series.unit,
        "kind": process.base.kind.value,
        "readings": len(process.series.values),
        "based_on": process.based_on,
        "centre": process.base.centre,
        "sigma": process.base.sigma,
        "location": points("location"),
        "spread": points("spread"),
        "signals": [
            {
                "chart": "location" if signal in process.location else "spread",
                "rule": signal.rule.name,
                "source": signal.rule.source,
                "points": list(signal.points),
                "text": signal.text,
            }
            for signal in process.signals
        ],
        "alarming": process.alarming,
        "capability": None
        if able is None
        else {
            "cp": _index(able.cp),
            "cpk": _index(able.cpk),
            "pp": _index(able.pp),
            "ppk": _index(able.ppk),
            "share_outside": able.share_outside,
            "confidence": able.confidence,
        },
        "acceptable": None
        if accepted is None
        else {
            "lower": accepted.lower,
            "upper": accepted.upper,
            "method": accepted.method.value,
            "coverage": accepted.coverage,
            "confidence": accepted.confidence,
            "readings": accepted.readings,
            "assumptions": list(accepted.assumptions),
            "warnings": list(accepted.warnings),
        },
        "cannot_show": list(blind_words(process)),
        "warnings": [str(fault) for fault in process.warnings],
    }

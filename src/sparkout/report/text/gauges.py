"""The shop's gauges in a terminal: what each is good to, and how its certificate stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date

from sparkout.engine.gauge_state import GaugeState, Standing
from sparkout.judge.words import Words
from sparkout.load import Job
from sparkout.measure.gauges.sources import marks_of
from sparkout.report.text.budget import BASE
from sparkout.report.text.layout import heading, table, wrapped

__all__ = ["gauges_text"]

_LBF = 4.4482216  # N in a pound-force: NIST SP 811, B.8


def gauges_text(job: Job, states: Sequence[GaugeState], on: date) -> list[str]:
    """A row for each gauge and master, then what has to be done about some of them."""
    lines = heading(f"Gauges on {on.isoformat()}")
    gauges = [state for state in states if state.kind != "master"]
    masters = [state for state in states if state.kind == "master"]
    head = ("gauge", "kind", "step", "good to ±", "certificate", "used here")
    rows = [head] + [
        (
            state.name,
            state.kind,
            "" if state.resolution is None else _figure(float(state.resolution), state, job.words),
            _figure(state.expanded, state, job.words),
            _words(state),
            str(state.readings or "–"),
        )
        for state in gauges
    ]
    lines += table(rows, right=(2, 3, 5))
    if masters:
        lines += heading("Masters")
        rows2 = [("master", "good to ±", "certificate")] + [
            (state.name, _figure(state.expanded, state, job.words), _words(state))
            for state in masters
        ]
        lines += table(rows2, right=(1,))
    lines += _to_do(job, states)
    lines += ["", *wrapped("Good to: one reading as the gauge stands, k = 2, without its master.")]
    return lines


def _words(state: GaugeState) -> str:
    match state.standing:
        case Standing.VALID | Standing.SOON:
            return f"to {state.until}"
        case Standing.EXPIRED:
            return f"EXPIRED {state.until}"
        case Standing.HELD:
            return "HELD BACK"
        case Standing.NO_DAY:
            return "no last day given"
    return "none; largest error"


def _figure(value: float, state: GaugeState, words: Words) -> str:
    if state.measures == "length":
        inch = words.system == "inch"
        return f"{value / 25.4:.5f} in" if inch else f"{value:.4f} mm"
    if state.measures == "force" and words.system == "inch":
        return f"{value / _LBF:.1f} lbf"
    if state.measures == "pressure":
        return f"{value * 1000:.1f} kPa"
    unit = BASE.get(state.measures, "")
    return f"{value:.3g} {unit}".rstrip()


def _to_do(job: Job, states: Sequence[GaugeState]) -> list[str]:
    lines: list[str] = []
    for state in states:
        if state.standing == Standing.HELD:
            lines += wrapped(f"{state.name} is held back: {state.held}.", "  ! ")
        elif state.standing == Standing.EXPIRED:
            lines += wrapped(f"{state.name}: send it for calibration; no part is released by it.",
                             "  ! ")  # fmt: skip
        elif state.standing == Standing.SOON:
            lines += wrapped(
                f"{state.name}: its certificate runs out in {state.days} days.", "  · "
            )
        if state.remark:
            lines += wrapped(f"{state.name} {state.remark}.", "  · ")
    marks = Counter(
        mark
        for group in job.state.spots.values()
        for spot in group
        for mark in marks_of(spot.highest.components)
    )
    for mark, count in marks.items():
        lines += wrapped(f"{count} reading{'s' if count > 1 else ''}: {mark}.", "  ! ")
    return [*heading("To see to"), *lines] if lines else []

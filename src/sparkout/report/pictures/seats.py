"""Valve seats in section: the three cuts as they are planned, or with the width that was cut."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.drawings.palette import Verdict as Shown
from sparkout.drawings.seat import SeatCut, SeatSection, seat_section
from sparkout.engine.dimension import Key
from sparkout.load import Job
from sparkout.report.pictures.scales import scale_of
from sparkout.report.pictures.verdicts import shown
from sparkout.setups.bench import Bench
from sparkout.setups.number import Number
from sparkout.setups.record import SetUp
from sparkout.setups.seat_cones import KIND

__all__ = ["draw_seats", "lacking", "seat_of"]

_NEEDED = ("valve head diameter", "seat outer diameter", "top cutter angle", "throat cutter angle")
_READ = ("seat width", "valve recession", "seat runout")
_BESIDE = 1.5  # how far top and throat cut are drawn past the seat [mm on diameter]


def draw_seats(job: Job, made: Sequence[SetUp], bench: Bench) -> dict[str, str]:
    """A section for every seat whose cuts are known, by the seat's name."""
    found = {}
    for item in made:
        if item.kind == KIND and item.numbers:
            found[item.features[0]] = seat_section(seat_of(job, item, bench))
    return found


def lacking(job: Job, seat: str, bench: Bench) -> tuple[str, ...]:
    """What nobody has said yet of a seat whose section is to be drawn."""
    return tuple(name for name in _NEEDED if _said(job, bench, name, seat) is None)


def _said(job: Job, bench: Bench, name: str, seat: str) -> float | None:
    valve = seat.rsplit(" ", 1)[-1]
    for key in (f"{name} {valve}", name):
        if key in bench.values:
            return float(bench.values[key])
    own = job.shop.practice.cutters.get(name)
    return None if own is None else float(own)


def seat_of(job: Job, made: SetUp, bench: Bench) -> SeatSection:
    """The record behind one section. made: the set-up of its three angles."""
    seat = made.features[0]
    scale = scale_of(job.shop.units)
    angles = {
        "top": _said(job, bench, "top cutter angle", seat),
        "throat": _said(job, bench, "throat cutter angle", seat),
    }
    outer_at, inner_at = (
        made.number("seat outer diameter, top cut ends here"),
        made.number("seat inner diameter, throat cut ends here"),
    )
    alpha = float(job.sheet.geometry["seat angle"])
    outer, inner = float(outer_at.value), float(inner_at.value)
    cut = job.state.sizes.get(Key(seat, "seat width")) if _read_after(job, seat) else None
    if cut is not None:
        # the outer edge is where the top cut ended; the width says where the inner one is
        inner = outer - 2 * float(cut.high.value) * math.cos(math.radians(alpha))
    head = _said(job, bench, "valve head diameter", seat)
    face = _said(job, bench, "valve face width", seat)
    own = _said(job, bench, "valve face angle", seat)
    face_angle = alpha if own is None else own
    assert angles["top"] is not None
    assert angles["throat"] is not None
    per = float(scale.size)
    small = max(inner - _BESIDE, 0.5 * inner)
    return SeatSection(
        f"{seat[0].upper()}{seat[1:]} {'as cut' if cut is not None else 'as planned'}",
        (
            SeatCut("throat cut", angles["throat"], small / per, inner / per, known="outer"),
            SeatCut("seat", alpha, inner / per, outer / per, seats=True),
            SeatCut("top cut", angles["top"], outer / per, (outer + _BESIDE) / per, known="inner"),
        ),
        None if head is None else head / per,
        None
        if head is None or face is None
        else (head - 2 * face * math.cos(math.radians(face_angle))) / per,
        face_angle,
        _checks(job, seat),
        scale.unit,
        scale.decimals - 1,
        _notes(made, outer_at, inner_at, planned=cut is None),
    )


def _read_after(job: Job, seat: str) -> bool:
    key = Key(seat, "seat width")
    return any(spot.key == key and spot.phase in ("left", "mock-up") for spot in job.located.spots)


def _checks(job: Job, seat: str) -> tuple[tuple[str, str, Shown], ...]:
    """What was read of the seat, with its verdict."""
    rows = []
    for name in _READ:
        finding = next((f for f in job.findings if f.key == Key(seat, name)), None)
        if finding is None or finding.low is None or finding.high is None:
            continue
        limit = "" if finding.bounds is None else f", limit {finding.bounds.typed}"
        read = job.words.span(finding.low.value, finding.high.value, name)
        rows.append((f"{name} read", f"{read}{limit}", shown(finding.verdict)))
    return tuple(rows)


def _notes(made: SetUp, *numbers: Number, planned: bool) -> tuple[str, ...]:
    """Depths below the face, and everything not certain about them and the diameters."""
    notes = []
    if planned:
        for item in made.numbers:
            if "below the face" in item.label:
                doubt = f" [{'; '.join(item.marks)}]" if item.marks else ""
                notes.append(f"{item.label}: {float(item.value):.2f} mm{doubt}")
    marks = tuple(dict.fromkeys(mark for item in numbers for mark in item.marks))
    if marks:
        notes.append(f"Diameters: {'; '.join(marks)}.")
    return tuple(notes)

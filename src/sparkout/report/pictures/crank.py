"""The crankshaft from the side with the verdict on every journal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from sparkout.drawings.crankshaft import Crankshaft, Journal, JournalKind, crankshaft
from sparkout.drawings.palette import Verdict as Shown
from sparkout.drawings.strip import Spot
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Feature, Frame
from sparkout.judge.finding import Finding
from sparkout.load import Job
from sparkout.report.grouping import minus
from sparkout.report.pictures.verdicts import by_feature

__all__ = ["crank_of", "draw_crank", "throws"]

_CYCLE = 720


def draw_crank(
    job: Job, findings: Iterable[Finding], sizes: Mapping[Key, Dimension], words: str = ""
) -> str | None:
    """The crankshaft, None where no journal was read. words: when, such as `as planned`."""
    made = crank_of(job, findings, sizes, words)
    return None if made is None else crankshaft(made)


def crank_of(
    job: Job, findings: Iterable[Finding], sizes: Mapping[Key, Dimension], words: str = ""
) -> Crankshaft | None:
    """The record behind `draw_crank`: journals from the front, the smallest size of each."""
    frame = job.frame
    verdicts = by_feature(findings)
    mains = frame.of_kind("main journal")
    pins = frame.of_kind("rod journal")
    read = {key.feature for key in sizes if key.characteristic.endswith("journal diameter")}
    if not read & {item.name for item in (*mains, *pins)}:
        return None
    angles = throws(frame)
    journals = []
    for feature, kind in _along(mains, pins):
        main = kind is JournalKind.MAIN
        spot = _spot(job, feature, verdicts, sizes)
        journals.append(Journal(kind, spot, 0.0 if main else angles.get(feature.number, 0.0)))
    unit = "in" if job.shop.units == "inch" else "mm"
    when = f" {words}" if words else ""
    name = f"Crankshaft{when}: smallest diameter of each journal, {unit}"
    return Crankshaft(name, tuple(journals))


def _along(
    mains: tuple[Feature, ...], pins: tuple[Feature, ...]
) -> list[tuple[Feature, JournalKind]]:
    """Main, pin, main, pin …; with fewer mains the pins share the bays between them evenly."""
    bays = max(1, len(mains) - 1)
    found: list[tuple[Feature, JournalKind]] = []
    for k, main in enumerate(mains[:bays] or (None,)):
        if main is not None:
            found.append((main, JournalKind.MAIN))
        start, end = k * len(pins) // bays, (k + 1) * len(pins) // bays
        found += [(pin, JournalKind.PIN) for pin in pins[start:end]]
    return found + [(main, JournalKind.MAIN) for main in mains[bays:]]


def throws(frame: Frame) -> dict[int, float]:
    """Angle of each throw from the first cylinder's, for the picture alone.

    From even firing of the cylinders of the first bank: pistons of one row are at top dead centre
    as far apart as they fire (common practice; a V engine's other bank shares the pins).
    """
    order = frame.firing_order
    row = frame.banks[0].cylinders if frame.banks else ()
    found = {}
    for number, rods in enumerate(frame.rods_on_pin, start=1):
        own = next((cylinder for cylinder in rods if cylinder in row), rods[0])
        if own in order:
            found[number] = float(Fraction(_CYCLE * order.index(own), len(order)) % 360)
    return found


def _spot(
    job: Job, feature: Feature, verdicts: Mapping[str, Shown], sizes: Mapping[Key, Dimension]
) -> Spot:
    name = f"{feature.kind} diameter"
    size = sizes.get(Key(feature.name, name))
    if size is None:
        return Spot(str(feature.number), verdicts.get(feature.name, Shown.NOT_MEASURED))
    text = job.words.value(size.low.value, name).rsplit(" ", 1)[0]
    under = minus(f"{float(size.size):+.2f}") if size.size else ""
    return Spot(str(feature.number), verdicts.get(feature.name, Shown.NOT_MEASURED), text, under)

"""A job as it stands at one moment of its log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sparkout.engine.dimension import Key
from sparkout.engine.frame import Feature, Frame
from sparkout.engine.from_log import Located, locate
from sparkout.engine.known import with_known
from sparkout.engine.moves import moves_of
from sparkout.engine.spots import Spot, TestResult
from sparkout.engine.state import State, measured_state
from sparkout.job.bodies import Part, Reading, Work
from sparkout.job.replay import Standing
from sparkout.judge.checks import Check, checks
from sparkout.judge.words import Words
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop

__all__ = ["Situation", "Worked", "late_finds", "outdated", "situation_at"]

_LATER = ("left", "mock-up")


@dataclass(frozen=True, slots=True)
class Worked:
    """An entry of work with its id and its time."""

    body: Work
    entry: str
    at: str


@dataclass(frozen=True, slots=True, eq=False)
class Situation:
    """A job as it stands. work: what was done, in order; received: parts that came."""

    sheet: DataSheet
    shop: Shop
    state: State
    checks: tuple[Check, ...]
    work: tuple[Worked, ...] = ()
    received: tuple[str, ...] = ()

    @property
    def words(self) -> Words:
        return Words(self.shop.units)


def situation_at(
    sheet: DataSheet,
    shop: Shop,
    frame: Frame,
    standing: Iterable[Standing],
    located: Located | None = None,
    more: tuple[tuple[Spot, ...], tuple[TestResult, ...]] = ((), ()),
) -> Situation:
    """A job as some of its entries have it.

    standing: those that count, in their order. located: their readings, where they are located
    already; more: readings from elsewhere (taken while the engine goes together).
    """
    some = tuple(standing)
    found = locate(some, frame, sheet, shop) if located is None else located
    work = tuple(Worked(e.body, e.id, e.at) for e in some if isinstance(e.body, Work))
    spots = tuple(s for s in (*found.spots, *more[0]) if not outdated(s, work, frame))
    state = with_known(measured_state(frame, spots, (*found.tests, *more[1])), sheet)
    received = tuple(e.body.part for e in some if isinstance(e.body, Part))
    return Situation(sheet, shop, state, checks(sheet, frame), work, received)


def outdated(spot: Spot, work: Iterable[Worked], frame: Frame) -> bool:
    """Whether a size that work had left was worked on, or read after work, once more since."""
    if spot.phase not in _LATER:
        return False
    return any(
        entry.at > spot.at
        and entry.entry != spot.entry
        and (_moves(entry.body, spot.key, frame) or _reads(entry.body, spot.key))
        for entry in work
    )


def late_finds(standing: Iterable[Standing], frame: Frame) -> tuple[str, ...]:
    """Readings entered as found after work on what they are of: they would be taken for the size
    before the work, and the cut counted twice."""
    some = tuple(standing)
    work = tuple(Worked(e.body, e.id, e.at) for e in some if isinstance(e.body, Work))
    said: dict[str, None] = {}
    for entry in some:
        body = entry.body
        if not isinstance(body, Reading) or body.phase in ("left", "mock-up", "new part"):
            continue
        key = Key(body.feature, body.characteristic)
        for item in work:
            if entry.at > item.at and (
                body.feature in item.body.features or _moves(item.body, key, frame)
            ):
                said[
                    f"{key} was read as found after “{item.body.operation}”, so it counts as the "
                    "size before that work. If it is what the work left, record a correction of "
                    f"entry {entry.id} with phase=left."
                ] = None
    return tuple(said)


def _reads(work: Work, key: Key) -> bool:
    return any(
        key == Key(row.feature or work.features[0], row.characteristic) for row in work.results
    )


def _moves(work: Work, key: Key, frame: Frame) -> bool:
    """Whether an operation changes a size, by what the program knows of cuts."""
    feature = frame.feature(key.feature)
    for move in moves_of(" ".join(work.operation.split()).casefold()):
        if feature is None or move.characteristic != key.characteristic:
            continue
        if move.kind != feature.kind:
            continue
        if move.reach == "all":
            return True
        worked = [f for name in work.features if (f := frame.feature(name)) is not None]
        if any(_same(feature, f, move.reach) for f in worked):
            return True
    return False


def _same(one: Feature, other: Feature, reach: str) -> bool:
    if reach == "bank":
        return one.bank == other.bank
    ends = (one.name.rsplit(" ", 1)[-1], other.name.rsplit(" ", 1)[-1])
    return one.name == other.name or ends[0] == ends[1]

"""As found: every reading with its gauge and its reader, every crack and leak test."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Key
from sparkout.engine.spots import Spot
from sparkout.job.replay import Standing
from sparkout.judge.finding import Finding
from sparkout.judge.words import Words, blades
from sparkout.report.documents.judged import verdict_cell
from sparkout.report.documents.source import Source, day
from sparkout.report.documents.steps.numbers import short_names
from sparkout.report.grouping import bare, minus
from sparkout.report.pictures.bores import spots_by_key

__all__ = ["gauges_of", "reading_tables", "shown_spot", "test_rows", "untested"]


def reading_tables(source: Source, found: Iterable[Finding]) -> list[dict[str, Any]]:
    """A table for each characteristic in the order in which it was first read: a row for each
    feature with its places, gauge, reader, day and verdict."""
    spots = spots_by_key(source.job.located.spots, "found")
    by = {entry.id: entry for entry in source.job.replayed.effective}
    verdicts = {finding.key: finding for finding in found}
    names = dict.fromkeys(key.characteristic for key in spots)
    return [_table(source.words, name, spots, by, verdicts) for name in names]


def _table(
    words: Words,
    name: str,
    spots: Mapping[Key, tuple[Spot, ...]],
    by: Mapping[str, Standing],
    verdicts: Mapping[Key, Finding],
) -> dict[str, Any]:
    rows: list[list[Any]] = []
    for key, some in spots.items():
        if key.characteristic != name:
            continue
        finding = verdicts.get(key)
        entries = [by[spot.entry] for spot in some if spot.entry in by]
        who = ", ".join(dict.fromkeys(entry.by for entry in entries))
        when = ", ".join(dict.fromkeys(day(entry.at) for entry in entries))
        rows.append(
            [
                key.feature,
                _places(words, some),
                gauges_of(some),
                f"{who}, {when}",
                "" if finding is None else verdict_cell(finding.verdict),
            ]
        )
    unit = words.value(1, name).rpartition(" ")[2]
    return {"name": name, "unit": "" if unit[:1].isdigit() else unit, "rows": rows}


def _places(words: Words, spots: tuple[Spot, ...]) -> str:
    """Every reading at its place; a note they share is said once."""
    notes = {spot.note for spot in spots}
    shared = notes.pop() if len(notes) == 1 and len(spots) > 1 else ""
    told = []
    for spot in spots:
        text = shown_spot(words, spot)
        placed = f"{spot.place} {text}" if spot.place else text
        told.append(f"{placed} ({spot.note})" if spot.note and not shared else placed)
    return "; ".join(told) + (f" ({shared})" if shared else "")


def shown_spot(words: Words, spot: Spot) -> str:
    """A reading in the shop's unit; a gap between two blades as both."""
    name = spot.key.characteristic
    ends = blades(spot.estimate)
    if ends is not None:
        return bare(words.reading(spot.estimate, spot.estimate, name))
    return minus(bare(words.value(spot.estimate.value, name)))


def gauges_of(spots: Iterable[Spot]) -> str:
    names = list(dict.fromkeys(spot.gauge for spot in spots))
    return ", ".join(name or "not said" for name in names)


def test_rows(source: Source) -> list[list[Any]]:
    """Crack, leak and other tests that are passed or failed, each as the log has it."""
    by = {entry.id: entry for entry in source.job.replayed.effective}
    rows: list[list[Any]] = []
    for test in source.job.located.tests:
        entry = by.get(test.entry)
        rows.append(
            [
                test.key.characteristic,
                test.key.feature,
                {"verdict": "OK" if test.passed else "OUT"},
                "passed" if test.passed else "failed",
                test.note or "–",
                f"{entry.by}, {day(entry.at)}" if entry is not None else "–",
            ]
        )
    return rows


def untested(source: Source) -> list[str]:
    """Tests that the data sheet asks for and nobody recorded: `seat crack test: seats I1, E1`."""
    done = {test.key for test in source.job.located.tests}
    lacking: dict[str, list[str]] = {}
    for check in source.job.checks:
        name = check.limit.characteristic
        if BY_NAME[name].dimension == "test" and check.key not in done:
            lacking.setdefault(name, []).append(check.instance.feature)
    return [f"{name}: {short_names(features)}" for name, features in lacking.items()]

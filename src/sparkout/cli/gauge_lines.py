"""How each gauge of the shop sends: said once on the command line, kept beside the shop file."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from sparkout.cli.output import say
from sparkout.faults import Fault, Place
from sparkout.measure.intake.gauge_profile import GaugeProfile, profile_from_fields

__all__ = ["KEPT", "SAID", "profiles_of"]

KEPT = "gauge-lines.json"
SAID = ("prefix", "terminator", "unit", "decimals", "low", "high", "deviation", "polarity",
        "decimal")  # fmt: skip


def profiles_of(
    folder: Path, gauges: Sequence[str], said: Mapping[str, str], unit: str
) -> tuple[tuple[GaugeProfile, ...], list[Fault]]:
    """A profile for each gauge: what was said now over what was kept.

    said: fields said on the command line, for a single gauge. unit: of the shop, where neither
    the command line nor the kept profile says one.
    """
    kept, faults = _read(folder / KEPT)
    if said and len(gauges) > 1:
        found = f"{', '.join(sorted(said))} for {len(gauges)} gauges"
        expected = "how one gauge sends"
        remedy = "Say it once for each gauge alone; it is remembered."
        return (), [*faults, Fault(Place(key="--gauge"), found, expected, remedy)]
    made = []
    for gauge in gauges:
        fields = {"unit": unit, **kept.get(gauge, {}), **said, "gauge": gauge}
        profile, wrong = profile_from_fields(fields, Place(key=f"gauge {gauge}"))
        faults += wrong
        if profile is not None:
            made.append(profile)
    for at, one in enumerate(made):
        for other in made[at + 1 :]:
            if one.prefix == other.prefix:
                place = Place(key=f"gauge {other.gauge}")
                found = f"the prefix '{other.prefix}', which {one.gauge} has too"
                expected = "a prefix of its own, where gauges share a line"
                remedy = f"Say it: sparkout listen … --gauge {other.gauge} --prefix '~2~'"
                faults.append(Fault(place, found, expected, remedy))
    if said and not faults:
        _keep(folder / KEPT, kept, gauges[0], {**kept.get(gauges[0], {}), **said})
    return tuple(made), faults


def _read(path: Path) -> tuple[dict[str, dict[str, str]], list[Fault]]:
    if not path.exists():
        return {}, []
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except ValueError as wrong:
        return {}, [Fault(Place(path.name), f"text that is no JSON ({wrong})", "what was kept here",
                          "Take the file away; profiles can be said again.")]  # fmt: skip
    if isinstance(found, dict) and all(
        isinstance(fields, dict) and all(isinstance(text, str) for text in fields.values())
        for fields in found.values()
    ):
        return found, []
    return {}, [Fault(Place(path.name), "something else", "an object of gauges and their fields")]


def _keep(
    path: Path, kept: Mapping[str, dict[str, str]], gauge: str, fields: Mapping[str, str]
) -> None:
    if kept.get(gauge) == fields:
        return
    text = json.dumps({**kept, gauge: dict(fields)}, ensure_ascii=False, indent=1)
    try:
        path.write_text(text + "\n", encoding="utf-8")
    except OSError as refused:
        say(f"{path.name}: {refused.strerror}; how {gauge} sends is not remembered.")
        return
    say(f"How {gauge} sends is remembered in {path.name}.")

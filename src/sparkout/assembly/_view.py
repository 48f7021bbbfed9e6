"""What the rows of the trade ask of an engine: its features, its limits, and words about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.assembly.lash import LashTable
from sparkout.assembly.run_sheet import lash_closes, retightened
from sparkout.assembly.step import CheckKind, PlanFacts, StepCheck
from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Key
from sparkout.engine.frame import CylinderKind, Feature, Frame
from sparkout.fits import Instance
from sparkout.judge.checks import Check as Judged
from sparkout.judge.checks import checks
from sparkout.sheet.model import DataSheet, Limit, Side

__all__ = ["EngineView", "view_of"]

_DERIVED = (Derive.SPREAD, Derive.NEIGHBOUR, Derive.ACROSS, Derive.OUT_OF_ROUND, Derive.TAPER)


@dataclass(frozen=True, slots=True)
class EngineView:
    """One engine as assembly sees it. limits: every limit of the sheet by what it is about."""

    sheet: DataSheet
    frame: Frame
    facts: PlanFacts
    lash: LashTable | None
    limits: Mapping[Key, Judged]
    kinds: frozenset[str]
    words: frozenset[str]

    def features(self, kinds: tuple[str, ...]) -> tuple[Feature, ...]:
        return tuple(feature for kind in kinds for feature in self.frame.of_kind(kind))

    def has_limit(self, characteristic: str) -> bool:
        return any(key.characteristic == characteristic for key in self.limits)

    def readings(self, characteristic: str) -> tuple[StepCheck, ...]:
        """A check for every feature whose characteristic has a limit."""
        return tuple(
            self._reading(key, judged)
            for key, judged in self.limits.items()
            if key.characteristic == characteristic
        )

    def side(self, judged: Judged) -> str:
        """New limits where everything the value is made of is new or machined."""
        parts = {key for _, key in judged.instance.terms} or {judged.key}
        new = judged.key in self.facts.as_new or parts <= self.facts.as_new
        return Side.NEW if new else Side.SERVICE

    def _reading(self, key: Key, judged: Judged) -> StepCheck:
        known = BY_NAME[key.characteristic]
        side = self.side(judged)
        bounds = judged.limit.side(side)
        if judged.limit.judged == "when new" and side != Side.NEW:
            bounds = None
        derived = known.derive in _DERIVED
        if known.derive in (Derive.NEIGHBOUR, Derive.ACROSS):
            judged = _as_read(judged, known.basis)
        how = _how(known.gauge, known.places, judged.limit.held)
        thumb = f", a rule of thumb ({judged.limit.thumb})" if judged.limit.thumb else ""
        typed = f"{bounds.typed}{thumb}" if bounds is not None else "no limit given: record it"
        return StepCheck(
            key.characteristic,
            CheckKind.DERIVED if derived else CheckKind.READING,
            f"{judged.limit.name} of {key.feature}: {typed}",
            key.feature,
            how,
            known.dimension,
            key.characteristic,
            bounds,
            side,
            judged,
            judged.limit.source,
        )


def view_of(sheet: DataSheet, frame: Frame, facts: PlanFacts, lash: LashTable | None) -> EngineView:
    """The engine seen for assembly."""
    limits: dict[Key, Judged] = {check.key: check for check in checks(sheet, frame)}
    if lash is not None:
        limits.update(_lash_limits(frame, lash, limits))
    kinds = frozenset(frame.kinds())
    return EngineView(
        sheet, frame, facts, lash, MappingProxyType(limits), kinds, _words(sheet, frame, limits)
    )


def _how(gauge: str, places: str, held: str) -> str:
    """Gauge and places; where the sheet says between what it is held, that and not the trade's."""
    if "centres" in held:
        gauge = gauge.removeprefix("V-blocks and ")
    return "; ".join(word for word in (gauge, places, held) if word)


def _as_read(judged: Judged, basis: str) -> Judged:
    """A difference between two features, of what was read on them rather than of its makings."""
    first, _, second = judged.instance.feature.partition(" to ")
    terms = ((Fraction(1), Key(first, basis)), (Fraction(-1), Key(second, basis)))
    return replace(judged, instance=replace(judged.instance, terms=terms))


def _lash_limits(frame: Frame, lash: LashTable, known: Mapping[Key, Judged]) -> dict[Key, Judged]:
    """Lash that stands under `lash` alone, as limits of each valve."""
    found = {}
    for valve in lash.valves:
        feature = frame.feature(f"valve {valve.valve}")
        if feature is None or valve.cold is None:
            continue
        key = Key(feature.name, "valve lash")
        if key not in known:
            pair = valve.cold_pair
            # a single figure is proved by its pair of blades
            bounds = valve.cold
            if pair is not None and pair.thumb:
                bounds = replace(bounds, low=pair.go, high=pair.no_go)
            limit = Limit(f"{valve.side} valve lash", "valve lash", valve.side, bounds, bounds,
                          held="cold", source=lash.source,
                          thumb="pair of blades" if pair is not None and pair.thumb else "",
                          )  # fmt: skip
            found[key] = Judged(
                Instance(key.characteristic, feature.name, ((Fraction(1), key),)), limit
            )
    return found


def _words(sheet: DataSheet, frame: Frame, limits: Mapping[Key, Judged]) -> frozenset[str]:
    found = {"cam in block" if sheet.identity.camshaft == "in the block" else "overhead cam"}
    if frame.cylinder_kind is CylinderKind.WET_LINER:
        found.add("wet liners")
    elif frame.cylinder_kind.lined:
        found.add("dry liners")
    lash = sheet.assembly.lash
    names = {key.characteristic for key in limits}
    if (lash is not None and lash.method == "hydraulic") or "hydraulic preload" in names:
        found.add("hydraulic")
    elif lash is not None or "valve lash" in names:
        found.add("lash")
    if retightened(sheet):
        found.add("retorque")
    if retightened(sheet, later=True):
        found.add("retorque later")
    if lash_closes(sheet):
        found.add("retorque closes lash")
    return frozenset(found)

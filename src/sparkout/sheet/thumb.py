"""Rules of thumb that a data sheet may ask for by name where the maker's figure is missing.

None is ever used unasked, and a limit filled by one carries its name into every output. They are
common practice or figures that single public manuals print for engines at large; the maker's figure
always goes first.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction as F
from types import MappingProxyType

from sparkout.sheet.model import Bounds, Limit

__all__ = ["RULES", "Rule", "fill"]

Geometry = Mapping[str, F]
Limits = Mapping[str, Limit]
Maker = Callable[[Geometry, Limits], "tuple[Bounds | None, Bounds | None]"]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: what it is for, what it says, where it is said. make: new and service bounds."""

    name: str
    characteristic: str
    says: str
    source: str
    make: Maker


def _per_bore(low: F, high: F) -> Maker:
    def make(geometry: Geometry, limits: Limits) -> tuple[Bounds | None, Bounds | None]:
        bore = geometry.get("bore")
        return (None, None) if bore is None else (Bounds(low * bore, high * bore), None)

    return make


def _by_journal(journal: str, low: F, high: F) -> Maker:
    def make(geometry: Geometry, limits: Limits) -> tuple[Bounds | None, Bounds | None]:
        size = limits.get(journal)
        if size is None or size.new is None or size.new.width is None:
            return None, None
        return Bounds(low * size.new.middle, high * size.new.middle), None

    return make


def _worn_bore(geometry: Geometry, limits: Limits) -> tuple[Bounds | None, Bounds | None]:
    bore = geometry.get("bore")
    return (None, None) if bore is None else (None, Bounds(None, bore + F(1, 1000) * bore))


def _per_stroke(share: F) -> Maker:
    def make(geometry: Geometry, limits: Limits) -> tuple[Bounds | None, Bounds | None]:
        stroke = geometry.get("stroke")
        return (None, None) if stroke is None else (None, Bounds(None, share * stroke))

    return make


def _journal_shape(journal: str, share: F) -> Maker:
    def make(geometry: Geometry, limits: Limits) -> tuple[Bounds | None, Bounds | None]:
        size = limits.get(journal)
        if size is None or size.new is None or size.new.width is None:
            return None, None
        return None, Bounds(None, share * size.new.middle)

    return make


def _fixed(low: F | None, high: F | None) -> Maker:
    def make(geometry: Geometry, limits: Limits) -> tuple[Bounds | None, Bounds | None]:
        return None, Bounds(low, high)

    return make


_MANUAL = "US Army TM 10-3930-647-14&P, general wear limits, read in a stored copy"

_ROWS = (
    Rule("ring gap by bore", "ring gap", "0.003 to 0.004 of the bore", "common practice",
         _per_bore(F(3, 1000), F(4, 1000))),
    Rule("main clearance by journal", "main oil clearance",
         "0.0007 to 0.001 of the journal", "common practice",
         _by_journal("main journal diameter", F(7, 10_000), F(1, 1000))),
    Rule("rod clearance by journal", "rod oil clearance",
         "0.0007 to 0.001 of the journal", "common practice",
         _by_journal("rod journal diameter", F(7, 10_000), F(1, 1000))),
    Rule("bore wear by bore", "bore diameter", "worn by at most 0.001 of the bore", _MANUAL,
         _worn_bore),
    Rule("bore taper by stroke", "bore taper", "at most 0.0005 of the ring travel", _MANUAL,
         _per_stroke(F(5, 10_000))),
    Rule("main journal shape", "main journal out-of-round", "at most 0.0004 of the journal",
         _MANUAL, _journal_shape("main journal diameter", F(4, 10_000))),
    Rule("rod journal shape", "rod journal out-of-round", "at most 0.0004 of the journal",
         _MANUAL, _journal_shape("rod journal diameter", F(4, 10_000))),
    Rule("piston to head", "piston to head", "at least 1.0 mm", "common practice (0.7 to 1.0)",
         _fixed(F(1), None)),
    Rule("valve to piston", "valve to piston", "at least 2.0 mm", "common practice (1.5 intake, "
         "2.0 exhaust)", _fixed(F(2), None)),
    Rule("main line straightness", "main line straightness", "at most 0.05 mm over the line",
         "common practice", _fixed(None, F(5, 100))),
    Rule("main line step", "main line step", "at most 0.025 mm between neighbours",
         "common practice", _fixed(None, F(25, 1000))),
    Rule("deck flatness", "deck flatness", "at most 0.05 mm", "common practice (0.05 to 0.10)",
         _fixed(None, F(5, 100))),
    Rule("head flatness", "head flatness", "at most 0.05 mm", "common practice (0.05 to 0.10)",
         _fixed(None, F(5, 100))),
)  # fmt: skip

RULES: Mapping[str, Rule] = MappingProxyType({rule.name: rule for rule in _ROWS})


def fill(rule: Rule, geometry: Geometry, limits: Limits) -> tuple[Bounds | None, Bounds | None]:
    """New and service bounds, marked; both None where a figure the rule needs is missing."""

    def marked(bounds: Bounds | None) -> Bounds | None:
        return None if bounds is None else Bounds(bounds.low, bounds.high, rule.says)

    new, service = rule.make(geometry, limits)
    return marked(new), marked(service)

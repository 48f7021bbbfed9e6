"""What is known beyond the readings: nothing where nothing was found, tests as numbers, ranges."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.engine.spots import TestResult
from sparkout.engine.state import State
from sparkout.measure.estimate import Component, Estimate, Shape
from sparkout.sheet.model import DataSheet

__all__ = ["with_known"]


def with_known(state: State, sheet: DataSheet) -> State:
    """The state with what goes without saying filled in, each marked as assumed.

    A liner under which no shim was found has none. A passed test counts 0, a failed one 1. The
    volume over sunk valves is taken at the middle of their recession limits with its whole range.
    """
    sizes = dict(state.sizes)
    for value in (
        *_no_shims(state),
        *_recesses(state, sheet),
        *_clearance_volumes(state, sheet),
        *_gaskets(state, sheet),
    ):
        sizes.setdefault(value.key, value)
    for test in state.tests.values():
        sizes[test.key] = _as_number(test)
    return replace(state, sizes=MappingProxyType(sizes))


def _no_shims(state: State) -> list[Dimension]:
    nothing = Estimate(Fraction(0))
    return [
        Dimension(Key(liner.name, "liner shim thickness"), nothing, nothing, How.ASSUMED)
        for liner in state.frame.of_kind("liner")
    ]


def _as_number(test: TestResult) -> Dimension:
    value = Estimate(Fraction(0 if test.passed else 1))
    return Dimension(test.key, value, value, How.MEASURED, (test.entry,), note=test.note)


def _recesses(state: State, sheet: DataSheet) -> list[Dimension]:
    per_mm = sheet.geometry.get("recess volume per mm")
    limit = sheet.limit_for("valve recession")
    bounds = None if limit is None else limit.side("service")
    if per_mm is None or bounds is None or bounds.low is None or bounds.high is None:
        return []
    found = []
    for bore in state.frame.of_kind("bore"):
        valves = sum(1 for s in state.frame.of_kind("seat") if s.cylinder == bore.cylinder)
        half = float(per_mm * (bounds.high - bounds.low) * valves) / 2
        part = Component(f"recession over {bore.name}", half / math.sqrt(3), Shape.RECTANGULAR)
        value = Estimate(per_mm * bounds.middle * valves, (part,) if half else ())
        found.append(Dimension(Key(bore.name, "recess volume"), value, value, How.ASSUMED))
    return found


def _clearance_volumes(state: State, sheet: DataSheet) -> list[Dimension]:
    """The clearance volume that a compression ratio as found stands for: V_s / (ratio − 1)."""
    bore, stroke = sheet.geometry.get("bore"), sheet.geometry.get("stroke")
    if bore is None or stroke is None:
        return []
    swept = Fraction(math.pi / 4).limit_denominator(10**9) * bore * bore * stroke
    found = []
    for feature in state.frame.of_kind("bore"):
        ratio = state.size(feature.name, "compression ratio")
        if ratio is None or ratio.high.value <= 1:
            continue
        above = ratio.high.value - 1
        # dV/dratio = −V_s / (ratio − 1)²
        slope = float(-swept / (above * above))
        parts = tuple(part.scaled(slope) for part in ratio.high.components)
        value = Estimate(swept / above, parts)
        key = Key(feature.name, "clearance volume")
        found.append(Dimension(key, value, value, How.WORKED_OUT, ratio.entries))
    return found


def _gaskets(state: State, sheet: DataSheet) -> list[Dimension]:
    """Gaskets as found: of the thickness the data sheet gives for the engine as built."""
    found = []
    for name, figure in (
        ("head gasket", "gasket thickness"),
        ("base gasket", "base gasket thickness"),
    ):
        thickness = sheet.geometry.get(figure)
        if thickness is None:
            continue
        banks = [state.frame.bank_suffix(bank) for bank in state.frame.banks]
        for suffix in banks if name == "head gasket" else [""]:
            value = Estimate(thickness)
            found.append(Dimension(Key(f"{name}{suffix}", figure), value, value, How.ASSUMED))
    return found

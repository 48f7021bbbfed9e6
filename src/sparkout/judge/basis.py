"""By what a finding was judged: the rule, the probability asked for, and the gauges at hand."""

from __future__ import annotations

from dataclasses import dataclass, field

from sparkout.measure.gauges.register import Register

__all__ = ["Basis"]


@dataclass(frozen=True, slots=True)
class Basis:
    """rule and confidence: the shop's decision rule; gauges: what it could read again with."""

    rule: str = "guarded by risk"
    confidence: float = 0.95
    gauges: Register = field(default_factory=Register)

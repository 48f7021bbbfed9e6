"""Which limits run down as the engine runs, how much wear each allows, and what is left of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Key
from sparkout.judge.checks import Check
from sparkout.judge.finding import Finding
from sparkout.plan.forms import Group
from sparkout.sheet.model import Bounds

__all__ = ["RUNS_DOWN", "Wearing", "improvable", "left_of", "wearing", "wearing_of"]

# What rubs, seats or tires in service. Heights that only machining takes, flatness, straightness
# and walls are left out: no hour of running uses them up. Common practice.
RUNS_DOWN: frozenset[str] = frozenset(
    (
        "bore diameter", "bore out-of-round", "bore taper", "liner lower clearance",
        "main journal diameter", "main journal out-of-round", "main journal taper",
        "rod journal diameter", "rod journal out-of-round", "rod journal taper",
        "main shell wall", "rod shell wall", "main oil clearance", "rod oil clearance",
        "thrust face width", "end play", "thrust washer thickness",
        "rod bush diameter", "rod side clearance", "rod big end radial play",
        "piston skirt diameter", "piston clearance", "piston pin diameter",
        "piston pin bore diameter", "piston pin clearance", "small end clearance",
        "ring groove clearance", "ring gap",
        "guide diameter", "stem diameter", "stem clearance", "valve recession", "seat width",
        "spring free length", "spring load",
        "cam bush diameter", "cam journal diameter", "cam clearance", "cam end float", "lobe lift",
        "follower bore diameter", "follower diameter", "follower clearance", "rocker clearance",
        "oil pump end clearance", "oil pump radial clearance",
        "gear backlash", "idler end float", "chain stretch",
    )
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Wearing:
    """A limit that says both what is new and what is worn out.

    sign: +1 where wear makes the value larger. new, worn: the ends the wear allowed lies between;
    start: where a new one is likely to begin and spread, the half width about it.
    """

    check: Check
    sign: int
    new: Fraction
    worn: Fraction
    start: Fraction | None
    spread: Fraction

    @property
    def room(self) -> Fraction:
        """The wear that the limits allow, above zero."""
        return abs(self.worn - self.new)


def wearing_of(check: Check) -> Wearing | None:
    """The wear a limit allows; None where it is no matter of wear or one end is not given."""
    limit = check.limit
    sign = BY_NAME[limit.characteristic].wears
    if limit.characteristic not in RUNS_DOWN or not sign or not limit.must:
        return None
    if limit.new is None or limit.service is None:
        return None
    new, worn = _edge(limit.new, sign), _edge(limit.service, sign)
    if new is None or worn is None or (worn - new) * sign <= 0:
        return None
    low, high = limit.new.low, limit.new.high
    if high is not None and low is None and sign > 0:
        low = Fraction(0)  # "at most 0.012": a new one lies between nothing and that
    if low is None or high is None:
        return Wearing(check, sign, new, worn, None, Fraction(0))
    return Wearing(check, sign, new, worn, (low + high) / 2, (high - low) / 2)


def _edge(bounds: Bounds, sign: int) -> Fraction | None:
    return bounds.high if sign > 0 else bounds.low


def wearing(checks: Iterable[Check]) -> tuple[Wearing, ...]:
    return tuple(found for check in checks if (found := wearing_of(check)) is not None)


def improvable(some: Iterable[Wearing], groups: Iterable[Group]) -> tuple[Wearing, ...]:
    """Those that at least one option touches, itself or through one of its sizes."""
    touched = {
        effect.key for group in groups for option in group.options for effect in option.effects
    }
    return tuple(item for item in some if touched & _keys(item.check))


def _keys(check: Check) -> set[Key]:
    return {check.key, *(key for _, key in check.instance.terms)}


def left_of(item: Wearing, finding: Finding) -> Fraction | None:
    """How far a value still is from worn out; None where it is not known."""
    value = finding.high if item.sign > 0 else finding.low
    return None if value is None else (item.worn - value.value) * item.sign

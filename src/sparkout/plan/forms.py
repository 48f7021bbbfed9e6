"""What can be done: groups of features, the options of each, and what an option does and needs.

An option is declared by its effects on sizes. The planner needs nothing else to know which fits it
touches: those follow from the fits' own declarations.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.dimension import How, Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.measure.estimate import Component, Estimate
from sparkout.sheet.model import Bounds, Limit

__all__ = [
    "AmountSpec",
    "Effect",
    "Group",
    "HoldsTo",
    "MoveBy",
    "Need",
    "Option",
    "SetTo",
    "ShiftBy",
    "Together",
    "Use",
    "Work",
]


@dataclass(frozen=True, slots=True)
class SetTo:
    """The size becomes this, whatever it was: a new part, a machined face.

    A fit can be set too: a bore honed to the piston in hand has its clearance by making. rank
    orders effects on one size: what comes before a SetTo is wiped out by it. size: how far from
    standard the new size is meant to be (+0.50, −0.25), which moves its limits along. free:
    made to another part in hand, so the size itself is not judged, only the fit.
    """

    key: Key
    low: Estimate
    high: Estimate
    rank: int
    how: How = How.MACHINED
    as_new: bool = True
    size: Fraction = Fraction(0)
    free: bool = False


@dataclass(frozen=True, slots=True)
class ShiftBy:
    """The size changes by this: a rod shortened by resizing."""

    key: Key
    by: Estimate
    rank: int


@dataclass(frozen=True, slots=True)
class MoveBy:
    """The size changes by `per` mm for each mm of an amount the plan chooses (a depth of cut).

    error: how well the cut hits its amount, per mm of size.
    """

    key: Key
    amount: str
    per: Fraction
    rank: int
    error: Component | None = None


Effect = SetTo | ShiftBy | MoveBy


@dataclass(frozen=True, slots=True)
class Work:
    """An operation of the shop on some features; the shop's file prices it."""

    operation: str
    features: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Use:
    """Pieces of a part. in_set: pieces bought together for the whole engine, as sets are sold."""

    part: str
    count: int


@dataclass(frozen=True, slots=True)
class Need:
    """Something that must be at least zero for an option to be possible.

    margin + Σ per × amount ≥ 0, proven. words: what is broken when it is not, with its figures in
    the shop's units. unless: picks of other groups that make it needless (a sleeved bore need not
    clean up). short: what an amount is taken for, in a word or two ("warp").
    """

    name: str
    margin: Estimate
    words: str
    amounts: tuple[tuple[str, Fraction], ...] = ()
    unless: tuple[tuple[str, str], ...] = ()
    short: str = ""


@dataclass(frozen=True, slots=True)
class Together:
    """With this option, another group must take one of these options."""

    group: str
    options: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class HoldsTo:
    """With this option, a fit must lie in these bounds (a gasket's protrusion range), proven."""

    instance: Instance
    bounds: Bounds
    words: str

    @property
    def fit(self) -> str:
        return self.instance.name

    @property
    def feature(self) -> str:
        return self.instance.feature

    @property
    def check(self) -> Check:
        """The same as a limit, for the judge."""
        return Check(self.instance, Limit(self.fit, self.fit, "", self.bounds, self.bounds))


@dataclass(frozen=True, slots=True)
class Option:
    """One thing that can be done to a group.

    words: said to a machinist ("grind all rod journals to −0.25"). cost is in the smallest unit of
    money, worked out from work and parts. impossible: why it cannot be had at all (no such part,
    no such machine); such an option is kept for the explanation and never picked. takes: pieces
    that were measured one by one and of which there is one each (piston 3 of the new set): whatever
    is done, each goes to one place at most.
    """

    name: str
    words: str
    effects: tuple[Effect, ...] = ()
    work: tuple[Work, ...] = ()
    parts: tuple[Use, ...] = ()
    needs: tuple[Need, ...] = ()
    together: tuple[Together, ...] = ()
    holds: tuple[HoldsTo, ...] = ()
    cost: int = 0
    prefer: int = 0
    days: int = 0
    impossible: str = ""
    takes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AmountSpec:
    """A depth the plan chooses in whole steps of the machine's dial.

    option: the option it belongs to; with any other it is zero. least and most in mm. done: what
    has been done then, with `{}` for the depth ("the deck is cut {}").
    """

    name: str
    option: str
    step: Fraction
    least: Fraction
    most: Fraction
    words: str = ""
    done: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Features that are decided together (all rod journals; one deck), and what can be done.

    features: those decided on. keep: the option that leaves things as they are, "" if none.
    """

    name: str
    features: tuple[str, ...]
    options: tuple[Option, ...]
    keep: str = "keep"
    amounts: tuple[AmountSpec, ...] = ()

    def option(self, name: str) -> Option:
        for option in self.options:
            if option.name == name:
                return option
        raise KeyError(f"{self.name}: no option {name!r}")

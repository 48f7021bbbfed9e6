"""What a data sheet says about putting the engine together, as plain frozen records.

Lengths in mm, torques in N·m, angles in degrees (crank degrees where it says so), exact.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sparkout.sheet.model import Bounds

__all__ = [
    "SEEN",
    "Again",
    "AssemblySpec",
    "CamEvents",
    "FastenerPlace",
    "FirstStart",
    "Joint",
    "LashSpec",
    "LashValues",
    "MakerCheck",
    "MakerStep",
    "Pattern",
    "Retorque",
    "RunInStage",
    "Stage",
    "StageKind",
]

SEEN = "seen"
"""Dimension of a check that is only looked at and confirmed."""


class StageKind(StrEnum):
    TORQUE = "torque"
    TURN = "turn"
    LOOSEN = "loosen"


class Pattern(StrEnum):
    """In which order the fasteners of one joint take their turn."""

    RINGS = "from the centre outward by rings"
    ROWS = "from the centre outward by rows"
    CROSS = "cross"
    GIVEN = "as given"


class Again(StrEnum):
    """Whether a fastener may go back."""

    YES = "yes"
    NO = "no"
    LENGTH = "to a length"
    UNSAID = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of tightening: a torque, a further turn, or loosening again.

    value: N·m of a torque, degrees of a turn, None for loosening. step: last digit it was typed
    with, in the same unit. words: as the sheet has it.
    """

    kind: StageKind
    words: str
    value: Fraction | None = None
    step: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class FastenerPlace:
    """One fastener on the map of its joint [mm]: x along the engine from the end of cylinder 1,
    y across it, down the page."""

    name: str
    x: Fraction
    y: Fraction


@dataclass(frozen=True, slots=True)
class Retorque:
    """What is tightened again after warm-up, and when."""

    when: str
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True)
class Joint:
    """One bolted joint of the sheet.

    each: kind of feature it is repeated on (`rod`, `head`), "" where the engine has one. order: as
    given, empty where the pattern makes it. mapped: the places are real ones; one or two fasteners
    need none. torque_tolerance: share of a torque (0.04) and turn_tolerance degrees either way;
    None where the sheet says nothing and the figure itself is to be recorded.
    """

    name: str
    fastener: str
    count: int
    thread: str
    lubrication: str
    stages: tuple[Stage, ...]
    pattern: Pattern
    places: tuple[FastenerPlace, ...]
    order: tuple[str, ...] = ()
    each: str = ""
    mapped: bool = True
    again: Again = Again.UNSAID
    longest: Fraction | None = None
    torque_tolerance: Fraction | None = None
    turn_tolerance: Fraction | None = None
    retorque: Retorque | None = None
    note: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class LashValues:
    """Lash of intake and exhaust valves [mm]; both ends are one figure where no range is given."""

    intake: Bounds | None = None
    exhaust: Bounds | None = None


@dataclass(frozen=True, slots=True)
class CamEvents:
    """Where the valves open and close, in crank degrees from a cylinder's firing top dead centre.

    180 is bottom dead centre after the power stroke, 360 the top dead centre of overlap, 540 bottom
    dead centre after the intake stroke. ramp: how far before opening and after closing the follower
    is already, or still, off the base circle; None where the sheet does not say.
    """

    intake_opens: Fraction
    intake_closes: Fraction
    exhaust_opens: Fraction
    exhaust_closes: Fraction
    ramp: Fraction | None = None


@dataclass(frozen=True, slots=True)
class LashSpec:
    """How valve lash is set.

    positions: `fewest`, `each cylinder firing`, or top dead centres by cylinder such as `1 firing`.
    firing_angles: crank degrees of each cylinder's firing top dead centre in firing order.
    pin_angles: crank degrees of each crankpin, in the direction of rotation.
    """

    method: str = ""
    cold: LashValues = LashValues()
    hot: LashValues = LashValues()
    positions: tuple[str, ...] = ("fewest",)
    events: CamEvents | None = None
    firing_angles: tuple[Fraction, ...] = ()
    pin_angles: tuple[Fraction, ...] = ()
    note: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class MakerCheck:
    """A check the maker asks for. bounds None: only to be seen and confirmed."""

    name: str
    dimension: str = ""
    bounds: Bounds | None = None


@dataclass(frozen=True, slots=True)
class MakerStep:
    """The maker's word on one step: added to the trade's step of that name, or a new one."""

    step: str
    title: str = ""
    after: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    lubricant: str = ""
    sealant: str = ""
    orientation: str = ""
    fasteners: str = ""
    marks: str = ""
    align: str = ""
    parts: tuple[str, ...] = ()
    checks: tuple[MakerCheck, ...] = ()
    joint: str = ""
    operations: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True)
class RunInStage:
    """One stage of running in, in the sheet's own words."""

    name: str
    speed: str = ""
    load: str = ""
    time: str = ""
    watch: str = ""


@dataclass(frozen=True, slots=True)
class FirstStart:
    """What the maker says of filling, first start and running in.

    checks: what is read while it runs (oil pressure, coolant temperature), with bounds.
    """

    oil: str = ""
    coolant: str = ""
    prime: str = ""
    checks: tuple[MakerCheck, ...] = ()
    run_in: tuple[RunInStage, ...] = ()
    afterwards: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True)
class AssemblySpec:
    """Everything a sheet says about assembly; all of it may be missing."""

    joints: Mapping[str, Joint] = field(default_factory=lambda: MappingProxyType({}))
    lash: LashSpec | None = None
    steps: tuple[MakerStep, ...] = ()
    first_start: FirstStart | None = None

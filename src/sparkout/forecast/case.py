"""One engine to be forecast: what is known of it, and what its family was like.

A case is everything a forecast goes by; with a seed and the numbers of the draws it settles every
figure. So draws can be worked out anywhere, in any order, by any number of processes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sparkout.engine.frame import Frame
from sparkout.engine.known import with_known
from sparkout.engine.spots import Spot, TestResult
from sparkout.engine.state import State, measured_state
from sparkout.judge.checks import Check
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop

__all__ = ["Case", "Found"]


@dataclass(frozen=True, slots=True)
class Found:
    """What a feature of an earlier engine was found at: a row of the family's history.

    value: of a range over positions, the end that wear moves; for a test 0 (passed) or 1.
    """

    engine: str
    feature: str
    characteristic: str
    value: float


@dataclass(frozen=True, slots=True)
class Case:
    """What is known of one engine. spots, tests: read so far. history: engines of the family."""

    sheet: DataSheet
    shop: Shop
    frame: Frame
    checks: tuple[Check, ...]
    spots: tuple[Spot, ...] = ()
    tests: tuple[TestResult, ...] = ()
    history: tuple[Found, ...] = ()

    def state(self, more: tuple[Spot, ...] = (), tests: tuple[TestResult, ...] = ()) -> State:
        """The state as read so far, with plausible readings added to it."""
        whole = measured_state(self.frame, (*self.spots, *more), (*self.tests, *tests))
        return with_known(whole, self.sheet)

    def unmeasured(self) -> Case:
        """The same engine before anything was read."""
        return replace(self, spots=(), tests=())

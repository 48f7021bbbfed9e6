"""One step of the trade as a row of data."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.assembly.step import Stage

__all__ = ["Row"]


@dataclass(frozen=True, slots=True)
class Row:
    """A step before an engine is known.

    on: kinds of feature it is done on. needs: kinds that must exist as well; without: kinds
    that must not. when: words that must hold of the engine (`cam in block`, `overhead cam`,
    `wet liners`, `dry liners`, `lash`, `hydraulic`). reads: characteristics to be read. seen:
    (check, what has to be seen). joints: joints of the data sheet that close the step, asked
    for where the sheet has none; joints_if: those that close it where the sheet has them.
    parts: kinds of part it uses.
    """

    id: str
    title: str
    stage: Stage
    do: tuple[str, ...]
    on: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    when: tuple[str, ...] = ()
    lubricant: str = ""
    sealant: str = ""
    orientation: str = ""
    align: str = ""
    marks: str = ""
    parts: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()
    seen: tuple[tuple[str, str], ...] = ()
    joints: tuple[str, ...] = ()
    joints_if: tuple[str, ...] = ()
    operations: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    second_person: bool = False

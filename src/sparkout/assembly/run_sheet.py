"""Filling, first start, running in: what the sheet says, common practice where it is silent."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import takewhile

from sparkout.sheet.assembly_model import Joint, MakerCheck, RunInStage
from sparkout.sheet.model import DataSheet

__all__ = ["RunLine", "RunSheet", "lash_closes", "retightened", "run_sheet"]

_CP = "common practice"

# `after 20 h`, `at 500 km`: so much running that it lies behind the running in.
_RUNNING = re.compile(r"\d\s*(h|hours?|km|kilometres?|miles?)\b|\brun(ning)?[ -]in\b")

# Where the sheet gives no stages. No figures: those would be invented.
_STAGES = (
    RunInStage("warm up", "above idle", "none", "until the coolant is warm",
               "oil pressure, leaks; not longer at idle than it takes"),
    RunInStage("light load", "changing", "light", "",
               "coolant at working temperature, blow-by, oil pressure hot"),
    RunInStage("half load", "changing", "half", "", "the same; stop and look between stages"),
    RunInStage("three-quarter load", "changing", "three quarters", "",
               "blow-by falling, no oil in the coolant nor coolant in the oil"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class RunLine:
    """One line of the sheet that goes with the engine.

    when: before, start, warm-up, run-in or after; warm-up only where joints are tightened again.
    """

    when: str
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class RunSheet:
    """lines in order; stages of running in; figures to be read while it runs."""

    lines: tuple[RunLine, ...]
    stages: tuple[RunInStage, ...]
    stages_source: str
    checks: tuple[MakerCheck, ...]
    source: str = ""

    def of(self, when: str) -> tuple[str, ...]:
        return tuple(line.words for line in self.lines if line.when == when)

    @property
    def warm_up(self) -> tuple[RunInStage, ...]:
        """The stages before joints are tightened again; none where none are."""
        if not self.of("warm-up"):
            return ()
        return tuple(takewhile(lambda stage: "warm" in stage.name.casefold(), self.stages))

    @property
    def loaded(self) -> tuple[RunInStage, ...]:
        """The stages after that."""
        return self.stages[len(self.warm_up) :]


def retightened(sheet: DataSheet, *, later: bool = False) -> tuple[Joint, ...]:
    """Joints that the sheet has tightened again after the first warm-up, or only after running.

    Later: its `when` names hours, a distance or the running in, and no warm-up.

    sheet: the data sheet [-].
    later: those after running instead [-].
    Returns the joints in the order of the sheet.
    Holds for the words of this program's sheets; a `when` in other words counts as after warm-up.
    Source: the data sheet; that the head is tightened before it is loaded is common practice.

    >>> from sparkout.sheet.model import DataSheet, Identity, LayoutSpec
    >>> layout = LayoutSpec("single", 1, (("", (1,)),), (1,), 2, "parent bore")
    >>> retightened(DataSheet(Identity("x"), layout, {}, {}, (), {}))
    ()
    """
    found = []
    for joint in sheet.assembly.joints.values():
        if joint.retorque is not None:
            when = joint.retorque.when.casefold()
            if later == ("warm" not in when and _RUNNING.search(when) is not None):
                found.append(joint)
    return tuple(found)


def lash_closes(sheet: DataSheet) -> bool:
    """Whether tightening the head again takes lash away: pushrods from below, no hydraulics.

    sheet: the data sheet [-].
    Returns True where it does.
    Holds where the joint is named after the head or is on each head.
    Source: common practice; the rockers come down with the head, the pushrods do not.

    >>> from sparkout.sheet.model import DataSheet, Identity, LayoutSpec
    >>> layout = LayoutSpec("single", 1, (("", (1,)),), (1,), 2, "parent bore")
    >>> lash_closes(DataSheet(Identity("x"), layout, {}, {}, (), {}))
    False
    """
    lash = sheet.assembly.lash
    limited = any(limit.characteristic == "valve lash" for limit in sheet.limits.values())
    hydraulic = lash is not None and lash.method == "hydraulic"
    return (
        sheet.identity.camshaft == "in the block"
        and (lash is not None or limited)
        and not hydraulic
        and any("head" in (j.each, *j.name.casefold().split()) for j in retightened(sheet))
    )


def run_sheet(sheet: DataSheet) -> RunSheet:
    """What is done before, at and after the first start, each line with its source.

    The sheet's own words come first; where it says nothing of a thing, common practice stands in
    without any figure.

    sheet: the data sheet [-].
    Returns the lines, the stages of running in and the figures to be read.
    Holds for any engine; limits are the sheet's alone.
    Source: the data sheet; common practice where it is silent.

    >>> from sparkout.sheet.model import DataSheet, Identity, LayoutSpec
    >>> layout = LayoutSpec("single", 1, (("", (1,)),), (1,), 2, "parent bore")
    >>> bare = run_sheet(DataSheet(Identity("x"), layout, {}, {}, (), {}))
    >>> bare.stages[0].name, bare.stages_source
    ('warm up', 'common practice')
    """
    said = sheet.assembly.first_start
    source = said.source if said is not None else ""
    lines: list[RunLine] = []

    def add(when: str, own: str, otherwise: str) -> None:
        if own:
            lines.append(RunLine(when, own, source))
        elif otherwise:
            lines.append(RunLine(when, otherwise, _CP))

    add(
        "before",
        f"Oil: {said.oil}." if said and said.oil else "",
        "Oil of the grade the maker asks for running in; the sheet does not say which.",
    )
    add("before", f"Coolant: {said.coolant}." if said and said.coolant else "", "")
    add(
        "before",
        said.prime if said else "",
        "Prime until oil pressure shows on a gauge and oil comes out at the top end.",
    )
    add("start", "", "Stop at once where no oil pressure shows within seconds of firing.")
    for check in said.checks if said else ():
        text = check.bounds.typed if check.bounds is not None else "to be seen"
        lines.append(RunLine("start", f"{check.name}: {text}.", source))
    add("start", "", "No long idling: it glazes fresh bores and starves a new cam.")
    early = retightened(sheet)
    if early:
        add("warm-up", "", "Bring it to working temperature once, without load. Stop, let it stand "
            "as told, tighten again; only then run it in.")  # fmt: skip
    lines += [_again(joint, "warm-up") for joint in early]
    if lash_closes(sheet):
        add("warm-up", "", "Read the valve lash again and reset it: the head came down.")
    add(
        "run-in",
        "",
        "Load early and changing, coolant at working temperature all through; never long at idle, "
        "no full load to begin with.",
    )
    own = said.run_in if said else ()
    for words in said.afterwards if said else ():
        lines.append(RunLine("after", words, source))
    lines += [_again(joint, "after") for joint in retightened(sheet, later=True)]
    add("after", "", "Change oil and filter after running in and look for metal in the filter.")
    return RunSheet(
        tuple(lines), own or _STAGES, source if own else _CP, said.checks if said else (),
        source
    )  # fmt: skip


def _again(joint: Joint, when: str) -> RunLine:
    assert joint.retorque is not None
    stages = "; then ".join(stage.words for stage in joint.retorque.stages)
    words = f"Tighten {joint.name} again, {joint.retorque.when}: {stages}."
    return RunLine(when, words, joint.source)

"""Filling, first start, running in: what the sheet says, common practice where it is silent."""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.sheet.assembly_model import MakerCheck, RunInStage
from sparkout.sheet.model import DataSheet

__all__ = ["RunLine", "RunSheet", "run_sheet"]

_CP = "common practice"

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
    """One line of the sheet that goes with the engine. when: before, start, run-in or after."""

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
    add(
        "run-in",
        "",
        "Load early and changing, coolant at working temperature all through; never long at idle, "
        "no full load to begin with.",
    )
    own = said.run_in if said else ()
    for words in said.afterwards if said else ():
        lines.append(RunLine("after", words, source))
    for joint in sheet.assembly.joints.values():
        if joint.retorque is not None:
            stages = "; then ".join(stage.words for stage in joint.retorque.stages)
            words = f"Tighten {joint.name} again, {joint.retorque.when}: {stages}."
            lines.append(RunLine("after", words, joint.source))
    add("after", "", "Change oil and filter after running in and look for metal in the filter.")
    return RunSheet(
        tuple(lines), own or _STAGES, source if own else _CP, said.checks if said else (),
        source
    )  # fmt: skip

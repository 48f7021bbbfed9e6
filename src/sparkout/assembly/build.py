"""The assembly sheet of one engine: the trade's steps and the maker's, in an order that holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from sparkout.assembly._details import lash_words, own_checks, ring_words, seen_checks
from sparkout.assembly._joints import missing_joint, retightening_steps, slug, tightening_steps
from sparkout.assembly._maker import with_maker
from sparkout.assembly._view import EngineView, view_of
from sparkout.assembly.lash import LashTable, lash_table
from sparkout.assembly.run_sheet import RunSheet, retightened, run_sheet
from sparkout.assembly.step import CheckKind, PlanFacts, Stage, Step, StepCheck
from sparkout.assembly.trade import TRADE, Row
from sparkout.cautions import SafetyMessage, messages_for
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.frame import Frame
from sparkout.faults import Fault, Place
from sparkout.sheet.assembly_model import RunInStage
from sparkout.sheet.model import DataSheet

__all__ = ["AssemblySheet", "assembly_sheet"]


@dataclass(frozen=True, slots=True)
class AssemblySheet:
    """steps: in an order in which no step stands before one that holds it. lash: None where there
    is none; run: first start and running in."""

    steps: tuple[Step, ...]
    lash: LashTable | None
    run: RunSheet

    def step(self, step_id: str) -> Step | None:
        return next((step for step in self.steps if step.id == step_id), None)


def assembly_sheet(
    sheet: DataSheet,
    frame: Frame,
    facts: PlanFacts,
    messages: Iterable[SafetyMessage],
    system: str = "mm",
) -> tuple[AssemblySheet, tuple[Fault, ...]]:
    """The steps from washed parts to a signed engine, for the engine on a data sheet.

    Every row of the trade whose features are on this engine becomes a step; the joints of the sheet
    become tightening steps that close it; the maker's own steps are added to those they name, or
    put in where they say. A step is held by those before it until their checks are recorded.

    sheet: the data sheet [-].
    frame: its features [-].
    facts: what the plan chose; `PlanFacts()` before there is one [-].
    messages: cautions of the shop or as shipped [-].
    system: feeler blades of the shop, 'mm' or 'inch' [-].
    Returns the sheet, and every fault met; what can be is still there.
    Holds for four-stroke piston engines; other engines get the steps that apply.
    Source: the data sheet; the trade's rows are common practice.

    >>> from sparkout.engine.of_sheet import frame_of
    >>> from sparkout.sheet.model import DataSheet, Identity, LayoutSpec
    >>> layout = LayoutSpec("single", 1, (("", (1,)),), (1,), 2, "parent bore")
    >>> bare = DataSheet(Identity("x"), layout, {}, {}, (), {})
    >>> found, faults = assembly_sheet(bare, frame_of(bare), PlanFacts(), ())
    >>> found.steps[0].id, found.steps[-1].id, faults
    ('wash-parts', 'release', ())
    """
    lash, faults = lash_table(
        frame,
        sheet.assembly.lash,
        bank_angle=sheet.layout.bank_angle,
        cycle=sheet.identity.cycle,
        system=system,
    )
    view = view_of(sheet, frame, facts, lash)
    run = run_sheet(sheet)
    claimed = {name for row in TRADE for name in (*row.joints, *row.joints_if)}
    claimed |= {step.joint for step in sheet.assembly.steps}
    steps: list[Step] = []
    tails: dict[str, tuple[str, ...]] = {}
    for row in TRADE:
        held_by = tuple(dict.fromkeys(tail for name in row.after for tail in tails[name]))
        if not _applies(row, view):
            # a step may have a row for each kind of engine: the one that applies counts
            tails.setdefault(row.id, held_by)
            continue
        made = _steps(row, view, run, held_by)
        if row.id == "fit-covers":
            made += _unclaimed(view, claimed, tuple(step.id for step in made))
        steps.extend(made)
        tails[row.id] = tuple(_last(made)) or held_by
    faults += _nowhere(view)
    merged, more = with_maker(tuple(steps), sheet, view)
    known = tuple(messages)
    return (
        AssemblySheet(tuple(_finished(step, known) for step in _reduced(merged)), lash, run),
        faults + more,
    )


def _nowhere(view: EngineView) -> tuple[Fault, ...]:
    """Joints of the sheet on features that this engine does not have."""
    return tuple(
        Fault(Place(key=f"tightening, {name}, each"), f"'{joint.each}', of which this engine has "
              "none", "a kind of feature it has", stops=False)
        for name, joint in view.sheet.assembly.joints.items()
        if joint.each and joint.each not in view.kinds
    )  # fmt: skip


def _applies(row: Row, view: EngineView) -> bool:
    if row.on and not any(kind in view.kinds for kind in row.on):
        return False
    if not all(kind in view.kinds for kind in row.needs):
        return False
    if any(kind in view.kinds for kind in row.without):
        return False
    return all(word in view.words for word in row.when)


def _steps(row: Row, view: EngineView, run: RunSheet, after: tuple[str, ...]) -> list[Step]:
    """The step of a row and the tightening steps that close it."""
    if row.id in ("retighten", "retighten-later"):
        return [
            step
            for joint in retightened(view.sheet, later=row.id == "retighten-later")
            for step in retightening_steps(joint, view.frame, after)
        ]
    main = Step(
        row.id,
        row.title,
        row.stage,
        tuple(feature.name for feature in view.features(row.on)),
        (*_do(row, view, run), *_unlimited(row, view)),
        row.lubricant,
        row.sealant,
        row.orientation,
        "",
        row.marks,
        row.align,
        tuple(part for kind in row.parts for part in view.facts.of_kind(kind)),
        _checks(row, view, run),
        operations=row.operations,
        after=after,
        second_person=row.second_person,
    )
    found = [main]
    joints = view.sheet.assembly.joints
    elsewhere = {step.joint for step in view.sheet.assembly.steps if slug(step.step) != row.id}
    for name in (*row.joints, *row.joints_if):
        if name in elsewhere:
            continue  # the maker has it close a step of his own
        if name in joints:
            found.extend(tightening_steps(joints[name], view.frame, row.stage, (main.id,)))
        elif name in row.joints:
            found.append(missing_joint(name, row.stage, (main.id,)))
    return found


def _last(steps: Sequence[Step]) -> list[str]:
    """Ids of the steps that nothing else among these waits for."""
    waited = {name for step in steps for name in step.after}
    return [step.id for step in steps if step.id not in waited]


def _unclaimed(view: EngineView, claimed: set[str], after: tuple[str, ...]) -> list[Step]:
    """Joints of the sheet that belong to no step are tightened with the covers."""
    return [
        step
        for name, joint in view.sheet.assembly.joints.items()
        if name not in claimed
        for step in tightening_steps(joint, view.frame, Stage.BUILD, after)
    ]


def _do(row: Row, view: EngineView, run: RunSheet) -> tuple[str, ...]:
    match row.id:
        case "gap-rings" | "assemble-pistons":
            return (*row.do, *ring_words(view.frame, row.id))
        case "set-lash" | "set-preload" | "reset-lash":
            return lash_words(view, hot=False)
        case "recheck-lash":
            return lash_words(view, hot=True)
        case "prime-oil":
            return (*run.of("before"), *row.do)
        case "first-start":
            return (*run.of("start"), *row.do)
        case "warm-up":
            return (*_stage_words(run.warm_up), *row.do)
        case "run-in":
            return (*run.of("run-in"), *_stage_words(run.loaded), *row.do)
        case "release":
            return (*run.of("after"), *row.do)
        case _:
            return row.do


def _stage_words(stages: Iterable[RunInStage]) -> tuple[str, ...]:
    return tuple(
        ", ".join(word for word in (s.name, s.speed, s.load, s.time, s.watch) if word)
        for s in stages
    )


def _unlimited(row: Row, view: EngineView) -> tuple[str, ...]:
    names = [
        name
        for name in row.reads
        if not view.has_limit(name) and BY_NAME[name].feature in view.kinds
    ]
    if not names:
        return ()
    return (f"No limit given on the sheet for {', '.join(names)}: read and note it all the same.",)


def _checks(row: Row, view: EngineView, run: RunSheet) -> tuple[StepCheck, ...]:
    found = [check for name in row.reads for check in view.readings(name)]
    found.extend(seen_checks(row.seen))
    match row.id:
        case "read-protrusion":
            found.extend(_gasket(view))
        case "first-start":
            found.extend(own_checks(run.checks, view, run.source))
        case "recheck-lash":
            found.extend(_hot_lash(view))
        case "account-for-parts":
            found.append(StepCheck("parts", CheckKind.PARTS, "every part of the plan is received "
                                   "and used, none is left over"))  # fmt: skip
    return tuple(found)


def _gasket(view: EngineView) -> list[StepCheck]:
    """The chosen gasket against the largest protrusion it is for."""
    specs = {part.name: part for part in view.sheet.parts_of("gasket")}
    found = []
    for part in view.facts.of_kind("gasket"):
        spec = specs.get(part.part)
        if spec is not None and spec.protrusion is not None:
            words = f"largest piston protrusion, for {part.part}: {spec.protrusion.typed}"
            found.append(
                StepCheck("gasket grade", CheckKind.LARGEST, words, "",
                          "from piston protrusion of every bore, recorded in this step",
                          "length", "piston protrusion", spec.protrusion,
                          source=spec.source or "parts list of the sheet")
            )  # fmt: skip
    return found


def _hot_lash(view: EngineView) -> list[StepCheck]:
    """Hot figures where the sheet has them, else the cold ones again at the shop's temperature."""
    found = []
    for valve in view.lash.valves if view.lash is not None else ():
        pair = valve.hot_pair
        if valve.hot is None:
            continue
        bounds = valve.hot
        if pair is not None and pair.thumb:
            bounds = replace(bounds, low=pair.go, high=pair.no_go)
        words = f"valve lash hot of {valve.valve}: {valve.hot.typed}"
        if pair is not None:
            words += f" ({pair.words})"
        found.append(
            StepCheck("valve lash hot", CheckKind.FIGURE, words, f"valve {valve.valve}",
                      "feeler pair, hot", "length", "", bounds,
                      source=view.lash.source if view.lash else "")
        )  # fmt: skip
    if not found:
        found.append(StepCheck("lash", CheckKind.SEEN, "lash read again cold after running in and "
                               "reset where it moved"))  # fmt: skip
    return found


def _reduced(steps: Sequence[Step]) -> list[Step]:
    """Each step with only the nearest of those that hold it; the others hold it through these."""
    above: dict[str, frozenset[str]] = {}
    found = []
    for step in steps:
        over = [above[name] for name in step.after]
        above[step.id] = frozenset(step.after).union(*over)
        far = frozenset[str]().union(*over)
        found.append(replace(step, after=tuple(name for name in step.after if name not in far)))
    return found


def _finished(step: Step, messages: Sequence[SafetyMessage]) -> Step:
    """The step with its cautions and its gate in words."""
    cautions = tuple(message.name for message in messages_for(messages, step.operations))
    gate = step.gate
    if not gate and step.checks:
        names = dict.fromkeys(check.name for check in step.checks)
        gate = "recorded and in order: " + ", ".join(names)
    return replace(step, cautions=cautions, gate=gate or "recorded as done")

"""Every set-up of a plan, step by step in the order of work."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TypeAlias

from sparkout.cautions import SafetyMessage, messages_for, shipped_messages
from sparkout.plan.decide import Plan
from sparkout.plan.order import Step
from sparkout.setups._dry_run import before_starting
from sparkout.setups._lookup import JobFacts, Lookup
from sparkout.setups._one_part import for_one
from sparkout.setups._readings import Held, afterwards
from sparkout.setups.as_planned import as_planned
from sparkout.setups.balancing import matching
from sparkout.setups.bench import Bench
from sparkout.setups.big_end import resizing
from sparkout.setups.boring import boring
from sparkout.setups.cam_bores import cam_bushing, follower_bores, rocker_bushing
from sparkout.setups.cam_timing import slotting
from sparkout.setups.centring import centring
from sparkout.setups.crack_test import crack_testing
from sparkout.setups.crank_grind import grinding
from sparkout.setups.guides import guides
from sparkout.setups.honing import honing
from sparkout.setups.injectors import washers as injector_washers
from sparkout.setups.ledges import cutting_ledges
from sparkout.setups.line_hone import line_honing
from sparkout.setups.liner_shell import boring_out
from sparkout.setups.liners import fitting_liners
from sparkout.setups.manifold import matching_manifold
from sparkout.setups.record import SetUp
from sparkout.setups.seat_inserts import inserts
from sparkout.setups.sleeving import sleeving
from sparkout.setups.small_end import bushing
from sparkout.setups.stem_tips import tips
from sparkout.setups.surfacing import surfacing
from sparkout.setups.thrust import washers as thrust_washers
from sparkout.setups.valve_faces import refacing
from sparkout.setups.valve_seats import cutting_seats
from sparkout.setups.valve_train import valve_gear

__all__ = ["set_ups"]

Maker: TypeAlias = Callable[[Lookup, Step], tuple[SetUp, ...]]

_MAKERS: Mapping[str, tuple[Maker, ...]] = MappingProxyType(
    {
        "bore cylinder": (centring, boring),
        "hone cylinder": (honing,),
        "sleeve cylinder": (sleeving,),
        "fit dry liner": (boring_out, fitting_liners),
        "recut ledge": (cutting_ledges,),
        "surface deck": (surfacing,),
        "surface head": (surfacing,),
        "align-hone mains": (line_honing,),
        "grind main journals": (grinding,),
        "grind rod journals": (grinding,),
        "fit thrust washers": (thrust_washers,),
        "resize rod": (resizing,),
        "re-bush rod": (bushing,),
        "replace guide": (guides,),
        "fit seat insert": (inserts,),
        "cut seat": (cutting_seats,),
        "reface valve": (refacing,),
        "grind stem tips": (tips,),
        "fit cam bushes": (cam_bushing,),
        "bush rocker": (rocker_bushing,),
        "ream follower bores": (follower_bores,),
        "slot sprocket": (slotting,),
        "fit injectors": (injector_washers,),
        "crack-test crankshaft": (crack_testing,),
        "crack-test rod": (crack_testing,),
    }
)

# Work within the work, for its cautions: a crack test cleans the part before and after.
_ALSO: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "crack-test crankshaft": ("degrease", "blow"),
        "crack-test rod": ("degrease", "blow"),
    }
)


def set_ups(
    job_facts: JobFacts,
    plan: Plan,
    steps: Iterable[Step],
    bench: Bench | None = None,
    messages: Iterable[SafetyMessage] | None = None,
) -> tuple[SetUp, ...]:
    """Every number a machinist dials in, for each machining step of the order of work.

    Each operation's kinds of set-up; work without one shows what the plan counts on it to leave.
    The manifold of a V engine comes with the last face that is cut, valve gear and weights with the
    trial assembly.

    job_facts: sheet, shop, state and findings of the job [-]; a loaded job will do.
    plan: that the steps belong to [-].
    steps: order of work of that plan, all of it or some; a size is held against its limit after
        the last of them that changes it [-].
    bench: what was said at the machine: temperatures, grades, trial readings [-], or None.
    messages: cautions of the shop [-], or None for those that come with the program.
    Returns the set-ups in the order of the steps [-]; one that lacks what it needs says what to
    read first, one that cannot be says which number broke it.
    Holds for plans made from the same facts.
    Source: each set-up names its own.

    >>> set_ups(None, None, ())
    ()
    """
    look = Lookup(job_facts, plan, bench if bench is not None else Bench())
    known = tuple(shipped_messages() if messages is None else messages)
    rows = tuple(steps)
    faces = [step.operation for step in rows if step.operation in ("surface deck", "surface head")]
    if not rows:
        return ()
    held = Held.of(plan, rows, look.shop)
    found: list[SetUp] = []
    for step in rows:
        own = _of_step(look, step, faces[-1] if faces else "")
        # the step's own word on where to stop stands in where no set-up has a better one
        general = (step.look,) if step.look and not any(set_up.looks for set_up in own) else ()
        for set_up in own:
            found.append(_dressed(look, set_up, step, general, known, held))
    return tuple(found)


def _of_step(look: Lookup, step: Step, last_face: str) -> tuple[SetUp, ...]:
    if step.kind == "trial":
        return (*valve_gear(look, step), *matching(look, step))
    if step.kind not in ("machine", "outside"):
        return ()
    look = replace(look, operation=step.operation)
    made = tuple(
        set_up
        for maker in _MAKERS.get(step.operation, (as_planned,))
        for set_up in maker(look, step)
    )
    if step.operation == last_face:
        made += matching_manifold(look, step)
    return made


def _dressed(
    look: Lookup,
    set_up: SetUp,
    step: Step,
    general: tuple[str, ...],
    messages: tuple[SafetyMessage, ...],
    held: Held,
) -> SetUp:
    """With what every set-up of a step has: dry run, looks, readings afterwards, cautions."""
    looks = for_one(set_up.looks or general, len(step.features), len(look.frame.of_kind("bore")))
    words: tuple[str, ...] = (set_up.kind,)
    if step.operation:
        words = (step.operation, set_up.kind, *_ALSO.get(step.operation, ()))
    return replace(
        set_up,
        operation=step.operation or step.kind,
        step=step.number,
        looks=tuple(dict.fromkeys(looks)),
        dry_run=before_starting(look, set_up, step),
        after=afterwards(look, set_up, step, held),
        cautions=tuple(message.name for message in messages_for(messages, words)),
    )

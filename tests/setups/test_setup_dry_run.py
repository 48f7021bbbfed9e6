"""What is done before the first cut of a bore: held as it will be held in the engine."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sparkout.setups._dry_run import before_starting
from sparkout.setups._lookup import Lookup

PLATE = (
    "Torque plate on, with a used gasket and the real bolts, where the maker asks for it; "
    "main caps torqued (common practice)."
)


@pytest.mark.parametrize("engine", ["road_eight", "farm_single"])
def test_bores_are_cut_and_honed_as_they_are_held(made_of, engine) -> None:
    seen = set()
    for item in made_of(engine):
        bored = item.operation in ("bore cylinder", "hone cylinder") and item.dry_run
        assert (PLATE in item.dry_run) == bool(bored), item.operation
        if bored:
            seen.add(item.operation)
    assert seen == {"bore cylinder", "hone cylinder"}


def test_what_the_data_sheet_says_of_it_goes_first(setup_job, setup_plan, made_of) -> None:
    job = setup_job("road_eight")
    own = replace(job.sheet.limits["bore diameter"], held="torque plate, 65 lbf·ft")
    limits = {**job.sheet.limits, "bore diameter": own}
    told = replace(job, sheet=replace(job.sheet, limits=limits))
    plan, steps = setup_plan("road_eight")
    step = next(step for step in steps if step.operation == "hone cylinder")
    item = next(item for item in made_of("road_eight") if item.step == step.number)
    lines = before_starting(Lookup(told, plan), item, step)
    assert "Held as the data sheet has the bore judged: torque plate, 65 lbf·ft." in lines
    assert PLATE not in lines

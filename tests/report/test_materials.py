"""Materials beside the parts: every oil and sealant that a step names, with its use and price."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

import pytest
from job_samples import shipped

from sparkout.assembly.build import assembly_sheet
from sparkout.assembly.step import plan_facts
from sparkout.report.materials import materials, substances
from sparkout.sheet.shop import Supply

NAMES = ["workboat_four", "road_eight", "farm_single"]


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("assembly paste on lobes and follower feet, oil on journals",
         ("assembly paste", "engine oil")),
        ("plug sealant on core plugs; thread sealant on taper plugs",
         ("plug sealant", "thread sealant")),
        ("light oil on journals; none on the backs of shells", ("light oil",)),
        ("a thin film of case sealant on one half", ("case sealant",)),
        ("a bead of sealant on both end rails", ("sealant",)),
        ("medium thread-locking fluid on clean dry thread", ("medium thread-locking fluid",)),
        ("none: outside, seat and flange are dry", ()),
        ("dry", ()),
        ("as the maker says, thin, not into the engine", ("sealant, as the maker says",)),
        ("", ()),
    ],
)  # fmt: skip
def test_what_a_step_puts_on_is_named(text, names):
    assert substances(text, "sealant") == names


@pytest.mark.parametrize("name", NAMES)
def test_every_step_that_puts_something_on_is_a_use_of_some_material(name):
    source = shipped(name)
    job, plan = source.job, source.plan
    facts = plan_facts(plan.chosen, job.sheet)
    sheet, _ = assembly_sheet(job.sheet, job.frame, facts, (), job.shop.units)
    wet = {
        step.title
        for step in sheet.steps
        for text in (step.lubricant, step.sealant)
        if text and not text.startswith(("none", "dry"))
    }
    used = {use for item in materials(job, plan) for use in item.uses}
    assert wet
    assert wet <= used


def test_a_price_is_the_supply_lists_and_nobody_elses():
    source = shipped("farm_single")
    job, plan = source.job, source.plan
    assert all(item.price is None for item in materials(job, plan))
    paste = Supply("Assembly paste", Fraction("8.40"))
    shop = replace(job.shop, supply=MappingProxyType({**job.shop.supply, paste.part: paste}))
    priced = {item.name: item.price for item in materials(replace(job, shop=shop), plan)}
    assert priced.pop("assembly paste") == 840
    assert set(priced.values()) == {None}


def test_what_work_wears_out_is_in_the_shops_share_only_where_it_has_one():
    four, eight = (
        {item.name: item for item in materials(shipped(n).job, shipped(n).plan)} for n in NAMES[:2]
    )
    assert four["hone stones"].uses == ("align-hone mains",)
    assert four["hone stones"].share == 5  # consumables: 5 %
    assert four["engine oil"].share == 0
    assert eight["hone stones"].share == 0

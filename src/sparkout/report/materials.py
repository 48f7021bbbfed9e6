"""What a job uses up beside its parts: oils, pastes, sealants, seals, stones, each with its use.

Oils and sealants are those that the steps of the assembly name, as the trade or the maker has them;
what work wears out follows from the operations of the plan. How much of each is for the shop to
say. A price stands where the supply list has an item of that name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sparkout.assembly.build import assembly_sheet
from sparkout.assembly.step import Stage, Step, plan_facts
from sparkout.load import Job
from sparkout.plan.decide import Plan
from sparkout.sheet.shop import Shop

__all__ = ["Material", "materials", "substances"]

_CENTS = 100
_STUFF = re.compile(r"(?:[\w-]+ ){0,2}(?:oil|paste|sealant|fluid|grease|compound)\b")
_LEADING = re.compile(r"^(?:(?:a|an|the|thin|light film|film|bead|of|on|and|or|with|in) )+")
_NOT = re.compile(r"\b(?:no|not|never|without)\b")

# Common practice: what these steps renew whether or not the data sheet lists it as a part.
_SEALS = {
    "fit-plugs": "core plugs and gallery plugs",
    "build-heads": "valve stem seals",
    "fit-manifold": "manifold gaskets",
    "fit-oil-pump": "seal of the oil pick-up",
    "fit-covers": "shaft seals, gaskets of covers and sump",
}
# Common practice: what an operation wears out, by a word of its name.
_WORN = (
    ("hone", "hone stones"),
    ("polish", "polishing belt"),
    ("crack-test", "crack-test dye or ink"),
    ("lap", "lapping paste"),
)
_WASH = "cleaning fluid"


@dataclass(frozen=True, slots=True)
class Material:
    """kind: `lubricant`, `sealant`, `seals` or `shop supplies`. uses: titles of the steps and names
    of the operations. price: of one as it is sold, in cents; None where no list has it. share: of
    the price of work in which it is contained, in percent, 0 where it is not."""

    name: str
    kind: str
    uses: tuple[str, ...]
    price: int | None = None
    share: float = 0.0


def materials(job: Job, plan: Plan) -> tuple[Material, ...]:
    """All materials of a plan and of the assembly after it, by kind."""
    facts = plan_facts(plan.chosen, job.sheet)
    sheet, _ = assembly_sheet(job.sheet, job.frame, facts, (), job.shop.units)
    found: dict[tuple[str, str], dict[str, None]] = {}
    for step in sheet.steps:
        for kind, name in _of_step(step):
            found.setdefault((kind, name), {})[step.title] = None
    operations = dict.fromkeys(w.operation for _, option in plan.chosen for w in option.work)
    for operation in operations:
        for word, name in _WORN:
            if re.search(rf"\b{word}\b", operation):
                found.setdefault(("shop supplies", name), {})[operation] = None
    found.setdefault(("shop supplies", _WASH), {})["wash after every abrasive step"] = None
    order = ("lubricant", "sealant", "seals", "shop supplies")
    made = (_made(kind, name, uses, job.shop) for (kind, name), uses in found.items())
    return tuple(sorted(made, key=lambda item: order.index(item.kind)))


def _made(kind: str, name: str, uses: Mapping[str, None], shop: Shop) -> Material:
    supply = next((s for s in shop.supply.values() if s.part.casefold() == name.casefold()), None)
    price = None if supply is None else round(supply.price * _CENTS)
    share = float(shop.consumables * 100) if kind == "shop supplies" and price is None else 0.0
    return Material(name, kind, tuple(uses), price, share)


def _of_step(step: Step) -> Iterable[tuple[str, str]]:
    """Kind and name of what one step uses."""
    for kind, text in (("lubricant", step.lubricant), ("sealant", step.sealant)):
        for name in substances(text, kind):
            yield ("sealant" if "sealant" in name else kind), name
    if step.id in _SEALS and step.stage is not Stage.TRIAL:
        yield "seals", _SEALS[step.id]


def substances(text: str, kind: str) -> tuple[str, ...]:
    """What a sentence of the assembly puts on: `assembly paste` and `engine oil` of `assembly paste
    on lobes, oil on journals`; in the sentence's own words where it names no stuff."""
    if not text or re.match(r"(?:none|dry)\b", text):
        return ()
    found: dict[str, None] = {}
    for match in _STUFF.finditer(text):
        name = _LEADING.sub("", match[0])
        if not _NOT.search(name):
            found["engine oil" if name == "oil" else name] = None
    if not found and not _NOT.match(text):
        found[f"{kind}, {text.split(',')[0]}"] = None
    return tuple(found)

"""Fasteners replaced by rule: what the data sheet says never goes back is bought new every time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from sparkout.plan.forms import Group, Option, Use
from sparkout.plan.options.context import Context
from sparkout.sheet.assembly_model import Again, Joint

__all__ = ["one_use_fasteners"]

# Joints by the names a data sheet gives them, and the kind of part their fasteners are sold as;
# any other joint's are sold as its name and fastener: `flywheel bolt`.
_SOLD_AS: Mapping[str, str] = MappingProxyType(
    {"rod caps": "rod bolt", "main caps": "main bolt", "head": "head bolt"}
)


def one_use_fasteners(ctx: Context, groups: tuple[Group, ...]) -> tuple[Group, ...]:
    """The groups with every fastener that may not be used again renewed, whatever its length.

    Only where the sheet sells it: without a part there is nothing to plan with, and the assembly
    sheet still says that it never goes back.
    """
    found = {group.name: group for group in groups}
    for joint in ctx.sheet.assembly.joints.values():
        kind = _SOLD_AS.get(joint.name, f"{joint.name} {joint.fastener}")
        if joint.again is not Again.NO or not ctx.parts(kind):
            continue
        label = f"{kind}s"
        renewed = _renewed(ctx, joint, kind)
        made = found.get(label)
        if made is None:
            found[label] = Group(label, (kind,), renewed, "")
            continue
        # a set that is bought anyway makes good what was read of the old one
        effects = {option.name: option.effects for option in made.options}
        known = next((e for name, e in effects.items() if name != made.keep), ())
        options = tuple(replace(option, effects=known) for option in renewed)
        found[label] = replace(made, options=options, keep="")
    return tuple(found.values())


def _renewed(ctx: Context, joint: Joint, kind: str) -> tuple[Option, ...]:
    places = len(ctx.frame.of_kind(joint.each)) if joint.each else 1
    parts = ctx.parts(kind)
    return tuple(
        Option(
            "new set" if len(parts) == 1 else part.name,
            f"fit new {kind}s: {joint.name} may not be tightened twice with the same",
            parts=(Use(part.name, joint.count * max(places, 1)),),
            impossible=ctx.supply_gap(part.name),
            days=ctx.days(part.name),
        )
        for part in parts
    )

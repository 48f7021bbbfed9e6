"""The options of the trade: one small file for each thing that is decided."""

from __future__ import annotations

from sparkout.plan.forms import Group
from sparkout.plan.options.context import Context
from sparkout.plan.options.crank import crank_groups
from sparkout.plan.options.cylinders import cylinder_groups
from sparkout.plan.options.decks import deck_groups, head_groups
from sparkout.plan.options.fasteners import one_use_fasteners
from sparkout.plan.options.gaskets import gasket_groups
from sparkout.plan.options.liners import liner_groups
from sparkout.plan.options.repairs import repair_groups
from sparkout.plan.options.rods import rod_groups
from sparkout.plan.options.valves import valve_groups

__all__ = ["Context", "all_groups"]


def all_groups(ctx: Context) -> tuple[Group, ...]:
    """Every group that what was measured gives reason to decide on."""
    joined = (
        *crank_groups(ctx),
        *rod_groups(ctx),
        *cylinder_groups(ctx),
        *liner_groups(ctx),
        *deck_groups(ctx),
        *gasket_groups(ctx),
        *head_groups(ctx),
        *valve_groups(ctx),
    )
    repairs = repair_groups(ctx, [group.name for group in joined])
    return one_use_fasteners(ctx, (*joined, *repairs))

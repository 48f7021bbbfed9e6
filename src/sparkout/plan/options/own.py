"""Ways to mend that only the shop's file knows: an operation of its own that says what it leaves.

Nothing has to be written for one. What the operation `holds:` names the characteristics it makes
good and, by them, the kind of feature it is done to.
"""

from __future__ import annotations

from sparkout.engine.characteristics import BY_NAME
from sparkout.plan.options.context import Context
from sparkout.plan.precedence import STAGES
from sparkout.sheet.model import RepairSpec

__all__ = ["own_operations", "own_repairs", "unused_operations"]


def own_operations(ctx: Context) -> tuple[str, ...]:
    """Operations of the shop's file that neither the program nor the data sheet knows."""
    known = {*STAGES, *(row.operation for row in ctx.sheet.repairs)}
    return tuple(name for name in ctx.shop.operations if name not in known)


def own_repairs(ctx: Context) -> tuple[RepairSpec, ...]:
    """A way to mend for every kind of feature that such an operation holds something of."""
    found = []
    for name in own_operations(ctx):
        kinds: dict[str, list[str]] = {}
        for characteristic in ctx.shop.operations[name].holds:
            kinds.setdefault(BY_NAME[characteristic].feature, []).append(characteristic)
        found += [
            RepairSpec(kind, name, f"{name} ({{it}})", tuple(makes), operation=name)
            for kind, makes in kinds.items()
        ]
    return tuple(found)


def unused_operations(ctx: Context) -> tuple[str, ...]:
    """Operations that nothing can ever ask for: unknown, and they hold nothing."""
    return tuple(name for name in own_operations(ctx) if not ctx.shop.operations[name].holds)

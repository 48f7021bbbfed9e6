"""Shims under a valve spring: its fitted length brought back after work on the seat."""

from __future__ import annotations

from fractions import Fraction

from sparkout.plan.forms import AmountSpec, Group, Option, Work
from sparkout.plan.options.context import Context

__all__ = ["spring_shim"]


def spring_shim(ctx: Context, valve: str, side: str) -> Group | None:
    """No shim, or shims of a total thickness the plan chooses.

    Only where the shop's file says from which to which total it shims: the operation `shim spring`
    holding `spring installed height: 0.25 to 0.75 mm`, in steps of the shims it has.
    """
    operation = "shim spring"
    spring = f"spring {valve}"
    rate = ctx.operation(operation)
    held = ctx.held(operation, "spring installed height")
    if rate is None or held is None or held.low is None or held.high is None:
        return None
    if ctx.size(spring, "spring installed height") is None:
        return None
    amount = f"shims under {spring}"
    step = rate.step if rate.step else Fraction(1, 4)
    shim = Option(
        "shim",
        f"shim {spring}",
        ctx.moved_exactly(operation, amount, own=spring),
        (Work(operation, (spring,)),),
    )
    done = f"{{}} of shims goes under {spring}"
    return Group(
        f"{spring} shims",
        (spring,),
        (Option("leave", f"no shim under {spring}"), shim),
        "leave",
        (AmountSpec(amount, "shim", step, held.low, held.high, done=done),),
    )

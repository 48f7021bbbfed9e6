"""Head gasket grades by piston protrusion; injector washers."""

from __future__ import annotations

from dataclasses import replace

from sparkout.plan.forms import Effect, Group, HoldsTo, Option, SetTo, Use, Work
from sparkout.plan.options.context import Context
from sparkout.sheet.model import PartSpec

__all__ = ["gasket_groups"]


def gasket_groups(ctx: Context) -> tuple[Group, ...]:
    found: list[Group] = []
    gaskets = ctx.parts("gasket")
    if gaskets:
        found += [_gasket(ctx, suffix, gaskets) for suffix in _suffixes(ctx)]
    base = ctx.parts("base gasket")
    if base and ctx.frame.feature("base gasket"):
        found.append(_base_gasket(ctx, base))
    found += _lash_shims(ctx)
    washers = ctx.parts("injector washer")
    injectors = [
        feature.name
        for feature in ctx.frame.of_kind("injector")
        if ctx.size(feature.name, "injector projection")
    ]
    if washers and injectors:
        found.append(_washers(ctx, injectors, washers))
    return tuple(found)


def _suffixes(ctx: Context) -> list[str]:
    return [ctx.frame.bank_suffix(bank) for bank in ctx.frame.banks]


def _gasket(ctx: Context, suffix: str, gaskets: tuple[PartSpec, ...]) -> Group:
    """One grade for a bank. A grade with a protrusion range takes no piston above that range.

    The grades go by the largest protrusion, so a thicker grade than the table asks for is the less
    preferred of two that cost the same.
    """
    bank = next(bank for bank in ctx.frame.banks if ctx.frame.bank_suffix(bank) == suffix)
    name = f"head gasket{suffix}"
    options = []
    for place, part in enumerate(gaskets):
        effects: list[Effect] = []
        thickness = ctx.brought(part, name, "gasket thickness")
        if thickness is not None:
            effects.append(thickness)
        holds: tuple[HoldsTo, ...] = ()
        if part.protrusion is not None:
            bounds = replace(part.protrusion, low=None)
            holds = tuple(
                HoldsTo(fit, bounds, f"protrusion within the range of {part.name}")
                for cylinder in bank.cylinders
                if (fit := ctx.fit("piston protrusion", f"bore {cylinder}")) is not None
            )
        options.append(
            Option(
                part.name,
                f"fit {part.name}{' on the ' + bank.name + ' bank' if suffix else ''}",
                tuple(effects),
                (),
                (Use(part.name, 1),),
                holds=holds,
                prefer=place,
                impossible=ctx.supply_gap(part.name),
                days=ctx.days(part.name),
            )
        )
    return Group(name, (name,), tuple(options), "")


def _washers(ctx: Context, injectors: list[str], washers: tuple[PartSpec, ...]) -> Group:
    options = []
    for part in washers:
        effects = tuple(
            effect
            for name in injectors
            if isinstance(effect := ctx.brought(part, name, "injector washer thickness"), SetTo)
        )
        options.append(
            Option(
                part.name,
                f"fit {part.name} under every injector",
                effects,
                (Work("fit injectors", tuple(injectors)),),
                (Use(part.name, len(injectors)),),
                impossible=ctx.supply_gap(part.name),
                days=ctx.days(part.name),
            )
        )
    return Group("injector washers", tuple(injectors), tuple(options), "")


def _base_gasket(ctx: Context, gaskets: tuple[PartSpec, ...]) -> Group:
    options = []
    for part in gaskets:
        thickness = ctx.brought(part, "base gasket", "base gasket thickness")
        options.append(
            Option(
                part.name,
                f"fit {part.name}",
                () if thickness is None else (thickness,),
                (),
                (Use(part.name, 1),),
                impossible=ctx.supply_gap(part.name),
                days=ctx.days(part.name),
            )
        )
    return Group("base gasket", ("base gasket",), tuple(options), "")


def _lash_shims(ctx: Context) -> list[Group]:
    """Each valve's lash shim: the one that is in, or one of those that are sold."""
    found = []
    for feature in ctx.frame.of_kind("valve"):
        if ctx.size(feature.name, "lash shim") is None:
            continue
        options = [Option("keep", f"keep the shim of {feature.name}")]
        for part in ctx.parts("lash shim"):
            shim = ctx.brought(part, feature.name, "lash shim")
            options.append(
                Option(
                    part.name,
                    f"fit {part.name} at {feature.name}",
                    () if shim is None else (shim,),
                    (),
                    (Use(part.name, 1),),
                    impossible=ctx.supply_gap(part.name),
                    days=ctx.days(part.name),
                )
            )
        found.append(Group(f"{feature.name} lash shim", (feature.name,), tuple(options)))
    return found

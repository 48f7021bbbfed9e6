"""The engine as the plan will leave it: every size with the chosen options' effects applied.

This is a second way to the same numbers as the planner's tables, with exact estimates instead of
arrays, so that the judge can be asked about a plan independently of the solver that found it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from fractions import Fraction

from sparkout.engine.dimension import Dimension, How, Key
from sparkout.fits import Instance
from sparkout.judge.checks import Check
from sparkout.measure.estimate import Estimate
from sparkout.plan.felt import felt
from sparkout.plan.forms import Effect, Group, MoveBy, SetTo, ShiftBy

__all__ = ["chosen_effects", "keys_of", "planned_sizes"]


def keys_of(instance: Instance) -> set[Key]:
    """Everything a fit is made of, and the fit itself."""
    found = {instance.key, *[key for _, key in instance.terms]}
    for _, inner in instance.inner:
        found |= keys_of(inner)
    return found


def chosen_effects(
    groups: Iterable[Group], picks: Mapping[str, str], only: Collection[Key] | None = None
) -> dict[Key, tuple[Effect, ...]]:
    """What the chosen options do, by size, in the order it counts. only: sizes looked at."""
    found: dict[Key, list[Effect]] = {}
    for group in groups:
        for effect in group.option(picks[group.name]).effects:
            if only is None or effect.key in only:
                found.setdefault(effect.key, []).append(effect)
    return {
        key: tuple(sorted(effects, key=lambda effect: effect.rank))
        for key, effects in found.items()
    }


def planned_sizes(
    sizes: Mapping[Key, Dimension],
    groups: Iterable[Group],
    picks: Mapping[str, str],
    amounts: Mapping[str, Fraction],
    checks: Iterable[Check],
    *,
    only: Collection[Key] | None = None,
) -> dict[Key, Dimension]:
    """Every size after the plan. amounts in mm by name. only: sizes that are asked for, all others
    stay as they are.

    A fit that was read as found no longer counts once something in it changes: it is worked out
    again, or moved by the change where only the change is known.
    """
    effects = chosen_effects(groups, picks, only)
    planned = dict(sizes)
    for key, some in effects.items():
        value = _applied(key, sizes.get(key), some, amounts)
        if value is not None:
            planned[key] = value
    for check in checks:
        _fit_again(check.instance, sizes, planned, effects, amounts)
    return planned


def _applied(
    key: Key, base: Dimension | None, effects: Iterable[Effect], amounts: Mapping[str, Fraction]
) -> Dimension | None:
    value = base
    for effect in effects:
        if isinstance(effect, SetTo):
            value = Dimension(
                key,
                effect.low,
                effect.high,
                effect.how,
                as_new=effect.as_new,
                size=effect.size,
                free=effect.free,
            )
        elif value is not None:
            by = _change(effect, amounts)
            value = replace(value, low=value.low + by, high=value.high + by, how=How.MACHINED)
    return value


def _change(effect: ShiftBy | MoveBy, amounts: Mapping[str, Fraction]) -> Estimate:
    if isinstance(effect, ShiftBy):
        return effect.by
    error = () if effect.error is None else (effect.error.scaled(float(effect.per)),)
    return Estimate(effect.per * amounts[effect.amount], error)


def _fit_again(
    instance: Instance,
    sizes: Mapping[Key, Dimension],
    planned: dict[Key, Dimension],
    effects: Mapping[Key, tuple[Effect, ...]],
    amounts: Mapping[str, Fraction],
) -> None:
    for _, inner in instance.inner:
        _fit_again(inner, sizes, planned, effects, amounts)
    read = sizes.get(instance.key)
    terms = {key for _, key in instance.terms}
    if read is None or instance.key in terms or instance.key in effects:
        return
    if not any(key in effects for key in terms):
        return
    if instance.constant is not None and all(key in planned for key in terms):
        planned.pop(instance.key, None)
        return
    if not instance.by_change:
        return
    value = replace(read, how=How.WORKED_OUT)
    for weight, key in instance.terms:
        if key not in effects:
            continue
        change = _changed(key, sizes, effects[key], amounts)
        if change is None:
            planned.pop(instance.key, None)
            return
        low, high = change if weight > 0 else (change[1], change[0])
        value = replace(
            value, low=value.low + low.scaled(weight), high=value.high + high.scaled(weight)
        )
    planned[instance.key] = value


def _changed(
    key: Key,
    sizes: Mapping[Key, Dimension],
    effects: tuple[Effect, ...],
    amounts: Mapping[str, Fraction],
) -> tuple[Estimate, Estimate] | None:
    """How a size changes; None where it is set to something and was not known before.

    A cut changes every place of a feature alike; what is made anew may differ from what was there
    by its own range, less what of the old size the fit was read over.
    """
    before = sizes.get(key)
    if not any(isinstance(effect, SetTo) for effect in effects):
        total = Estimate(Fraction(0))
        for effect in effects:
            assert not isinstance(effect, SetTo)
            total = total + _change(effect, amounts)
        return total, total
    if before is None:
        return None
    after = _applied(key, before, effects, amounts)
    assert after is not None
    least, most = felt(before)
    return after.low - most, after.high - least

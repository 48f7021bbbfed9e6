"""Whether a plan is allowed, and what it costs: straight from the model in Python's own integers.

Shares no code with any solver, so that every answer can be held against it.
"""

from __future__ import annotations

from collections.abc import Mapping

from sparkout.solve.model import NO_BOUND, Model, Window

__all__ = ["price", "violations"]


def violations(
    model: Model, picks: Mapping[str, str], amounts: Mapping[str, int]
) -> tuple[str, ...]:
    """Every way in which the plan breaks the model, in words; empty when it is allowed."""
    found = _unplaced(model, picks, amounts)
    if found:
        return tuple(found)
    for part in model.windows:
        row = tuple(
            model.choices[model.choice_at[name]].options.index(picks[name]) for name in part.choices
        )
        chosen = ", ".join(f"{name} = {picks[name]}" for name in part.choices)
        if not part.allowed[row]:
            found.append(f"{part.name}: {chosen} is not allowed")
            continue
        total = sum(
            coef * int(amounts[name])
            for coef, name in zip(_coefficients(part, row), part.amounts, strict=True)
        )
        lower, upper = int(part.lower[row]), int(part.upper[row])
        if lower != -NO_BOUND and total < lower:
            found.append(f"{part.name}: {total} is below {lower} with {chosen}")
        if upper != NO_BOUND and total > upper:
            found.append(f"{part.name}: {total} is above {upper} with {chosen}")
    for tally in model.tallies:
        total = sum(weight for choice, option, weight in tally.weights if picks[choice] == option)
        if tally.at_most is not None and total > tally.at_most:
            found.append(f"{tally.name}: {total} is more than {tally.at_most}")
        if tally.at_least is not None and total < tally.at_least:
            found.append(f"{tally.name}: {total} is less than {tally.at_least}")
    return tuple(found)


def price(model: Model, picks: Mapping[str, str], amounts: Mapping[str, int]) -> tuple[int, int]:
    """Cost and preference of a plan, allowed or not."""
    cost = preference = 0
    for choice in model.choices:
        at = choice.options.index(picks[choice.name])
        cost += choice.cost[at]
        preference += choice.prefer[at]
    for amount in model.amounts:
        cost += amount.cost_per_step * amounts[amount.name]
        preference += amount.prefer_per_step * amounts[amount.name]
    for shared in model.shared:
        if any(picks[choice] == option for choice, option in shared.when):
            cost += shared.cost
            preference += shared.prefer
    return cost, preference


def _coefficients(part: Window, row: tuple[int, ...]) -> list[int]:
    common = part.coef.ndim == 1
    values: list[int] = (part.coef if common else part.coef[row]).tolist()
    return values


def _unplaced(model: Model, picks: Mapping[str, str], amounts: Mapping[str, int]) -> list[str]:
    found = []
    for choice in model.choices:
        if choice.name not in picks:
            found.append(f"{choice.name}: nothing is picked")
        elif picks[choice.name] not in choice.options:
            found.append(f"{choice.name}: {picks[choice.name]} is not one of {choice.options}")
    for amount in model.amounts:
        if amount.name not in amounts:
            found.append(f"{amount.name}: no amount is given")
        elif not amount.low <= amounts[amount.name] <= amount.high:
            found.append(
                f"{amount.name}: {amounts[amount.name]} is outside {amount.low} to {amount.high}"
            )
    known = model.choice_at.keys() | model.amount_at.keys()
    found += [f"{name}: not in the model" for name in (*picks, *amounts) if name not in known]
    return found

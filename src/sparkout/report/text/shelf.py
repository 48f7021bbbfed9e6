"""Many engines planned from one shelf, in a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from sparkout.forecast.family import EnginePlan, FamilyPlan
from sparkout.forecast.pool import Pool
from sparkout.judge.words import Words
from sparkout.price.money import said
from sparkout.report.text.layout import heading, table, wrapped

__all__ = ["shelf_text"]


def shelf_text(
    found: FamilyPlan, currency: str, begun: Sequence[str], pool: Pool | None, words: Words
) -> list[str]:
    """Everything `shelf` says. begun: jobs in which something is approved or done."""
    count = len(found.engines)
    text = heading(f"{count} engine{'' if count == 1 else 's'}, one shelf")
    rows = [("", "work and parts", "for going without")]
    for plan in found.engines:
        cost = "no plan" if plan.cost is None else said(plan.cost, currency)
        rows.append((plan.name, cost, said(plan.extra, currency) if plan.extra else "–"))
    rows.append(("all", said(found.total, currency), ""))
    text += [f"  {line}".rstrip() for line in table(rows, (1, 2))]
    text += wrapped("Before reserve and tax. " + _proven(found), "  ")
    for part, pieces in found.scarce.items():
        text += wrapped(_shared(found, part, pieces), "  ▸ ")
    for plan in found.engines:
        text += _without(plan, currency)
    if begun:
        some = "is approved or done; it is" if len(begun) == 1 else "is approved or done; they are"
        text += wrapped(f"In {', '.join(begun)} work {some} planned anew here.", "  ! ")
    if pool is not None:
        text += _pool(pool, words)
    return text


def _proven(found: FamilyPlan) -> str:
    if not found.possible:
        return (
            "The shelf does not do, however it is shared out: every engine stands here as if it "
            "had the shelf to itself. Order more, or plan fewer engines."
        )
    lost = [plan.name for plan in found.engines if plan.cost is None]
    if lost:
        return (
            f"No plan holds every limit of {', '.join(lost)}: `sparkout plan` says what stands in "
            "the way. The others together cost no less, proven."
        )
    return "All together cannot cost less, proven."


def _shared(found: FamilyPlan, part: str, pieces: int) -> str:
    takers = [f"{plan.name} {plan.uses[part]}" for plan in found.engines if plan.uses.get(part)]
    there = "none is" if not pieces else f"{pieces} {'is' if pieces == 1 else 'are'}"
    verb = "taken" if found.possible else "wanted"
    who = f"{verb} by {', '.join(takers)}" if takers else "nobody takes it"
    return f"{part}: {there} on the shelf and no more can be had; {who}."


def _without(plan: EnginePlan, currency: str) -> list[str]:
    if not plan.instead:
        return []
    more = f"{said(plan.extra, currency)} more" if plan.extra else "for the same money"
    text = wrapped(f"{plan.name}, {more}:", "  ")
    for now, alone in plan.instead:
        text += wrapped(f"{now}, not: {alone}", "    · ")
    return text


def _pool(pool: Pool, words: Words) -> list[str]:
    within = words.value(pool.spread, pool.characteristic)
    text = heading(f"Sets alike in {pool.characteristic} within {within}")
    for number, some in enumerate(pool.sets, 1):
        text += wrapped(", ".join(some), f"  {number}. ")
    if not pool.sets:
        text += ["  none: no parts of all engines are that near each other"]
    if pool.left:
        text += wrapped(f"In no set: {', '.join(pool.left)}.", "  ")
    if pool.unread:
        text += wrapped(f"Not read: {pool.unread} more.", "  ! ")
    return text

"""The plan after the log has grown, in a terminal: as approved or not, what changed, what it costs.

Whatever is not as approved stands on top; nothing is changed without being said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from sparkout.judge.words import Words
from sparkout.load import Job
from sparkout.plan.decide import Plan
from sparkout.plan.forms import MoveBy, Work
from sparkout.plan.order import order_of_work
from sparkout.plan.replan import SHORT, Approved, Changed, Done, Replanned, amount_said, plan_digest
from sparkout.plan.replan.naming import together
from sparkout.plan.whatif import AmountChange, OptionChange
from sparkout.price.money import said
from sparkout.price.quote import quote
from sparkout.report.grouping import minus
from sparkout.report.text.answer import shape_of
from sparkout.report.text.layout import heading, wrapped

__all__ = ["amount_odd", "approve_lines", "replanned_text", "unknown_text"]

_DONE = 8


def replanned_text(
    job: Job, approved: Approved, again: Replanned, late: Iterable[str] = (), *, whole: bool = False
) -> list[str]:
    """Everything `plan` says where something is approved, or worked on without it.

    late: readings whose phase is in doubt. whole: all work that is done, and the reasons of the
    order.
    """
    lines = heading(_head(approved, again))
    lines += wrapped(_by(approved) if approved.given else _BEGUN, "  ")
    lines += _amount(job, approved)
    for text in late:
        lines += wrapped(minus(text), "  ! ")
    for text in again.noted:
        lines += wrapped(minus(text), "  ! ")
    asked = again.needs_approval if approved.given else _decided(again)
    if asked:
        lines += heading("Ask before going on" if approved.given else "To be decided")
        for text in _once(asked):
            lines += wrapped(f"{minus(text[0].upper() + text[1:]).rstrip('.')}.", "  ✕ ")
        for text in again.why_not:
            lines += wrapped(minus(text), "    ")
    lines += _changed(again, job.words)
    lines += _done(approved, again, job.words, whole=whole)
    if again.plan is not None:
        lines += _cost(job, approved, again)
        lines += _left(job, again, whole=whole)
        if again.needs_approval or not approved.given:
            lines += approve_lines(again, "To approve it as it now is")
    return lines


_BEGUN = (
    "Nothing is approved, and the log has work. That work stands: this is the cheapest plan that "
    "goes on from it, with what the work itself asks for."
)


def _decided(again: Replanned) -> tuple[str, ...]:
    """What stops a job that nobody approved: no plan, or a limit that nothing mends."""
    if again.plan is None:
        return ("no plan holds every limit from here on",)
    return tuple(finding.reason for finding in again.left_out)


def unknown_text(approved: Approved) -> list[str]:
    """Where the plan that was approved cannot be worked out again."""
    lines = heading("What was approved cannot be worked out again")
    lines += wrapped(_by(approved), "  ")
    lines += wrapped(f"{approved.why[0].upper()}{approved.why[1:]}.", "  ✕ ")
    lines += wrapped(
        "The plan below is made anew, without regard to it. Have it approved, or put back the "
        "files it was made from.",
        "    ",
    )
    return lines


def _head(approved: Approved, again: Replanned) -> str:
    if again.plan is None:
        return "No plan from here on holds every limit"
    if not approved.given:
        return "The plan from the work in the log on; not approved"
    if again.needs_approval:
        return "The approved plan no longer holds as it is"
    if again.as_approved:
        return "As approved: the plan stands"
    return "The approved plan stands; these figures moved within it"


def _by(approved: Approved) -> str:
    name = f"Plan {approved.digest[:SHORT]}" if approved.named else f"“{approved.what}”"
    text = f"{name}, approved by {approved.by_whom} ({approved.how}), {approved.at[:10]}"
    if approved.amount:
        text += f", {approved.amount} {approved.currency}".rstrip()
    if not approved.named and approved.plan is not None:
        text += f". It names no plan; taken to be the plan of that time, {approved.digest[:SHORT]}"
    return text + "."


def _amount(job: Job, approved: Approved) -> list[str]:
    """A word where the approved amount is none of the sums the plan comes to."""
    if approved.plan is None or approved.before.stages:
        return []
    text = amount_odd(job, approved.plan, approved.amount, approved.currency)
    return wrapped(text, "  ! ") if text else []


def amount_odd(job: Job, plan: Plan, typed: str, currency: str) -> str:
    """Why an approved amount is an odd one: not in the shop's money, or none of the sums that the
    plan comes to; "" where it is neither."""
    if currency and currency != job.shop.currency:
        return f"The approved amount is in {currency}; this shop reckons in {job.shop.currency}."
    amount = amount_said(typed)
    if amount is None:
        return ""
    price = quote(plan.chosen, job.shop)
    sums = (price.firm, price.firm_total, price.firm + price.contingency, price.total)
    if any(abs(amount * 100 - cents) < 100 for cents in sums):
        return ""
    return (
        f"The approved amount is none of the sums that plan comes to: {price.money(price.firm)} "
        f"for work and parts, {price.money(price.total)} in all."
    )


def _once(texts: Iterable[str]) -> list[str]:
    """Reasons that differ in a number alone, told once with how many more there are."""
    import re

    found: dict[str, list[str]] = {}
    for text in texts:
        found.setdefault(re.sub(r"\b[IE]?\d+\b(?![.,]\d)", "#", text), []).append(text)
    return [
        same[0] if len(same) == 1 else f"{same[0].rstrip('.')} (and {len(same) - 1} more alike)"
        for same in found.values()
    ]


def _changed(again: Replanned, words: Words) -> list[str]:
    ahead = [item for item in again.amounts if not _is_done(again, item)]
    if not again.changes and not ahead and not again.unused:
        return []
    lines = heading("What changes")
    found: dict[tuple[str, str], list[Changed]] = {}
    for item in again.changes:
        key = OptionChange(item.group, "", "", item.was, item.now)
        found.setdefault((shape_of(key, item.was), shape_of(key, item.now)), []).append(item)
    for same in found.values():
        lines += _change(same)
    for amount in ahead:
        was, now = (words.value(value, "deck height") for value in (amount.was, amount.now))
        name = f"{amount.amount[0].upper()}{amount.amount[1:]}"
        lines += wrapped(f"{name}: {now} instead of {was}, not cut yet.", "  • ")
    for part, cents in again.unused:
        lines += wrapped(
            f"{part} is here and not used any more: {cents / 100:.2f} unless it goes back.", "  • "
        )
    return lines


def _change(same: list[Changed]) -> list[str]:
    first = same[0]
    now = first.now or "falls away"
    text = f"{now[0].upper()}{now[1:]}"
    if first.after_work:
        text += ", on top of what is done"
    elif first.was:
        text += f", instead of: {first.was}" if first.now else f": {first.was}"
    text += f". {first.reason[0].upper()}{first.reason[1:]}"
    if len(same) > 1:
        text += f" Likewise {', '.join(item.group for item in same[1:])}."
    return wrapped(minus(text), "  ▸ ")


def _is_done(again: Replanned, item: AmountChange) -> bool:
    """Whether a depth is otherwise because it was cut otherwise, with nothing of it left to cut."""
    cut = {name for done in again.done for name in done.depths}
    ahead = {} if again.plan is None else {a.name: a.value for a in again.plan.amounts}
    return item.amount in cut and not ahead.get(item.amount)


def _done(approved: Approved, again: Replanned, words: Words, *, whole: bool) -> list[str]:
    if not again.done and not again.extra:
        return []
    planned = {item.name: item.value for item in again.approved.amounts}
    lines = heading("Done, and not touched again")
    shown = again.done if whole else again.done[:_DONE]
    for item in shown:
        lines += wrapped(_did(item, planned, words), "  ✓ ")
    if len(again.done) > len(shown):
        lines.append(f"    and {len(again.done) - len(shown)} more; --all lists them")
    for entry in again.extra:
        why, mark = ("not approved", "✕") if approved.given else ("not part of the plan", "!")
        lines += wrapped(f"{entry.operation}: {', '.join(entry.features)} ({why})", f"  {mark} ")
    return lines


def _did(item: Done, planned: Mapping[str, Fraction], words: Words) -> str:
    plain = item.option.words.removesuffix(" (begun)")  # under an earlier approval
    text = f"{plain[0].upper()}{plain[1:]}"
    if not item.whole:
        left = "; ".join(_named(work) for work in item.left)
        text += f", begun; still to do: {left}"
    moved = {e.amount for e in item.option.effects if isinstance(e, MoveBy)}
    for name, (depth, known) in item.depths.items():
        if name not in moved:
            continue
        text += f"; {name} {words.value(depth, 'deck height')}"
        was = planned.get(name, Fraction(0))
        if depth != was:
            text += f" ({words.value(was, 'deck height')} was planned)"
        elif not known:
            text += " (as planned; not entered)"
    return minus(text) + "."


def _named(work: Work) -> str:
    """`grind rod journals: rod journals 2 to 4`; `crack-test crankshaft` needs no crankshaft."""
    where = together(work.features)
    return work.operation if work.operation.endswith(where) else f"{work.operation}: {where}"


def _cost(job: Job, approved: Approved, again: Replanned) -> list[str]:
    assert again.plan is not None
    currency = job.shop.currency
    lines = heading("Cost of work and parts, before reserve and tax")
    rows = [
        ("work done", again.spent),
        ("still to come", again.plan.cost),
        ("in all", again.cost),
    ]
    if approved.given:
        rows.insert(0, ("approved", again.price))
    wide = max(len(said(cents, currency)) for _, cents in rows)
    lines += [f"  {name:<16}{said(cents, currency):>{wide}}" for name, cents in rows]
    if not approved.given:
        return lines
    more = again.difference
    if more:
        word = "more" if more > 0 else "less"
        lines += wrapped(f"{said(abs(more), currency)} {word} than approved.", "  ")
    if again.more_days:
        many = abs(again.more_days)
        word = "longer" if again.more_days > 0 else "shorter"
        lines += wrapped(f"It takes {many} {'day' if many == 1 else 'days'} {word}.", "  ")
    if again.cheaper > 0 and again.free is not None:
        lines += wrapped(
            f"Not kept to what was approved, the cheapest plan from here on would cost "
            f"{said(again.cheaper, currency)} less: plan {plan_digest(again.free)[:SHORT]}.",
            "  ",
        )
    return lines


def _left(job: Job, again: Replanned, *, whole: bool) -> list[str]:
    """The order of what is left."""
    assert again.plan is not None
    steps = order_of_work(again.plan.chosen, job.shop)
    if not steps:
        return [*heading("Left to do"), "  nothing: every step of the plan is done"]
    days = f"{again.days} {'day' if again.days == 1 else 'days'}"
    lines = heading(f"Left to do, about {days}")
    for step in steps:
        where = _places(step.features)
        title = f"{step.title}: {where}" if where else step.title
        lines += wrapped(title, f"  {step.number:>2}. ")
        for why in step.after if whole else ():
            lines += wrapped(why, "      ")
    open_depths = [
        text
        for item, text in zip(again.plan.amounts, again.plan.amount_words, strict=True)
        if item.value
    ]
    if open_depths:
        lines += heading("How deep, and how far that may be moved")
        for text in open_depths:
            lines += wrapped(minus(text[0].upper() + text[1:]), "  • ")
    return lines


def _places(features: tuple[str, ...]) -> str:
    """`rod journal 1, 2, 3, 4`: the kind once."""
    if not features:
        return ""
    kind = features[0].rsplit(" ", 1)[0]
    return ", ".join([features[0], *(name.removeprefix(kind + " ") for name in features[1:])])


def approve_lines(again: Replanned, head: str) -> list[str]:
    """How to record the approval."""
    assert again.plan is not None
    return [
        *heading(head),
        f'  sparkout record JOB --kind approval --field "what=plan '
        f'{plan_digest(again.plan)[:SHORT]}" \\',
        "      --field by_whom=NAME --field how=phone",
    ]

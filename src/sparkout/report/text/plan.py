"""The plan in a terminal: what is done and why, its order and cost, and what to read next."""

from __future__ import annotations

from sparkout.load import Job
from sparkout.plan.decide import Plan, Stuck
from sparkout.plan.explain import Reason
from sparkout.plan.order import Step, order_of_work
from sparkout.price.quote import Quote, quote
from sparkout.price.scope import not_in_said
from sparkout.report.alike import alike
from sparkout.report.grouping import minus, told
from sparkout.report.open_points import OpenPoint, anything_measured, open_points, unread
from sparkout.report.text.layout import heading, table, wrapped

__all__ = ["approval_text", "plan_text", "stuck_text", "unmeasured_text"]

_POINTS = 6
_LEAST = (
    "Where more would do, the least is planned: it costs the same, and metal that stays is there "
    "for the next repair. More, up to the second figure, breaks nothing."
)


def plan_text(job: Job, plan: Plan, *, whole: bool = False) -> list[str]:
    """Everything `plan` says. whole: every option not taken, and what each step has to be read."""
    if not anything_measured(job.findings):
        return unmeasured_text(job, plan, whole=whole)
    points = open_points(job, plan)
    lines = _head(job, points)
    for same in [(r,) for r in plan.reasons] if whole else alike(plan.reasons):
        lines += _reason(same, whole=whole)
    if plan.amount_words:
        lines += heading("How deep, and how far that may be moved")
        for text in _fewer(plan.amount_words, whole=whole):
            lines += wrapped(minus(text[0].upper() + text[1:]), "  • ")
        if any("would do)" in text for text in plan.amount_words):
            lines += wrapped(_LEAST, "  ")
    if plan.left_out:
        lines += heading("Out, and nothing on the lists mends it: decide by hand")
        for finding in plan.left_out:
            lines += wrapped(minus(finding.reason), "  ✕ ")
    lines += _next(job, points, whole=whole)
    lines += _order(order_of_work(plan.chosen, job.shop), whole=whole)
    lines += _price(quote(plan.chosen, job.shop))
    return lines


def unmeasured_text(job: Job, plan: Plan, *, whole: bool = False) -> list[str]:
    """What stands for a plan while no limit has a reading: what to measure first."""
    lines = heading("Nothing is measured yet: no plan to approve")
    lines += wrapped("Measure these first; then ask for the plan again:", "  ")
    points = open_points(job, plan)
    for point in points if whole else points[:_POINTS]:
        name = told(point.group, job.words, job.state.sizes)
        lines += wrapped(f"{name}. {point.do}".strip(), "  ? ")
    if len(points) > _POINTS and not whole:
        lines.append(f"    and {len(points) - _POINTS} more; --all lists them")
    return lines


def approval_text(job: Job, plan: Plan, digest: str) -> list[str]:
    """How the plan is approved; nothing while no limit has a reading. digest: as it is named."""
    if not anything_measured(job.findings):
        return []
    far = ", as far as measured" if unread(job, open_points(job, plan)) else ""
    return [
        "",
        f"This is plan {digest}. To record that it is approved{far}:",
        f'  sparkout record JOB --kind approval --field "what=plan {digest}" \\',
        "      --field by_whom=NAME --field how=phone",
    ]


def _head(job: Job, points: tuple[OpenPoint, ...]) -> list[str]:
    missing = unread(job, points)
    if not missing:
        return heading("The plan: cheapest that holds every limit, proven")
    lines = heading("The plan: cheapest that holds every limit, proven for what was read")
    what = "One thing is not read yet and is" if missing == 1 else (
        f"{missing} things are not read yet and are"
    )  # fmt: skip
    return lines + wrapped(f"{what} taken to be in order: see what to measure next.", "  ! ")


def stuck_text(stuck: Stuck) -> list[str]:
    """Why there is no plan: the smallest set of facts that cannot hold together."""
    lines = heading("No plan holds every limit")
    lines += wrapped("These cannot all be met, whatever is done; give way on one of them:")
    for sentence in (*stuck.sentences, *(finding.reason for finding in stuck.left_out)):
        lines += wrapped(minus(sentence), "  ✕ ")
    if stuck.reliefs:
        lines += heading("Any of these would make a plan: the cheapest first")
        for relief in stuck.reliefs:
            lines += wrapped(minus(relief.sentence), "  ▸ ")
    return lines


def _next(job: Job, points: tuple[OpenPoint, ...], *, whole: bool) -> list[str]:
    """What is not known yet and could change the plan, with what to do about it."""
    if not points and not job.located.questioned:
        return []
    lines = heading("What to measure next: it could change the plan")
    for point in points if whole else points[:_POINTS]:
        text = f"{told(point.group, job.words, job.state.sizes)}: {point.changes}. {point.do}"
        lines += wrapped(text.strip(), "  ? ")
    if len(points) > _POINTS and not whole:
        lines.append(f"    and {len(points) - _POINTS} more; --all lists them")
    for item in job.located.questioned:
        where = f"{item.typed.feature}, {item.typed.characteristic}"
        lines += wrapped(f"{where}: confirm or correct the reading {item.typed.typed}.", "  ? ")
    return lines


def _reason(same: tuple[Reason, ...], *, whole: bool) -> list[str]:
    """A choice with what forced it; `same` are several that differ in the feature alone."""
    reason = same[0]
    lines = wrapped(minus(reason.sentence), "  ▸ ")
    if len(same) > 1:
        others = ", ".join(other.group for other in same[1:])
        lines += wrapped(f"Likewise {others}.", "    ")
    refused = [item for item in reason.refused if item.extra != 0]
    told_of = refused
    if not whole:
        told_of = [item for item in refused if item.sentence not in reason.sentence][:3]
        told_of = told_of if len(refused) > 1 else []
    alike: dict[str, list[str]] = {}
    for item in told_of:
        alike.setdefault(item.sentence, []).append(f"“{item.words}”")
    for sentence, options in alike.items():
        lines += wrapped(minus(f"not {' nor '.join(options)}: {sentence}"), "      ", "        ")
    return lines


def _fewer(words: tuple[str, ...], *, whole: bool) -> list[str]:
    """All amounts, or one for each kind where many are alike (sixteen seats)."""
    if whole or len(words) <= 8:
        return list(words)
    kept = [text for text in words if not text.startswith("sink of seat")]
    seats = [text for text in words if text.startswith("sink of seat")]
    return kept + seats[:1] + ([f"{len(seats) - 1} more seats alike"] if len(seats) > 1 else [])


def _order(steps: tuple[Step, ...], *, whole: bool) -> list[str]:
    lines = heading("Order of work")
    for step in steps:
        where = _some(step.features)
        title = f"{step.title}: {where}" if where else step.title
        lines += wrapped(title, f"  {step.number:>2}. ")
        for why in step.after if whole else step.after[:1]:
            lines += wrapped(why, "      ")
        if step.look:
            lines += wrapped(f"Stop and look: {step.look}", "      ")
        if whole and step.read:
            read = ", ".join(str(key) for key in step.read[:8])
            more = f" and {len(step.read) - 8} more" if len(step.read) > 8 else ""
            lines += wrapped(f"Read afterwards: {read}{more}", "      ")
    return lines


def _some(features: tuple[str, ...]) -> str:
    """`rod journal 1 to 4` rather than four names, where they are of one kind."""
    kinds = {name.rsplit(" ", 1)[0] for name in features}
    if len(features) > 2 and len(kinds) == 1:
        kind = kinds.pop()
        return f"{kind}s " + ", ".join(name.rsplit(" ", 1)[1] for name in features)
    return ", ".join(features)


def _price(price: Quote) -> list[str]:
    lines = heading("Price")
    rows = [(f"  {line.title}", line.note, price.money(line.amount)) for line in price.lines]
    rows.append(("  plan", f"{float(price.hours):.1f} h, about {price.days} days",
                 price.money(price.firm)))  # fmt: skip
    if price.contingency:
        rows.append(("  contingency", "only on approval", price.money(price.contingency)))
    if price.tax:
        rows.append(("  tax", "", price.money(price.tax)))
    rows.append(("  in all", "", price.money(price.total)))
    lines += table(rows, right=(2,))
    missing = not_in_said((price,))
    return lines + (wrapped(missing, "  ") if missing else [])

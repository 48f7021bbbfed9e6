"""The answer to a what-if question in a terminal: how it was read, what it costs, what changes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction

from sparkout.engine.dimension import Dimension, Key
from sparkout.fits import Instance
from sparkout.fits.ratio import ratio_of
from sparkout.judge.words import Words
from sparkout.plan.offers import days_of
from sparkout.plan.whatif import AmountChange, Answer, MarginChange, OptionChange
from sparkout.plan.whatif.compare import options_changed
from sparkout.price.money import said
from sparkout.price.quote import quote
from sparkout.report.grouping import minus
from sparkout.report.text.layout import heading, wrapped

__all__ = ["answer_text", "depth_lines", "option_lines", "shape_of"]

_MARGINS = 5
_LIKE = 4
_NEAR = Fraction(1, 4)


def answer_text(
    answer: Answer, words: Words, currency: str, follows: str = "", spent: int = 0
) -> list[str]:
    """Everything `ask` says. follows: the plan it starts from, in a sentence; spent: cents of the
    work in it that is done."""
    lines = heading(f"What if: {answer.text}")
    if follows:
        done = f" Work for {said(spent, currency)} is done." if spent else ""
        lines += wrapped(f"Starts from: {follows}{done}", "  ")
    lines += wrapped(minus("Read as: " + "; ".join(answer.understood)) + ".", "  ")
    for text in answer.assumed:
        lines += wrapped(minus(text), "  ")
    if answer.plan is None:
        lines += heading("It cannot be")
        for text in answer.why_not:
            lines += wrapped(minus(text), "  ✕ ")
        return lines
    lines += heading("What changes")
    lines += wrapped(_money(answer, currency, spent), "  ▸ ")
    changed = [*option_lines(answer.options), *depth_lines(answer.amounts, words)]
    lines += changed or ["  • nothing is done otherwise than planned"]
    lines += _quicker(answer, currency)
    lines += _margins(answer, words)
    return lines


def _money(answer: Answer, currency: str, spent: int) -> str:
    assert answer.plan is not None
    if not answer.cost:
        days = "and days stay as they are" if not answer.more_days else (
            f"stays as it is; {_days(answer.more_days)}"
        )  # fmt: skip
        return f"Price {days}."
    more = "more" if answer.cost > 0 else "less"
    now = quote(answer.plan.chosen, answer.shop)
    days = f", {_days(answer.more_days)}" if answer.more_days else ", as many days"
    whole = "what is left is" if spent else "in all"
    return (
        f"{said(abs(answer.cost), currency)} {more} for work and parts{days}; "
        f"{whole} at most {now.money(now.total)}, with reserve and tax."
    )


def _days(days: int) -> str:
    many = abs(days)
    return f"{many} {'day' if many == 1 else 'days'} {'more' if days > 0 else 'less'}"


def _quicker(answer: Answer, currency: str) -> list[str]:
    """What would go faster than the answer, and what it costs."""
    assert answer.plan is not None
    if answer.instead is None:
        slower = "Nothing that holds every limit takes as few days as the plan at hand."
        return wrapped(slower, "  ! ") if answer.more_days > 0 else []
    more = answer.instead.cost - answer.was.cost
    days = days_of(answer.instead.chosen, answer.shop)
    price = f"{said(abs(more), currency)} {'more' if more >= 0 else 'less'}"
    head = f"Without that wait: {days} days in all, {price} than the plan at hand, with"
    other = options_changed(answer.plan, answer.instead)
    lines = wrapped(f"{head} {len(other)} {'choice' if len(other) == 1 else 'choices'} otherwise:",
                    "  ! ")  # fmt: skip
    for item in other[:_LIKE]:
        lines += wrapped(minus(f"{item.now_words or item.group}."), "    ")
    return lines


def _ratios(answer: Answer) -> list[str]:
    """Compression ratios that are others now, with their limits."""
    assert answer.plan is not None
    found: dict[str, list[str]] = {}
    for finding in answer.plan.after:
        instance = finding.check.instance
        if not instance.inner:
            continue
        was, now = (_ratio(instance, plan.sizes) for plan in (answer.was, answer.plan))
        if was == now or not now:
            continue
        bounds = f" (limit {finding.bounds.typed})" if finding.bounds else ""
        text = f"{finding.check.limit.name}{{}}: {now}, {was or 'not known'} before{bounds}"
        found.setdefault(text, []).append(instance.feature)
    lines: list[str] = []
    for text, features in found.items():
        names = list(dict.fromkeys(features))
        lines += wrapped(text.format(" of " + ", ".join(names)) + ".", "    ")
    return lines


def _ratio(instance: Instance, sizes: Mapping[Key, Dimension]) -> str:
    ratio = ratio_of(instance, sizes)
    return "" if ratio is None else " to ".join(dict.fromkeys(f"{value:.2f}" for value in ratio))


def option_lines(changes: Iterable[OptionChange]) -> list[str]:
    """What is done otherwise; the same for several features said once."""
    found: dict[tuple[str, str], list[OptionChange]] = {}
    for item in changes:
        found.setdefault(
            (shape_of(item, item.was_words), shape_of(item, item.now_words)), []
        ).append(item)
    lines: list[str] = []
    for same in found.values():
        first = same[0]
        now = first.now_words or f"nothing is decided on {first.group}"
        was = first.was_words or f"nothing on {first.group}"
        text = f"{now[0].upper()}{now[1:]}; until now: {was}"
        if len(same) > 1:
            text += f". Likewise {', '.join(item.group for item in same[1:])}"
        lines += wrapped(minus(text) + ".", "  • ")
    return lines


def shape_of(item: OptionChange, text: str) -> str:
    """A text without the number or side of the group it is about."""
    for word in item.group.split():
        if re.fullmatch(r"[IE]?\d+|left|right", word):
            text = re.sub(rf"\b{re.escape(word)}\b", "#", text)
    return text


def depth_lines(changes: Iterable[AmountChange], words: Words) -> list[str]:
    """Depths that are others now."""
    lines: list[str] = []
    for item in changes:
        was, now = (words.value(value, "deck height") for value in (item.was, item.now))
        name = f"{item.amount[0].upper()}{item.amount[1:]}"
        lines += wrapped(f"{name}: {now} instead of {was}.", "  • ")
    return lines


def _margins(answer: Answer, words: Words) -> list[str]:
    """Limits that come nearer, the tightest first, and what becomes of the ratios."""
    some = [item for item in answer.margins if item.now is not None and item.was is not None]
    nearer = [item for item in some if item.now < item.was]  # type: ignore[operator]
    lines: list[str] = []
    if nearer:
        lines += ["", "  Limits that come nearer, the tightest first:"]
    for item in nearer[:_MARGINS]:
        lines += _margin(item, words)
    if len(nearer) > _MARGINS:
        lines.append(f"    and {len(nearer) - _MARGINS} more that come nearer")
    ratios = _ratios(answer)
    return [*lines, "", "  Ratios:", *ratios] if ratios else lines


def _margin(item: MarginChange, words: Words) -> list[str]:
    assert item.was is not None
    assert item.now is not None
    feature, _, limit = item.check.partition(": ")
    where = limit if feature in limit else f"{limit} of {feature}"
    was, now = (words.value(value, item.characteristic) for value in (item.was, item.now))
    near = " (tight)" if item.share is not None and item.share < _NEAR else ""
    return wrapped(minus(f"{where}: {now} to its limit, {was} before{near}."), "    ")

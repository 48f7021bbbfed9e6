"""The bill of parts in a terminal: what to order now, what is here, what a reading decides."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sparkout.judge.words import Words
from sparkout.plan.parts import HERE, NOW, SHELF, WHEN_READ, PartLine
from sparkout.price.money import said
from sparkout.report.grouping import minus
from sparkout.report.materials import Material
from sparkout.report.text.layout import heading, wrapped

__all__ = ["parts_text"]

_HEADS = (
    (NOW, "Order now"),
    (WHEN_READ, "Order when this is read, not before"),
    (SHELF, "On the shelf: take it"),
    (HERE, "Here already"),
)
_OTHERS = 2
_USES = 2


def parts_text(
    lines: Sequence[PartLine],
    words: Words,
    currency: str,
    used: Sequence[Material] = (),
    *,
    whole: bool = False,
) -> list[str]:
    """Everything `parts` says. used: materials beside the parts. whole: sizes, every use, and every
    alternative with what stands against it."""
    text: list[str] = []
    for state, title in _HEADS:
        some = [line for line in lines if line.state == state]
        if some:
            text += heading(title)
        for line in some:
            text += _line(line, words, currency, whole=whole)
    if not text:
        text = [*heading("Parts"), "  none: the plan buys nothing"]
    total = sum(line.price for line in lines)
    text += ["", f"{len(lines)} parts, {said(total, currency)} in all, before reserve and tax."]
    longest = max(lines, key=lambda line: line.days, default=None)
    if longest is not None and longest.days:
        text += wrapped(f"The longest wait is {longest.days} days, for {longest.part}.")
    return text + _materials(used, currency, whole=whole)


def _materials(used: Sequence[Material], currency: str, *, whole: bool) -> list[str]:
    """What the job uses up beside its parts, and where."""
    if not used:
        return []
    text = heading("Materials: not in the sum above")
    for item in used:
        uses = list(item.uses)
        rest = len(uses) - _USES
        if rest > 0 and not whole:
            uses = [*uses[:_USES], f"{rest} more"]
        where = "; ".join(one[0].lower() + one[1:] for one in uses)
        text += wrapped(f"{item.name}: {where}. {_price_of(item, currency)}.", "  • ")
    missing = "How much of each is not said; what has no price is in no price of the plan."
    return [*text, *wrapped(missing, "  ")]


def _price_of(item: Material, currency: str) -> str:
    if item.price is not None:
        return f"{said(item.price, currency)} as it is sold"
    if item.share:
        return f"In the shop's {item.share:g} % on work"
    return "Price not given"


def _line(line: PartLine, words: Words, currency: str, *, whole: bool) -> list[str]:
    sold = "" if line.sold_in == 1 else f" ({line.packages} × set of {line.sold_in})"
    wait = f", {line.days} days" if line.days else ""
    where = _groups(line.groups)
    text = wrapped(
        f"{line.pieces} × {line.part}{sold}, {said(line.price, currency)}{wait}: for {where}.",
        "  ▸ ",
    )
    for reason in line.unsure:
        text += wrapped(f"May not be needed: {minus(reason)} Read that again first.", "      ")
    if line.hangs_on:
        text += _hangs(line)
    if whole and line.sizes:
        sizes = [f"{name} {words.bounds(bounds, name)}" for name, bounds in line.sizes]
        text += wrapped(minus(f"Measure on arrival: {'; '.join(sizes)}."), "      ")
    able = [item for item in line.instead if not item.why]
    barred = [item for item in line.instead if item.why]
    shown = [*able, *(barred if whole else ())]
    for item in shown if whole else shown[:_OTHERS]:
        more = "" if item.more is None else f", {_more(item.more, currency)}"
        days = f", {item.days} days" if item.days else ""
        why = f": no, {item.why}" if item.why else ""
        text += wrapped(minus(f"or {' + '.join(item.parts)}{more}{days}{why}"), "      ")
    return text


def _more(cents: int, currency: str) -> str:
    if not cents:
        return "same price"
    return f"{said(abs(cents), currency)} {'more' if cents > 0 else 'less'}"


def _hangs(line: PartLine) -> list[str]:
    """What decides whether it fits: the sizes by the work that makes them."""
    by_work: dict[str, list[str]] = {}
    for key, operation in line.hangs_on:
        by_work.setdefault(operation, []).append(key.characteristic)
    told = "; ".join(
        f"{', '.join(dict.fromkeys(names))} after “{operation}”"
        for operation, names in by_work.items()
    )
    sure = "" if line.sure is None else f" ({_chance(line.sure)} sure to fit as planned)"
    verb = "Read before it is fitted" if line.state in (HERE, SHELF) else "It hangs on"
    return wrapped(f"{verb}: {told}{sure}.", "      ")


def _chance(value: float) -> str:
    return "over 99 %" if value > 0.99 else f"{value:.0%}".replace("%", " %")


def _groups(names: Iterable[str]) -> str:
    some = list(names)
    if len(some) <= 2:
        return " and ".join(some)
    return f"{some[0]} and {len(some) - 1} more"

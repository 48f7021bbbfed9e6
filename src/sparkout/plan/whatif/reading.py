"""From a line of plain words to changes. The forms are few and fixed; docs/plan.md lists them.

A line may hold several questions, parted by `and` or `;`. What cannot be read is a fault that says
what would be right.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sparkout.faults import Fault, Place
from sparkout.plan.forms import AmountSpec, Group, Option
from sparkout.plan.whatif.changes import (
    Bring,
    BringFeatures,
    Change,
    Cost,
    Depth,
    Ignore,
    Refuse,
    Supplied,
    Take,
)
from sparkout.plan.whatif.dates import days_said, until
from sparkout.plan.whatif.naming import alike, close_to, meant, told_once
from sparkout.plan.whatif.vocabulary import Vocabulary, component
from sparkout.units import QuantityError, parse, quoted

__all__ = ["FORMS", "Asked", "read_question"]

FORMS = (
    "deck 0.05 more", "head cut 0.10", "grind mains too", "without sleeving", "keep the followers",
    "no piston kit +0.50 until March", "main shells 20 days", "rod bolt costs 90",
    "customer brings his own crank", "ignore flywheel runout",
)  # fmt: skip

_PLACE = Place(key="question")
_BRINGS = re.compile(r"(?:the\s+)?(?:customer|owner)\s+(?:brings|supplies|provides|has)\s+"
                     r"(?:(?:his|her|its|their|the|an|a|own)\s+)*(?P<what>.+)", re.I)  # fmt: skip
_IGNORE = re.compile(r"(?:ignore|never mind|forget)\s+(?P<what>.+)", re.I)
_KEEP = re.compile(r"(?:keep|leave)\s+(?P<what>.+?)(?:\s+(?:as (?:it is|they are)|alone))?", re.I)
_WITHOUT = re.compile(r"(?:without|not)\s+(?P<what>.+)", re.I)
_NO = re.compile(r"no\s+(?P<what>.+?)(?:\s+(?:until|till|before)\s+(?P<when>.+))?", re.I)
_COSTS = re.compile(r"(?P<what>.+?)\s+(?:costs?|at)\s+(?P<money>\d+(?:[.,]\d{1,2})?)"
                    r"(?:\s*[A-Za-z]{3})?(?:\s+each)?", re.I)  # fmt: skip
_DAYS = re.compile(r"(?P<what>.+?)\s+(?:takes?\s+|in\s+|comes?\s+in\s+)?"
                   r"(?P<count>\d{1,4}\s*(?:days?|weeks?|months?))", re.I)  # fmt: skip
_ON = re.compile(r"(?P<what>.+?)\s+(?:comes?\s+)?(?:on|not before|not until)\s+(?P<when>.+)", re.I)
_UNIT = r"(?:mm|in|inch(?:es)?|\"|thou|tenths?|µm|um|microns?)"
_DEPTH = re.compile(
    rf"(?P<what>.+?)\s+(?:by\s+)?(?P<sign>[+\-\N{{MINUS SIGN}}])?(?P<size>\d*[.,]?\d+\s*{_UNIT}?)"
    r"(?:\s+(?P<way>more|deeper|less|shallower))?",
    re.I,
)
_TOO = re.compile(r"(?:(?:also|with|fit|take)\s+)?(?P<what>.+?)(?:\s+(?:too|also|as well))?", re.I)


@dataclass(frozen=True, slots=True)
class Asked:
    """What was understood. said: each change as a sentence; assumed: what was taken for granted."""

    changes: tuple[Change, ...]
    said: tuple[str, ...]
    assumed: tuple[str, ...] = ()

    def with_more(self, other: Asked) -> Asked:
        return Asked(
            self.changes + other.changes, self.said + other.said, self.assumed + other.assumed
        )


class _Unread(Exception):  # noqa: N818  (it carries a fault to the border of this module)
    def __init__(self, fault: Fault) -> None:
        super().__init__(fault)
        self.fault = fault


@dataclass(frozen=True, slots=True)
class _Context:
    """planned: the amounts of the plan at hand in mm. unit: of bare numbers (`mm` or `in`)."""

    known: Vocabulary
    today: date
    planned: dict[str, Fraction]
    unit: str


def read_question(
    text: str, known: Vocabulary, today: date, planned: dict[str, Fraction], unit: str
) -> tuple[Asked | None, tuple[Fault, ...]]:
    """The changes a line asks for, or the faults that say why it cannot be read."""
    plain = " ".join(text.split()).rstrip("?.! ")
    plain = re.sub(r"^(?:what if|and if|if)\s+", "", plain, flags=re.I)
    if not plain:
        return None, (Fault(_PLACE, "nothing", "a question such as 'deck 0.05 more'"),)
    ctx = _Context(known, today, planned, unit)
    asked = Asked((), ())
    faults: list[Fault] = []
    for phrase in filter(None, (part.strip() for part in plain.split(";"))):
        try:
            asked = asked.with_more(_phrase(phrase, ctx))
        except _Unread as unread:
            faults.append(unread.fault)
    return (None if faults else asked), tuple(faults)


def _phrase(phrase: str, ctx: _Context) -> Asked:
    """One phrase as a whole; where that cannot be read and holds an `and`, its parts."""
    try:
        return _one(phrase, ctx)
    except _Unread:
        parts = re.split(r"\s+and\s+|,\s+(?=no |without |keep |ignore )", phrase, flags=re.I)
        if len(parts) == 1:
            raise
    asked = Asked((), ())
    for part in parts:
        asked = asked.with_more(_one(part.strip(" ,"), ctx))
    return asked


def _one(phrase: str, ctx: _Context) -> Asked:
    for pattern, reader in _READERS:
        found = pattern.fullmatch(phrase)
        if found is not None:
            asked = reader(found, phrase, ctx)
            if asked is not None:
                return asked
    every = [item.name for item in (*ctx.known.parts, *ctx.known.groups, *ctx.known.amounts)]
    every += [option.words for group in ctx.known.problem.groups for option in group.options]
    raise _unread(phrase, f"a question such as {FORMS[0]!r} or {FORMS[4]!r}", every)


def _unread(found: str, expected: str, names: Iterable[str]) -> _Unread:
    return _Unread(Fault(_PLACE, quoted(found), expected, close_to(found, names)))


# One reader for each form ----------------------------------------------------------------------


def _brings(found: re.Match[str], phrase: str, ctx: _Context) -> Asked:
    what = found["what"]
    kinds = component(what)
    if kinds:
        assumed = (
            f"{what} of the customer's: every size in the middle of its new limits, every form at "
            "its limit. Measure it on arrival: what it really measures may change the answer.",
        )
        said = f"the customer brings a {what} of his own"
        return Asked((BringFeatures(what, kinds),), (said,), assumed)
    parts = meant(what, ctx.known.parts)
    if not parts:
        raise _unread(what, "a part or a component", [n.name for n in ctx.known.parts])
    return Asked(
        tuple(Bring(part) for part in parts),
        tuple(f"the customer brings {part}: no price, no wait" for part in parts),
        ("What a customer brings is measured before it is used, like any part.",),
    )


def _ignored(found: re.Match[str], phrase: str, ctx: _Context) -> Asked:
    named = set(meant(re.sub(r"\bof\b", "", found["what"]), ctx.known.limits))
    names = tuple(
        check.name
        for check in ctx.known.problem.checks
        if check.name in named or check.limit.name in named
    )
    if not names:
        raise _unread(found["what"], "a limit", [n.name for n in ctx.known.limits])
    limits = {check.limit.name for check in ctx.known.problem.checks if check.name in names}
    if len(limits) > 1:
        raise _several(found["what"], sorted(limits))
    return Asked(
        (Ignore(names),),
        (f"{limits.pop()} is not asked for",),
        ("The limit stands on the data sheet all the same: who leaves it out answers for it.",),
    )


def _kept(found: re.Match[str], phrase: str, ctx: _Context) -> Asked:
    what = found["what"]
    groups = ctx.known.groups_meant(what)
    if not groups:
        options = ctx.known.options_meant(what)
        groups = tuple(dict.fromkeys(group for group, _ in options))
    groups = tuple(g for g in groups if any(o.name == g.keep for o in g.options))
    if not groups:
        names = [group.name for group in ctx.known.problem.groups if group.keep]
        raise _unread(what, "something that can be left as it is", names)
    if not alike(group.name for group in groups) and not component(what):
        raise _several(what, [group.name for group in groups])
    return Asked(
        tuple(Take(group.name, (group.keep,)) for group in groups),
        told_once(group.option(group.keep).words for group in groups),
    )


def _refused(found: re.Match[str], phrase: str, ctx: _Context) -> Asked:
    options = ctx.known.options_meant(found["what"])
    if options:
        return _refuse(options)
    parts = meant(found["what"], ctx.known.parts)
    if parts:
        return Asked(
            tuple(Supplied(part, None) for part in parts),
            tuple(f"{part} is not to be had" for part in parts),
        )
    names = [o.words for g in ctx.known.problem.groups for o in g.options if o.name != g.keep]
    raise _unread(found["what"], "work or a part of this job", names)


def _refuse(options: tuple[tuple[Group, Option], ...]) -> Asked:
    by_group: dict[str, list[str]] = {}
    for group, option in options:
        by_group.setdefault(group.name, []).append(option.name)
    return Asked(
        tuple(Refuse(group, tuple(names)) for group, names in by_group.items()),
        told_once(f"not: {option.words}" for _, option in options),
    )


def _no(found: re.Match[str], phrase: str, ctx: _Context) -> Asked:
    parts = meant(found["what"], ctx.known.parts)
    if not parts:
        if found["when"] is not None:
            raise _unread(found["what"], "a part", [n.name for n in ctx.known.parts])
        return _refused(found, phrase, ctx)
    if found["when"] is None:
        return Asked(
            tuple(Supplied(part, None) for part in parts),
            tuple(f"{part} is not to be had" for part in parts),
        )
    return _later(parts, found["when"], ctx)


def _later(parts: tuple[str, ...], when: str, ctx: _Context) -> Asked:
    day = until(when, ctx.today)
    if day is None:
        raise _Unread(
            Fault(
                _PLACE,
                f"{quoted(when)} as a date",
                "a day from today on: March, 4 May, Friday, 2 weeks or 2027-03-01",
            )
        )
    days = (day - ctx.today).days
    return Asked(
        tuple(Supplied(part, days, day) for part in parts),
        tuple(f"{part} comes on {day.isoformat()}, in {days} days" for part in parts),
        (f"{quoted(when)} is read as {day.isoformat()}; today is {ctx.today.isoformat()}.",),
    )


def _costs(found: re.Match[str], phrase: str, ctx: _Context) -> Asked | None:
    parts = meant(found["what"], ctx.known.parts)
    if not parts:
        return None
    price = Fraction(found["money"].replace(",", "."))
    return Asked(
        tuple(Cost(part, price) for part in parts),
        tuple(f"{part} costs {float(price):.2f}" for part in parts),
    )


def _days(found: re.Match[str], phrase: str, ctx: _Context) -> Asked:
    parts = meant(found["what"], ctx.known.parts)
    days = days_said(found["count"])
    assert days is not None
    if not parts:
        raise _unread(found["what"], "a part", [n.name for n in ctx.known.parts])
    return Asked(
        tuple(Supplied(part, days) for part in parts),
        tuple(f"{part} comes in {days} days" for part in parts),
    )


def _on(found: re.Match[str], phrase: str, ctx: _Context) -> Asked | None:
    parts = meant(found["what"], ctx.known.parts)
    if not parts or until(found["when"], ctx.today) is None:
        return None
    return _later(parts, found["when"], ctx)


def _depth(found: re.Match[str], phrase: str, ctx: _Context) -> Asked | None:
    names = meant(found["what"], ctx.known.amounts)
    if not names or (found["sign"] and not found["sign"].strip("+") and found["way"]):
        return None
    if not alike(names):
        raise _several(found["what"], names)
    try:
        size = parse(found["size"], "length", ctx.unit).value
    except QuantityError as wrong:
        raise _Unread(Fault(_PLACE, wrong.found, wrong.expected, wrong.remedy)) from wrong
    way = found["way"]
    changes = []
    for name in names:
        value = size
        if way or found["sign"]:
            less = way in ("less", "shallower") or (found["sign"] or "+") != "+"
            value = ctx.planned.get(name, Fraction(0)) + (-size if less else size)
        changes.append(_in_steps(name, value, ctx))
    said = tuple(f"{change.amount} is {_shown(change.value, ctx)}" for change in changes)
    return Asked(tuple(changes), said)


def _in_steps(name: str, value: Fraction, ctx: _Context) -> Depth:
    spec = _spec(name, ctx)
    if value < 0:
        found = f"{name} of {_shown(value, ctx)}"
        raise _Unread(Fault(_PLACE, found, f"a depth; the plan has {_planned(name, ctx)}"))
    low = value // spec.step * spec.step
    if low != value:
        near = f"{_shown(low, ctx)} or {_shown(low + spec.step, ctx)}"
        step = f"whole steps of {_shown(spec.step, ctx)}, as the machine's dial goes"
        raise _Unread(Fault(_PLACE, f"{name} of {_shown(value, ctx)}", step, f"Ask for {near}."))
    return Depth(name, value)


def _planned(name: str, ctx: _Context) -> str:
    return _shown(ctx.planned.get(name, Fraction(0)), ctx)


def _shown(value: Fraction, ctx: _Context) -> str:
    """A depth in the shop's unit, to a digit more than it is read to."""
    if ctx.unit == "in":
        return f"{float(value / Fraction(254, 10)):.4f} in"
    return f"{float(value):.4g} mm"


def _spec(name: str, ctx: _Context) -> AmountSpec:
    return next(s for group in ctx.known.problem.groups for s in group.amounts if s.name == name)


def _taken(found: re.Match[str], phrase: str, ctx: _Context) -> Asked | None:
    options = ctx.known.options_meant(found["what"])
    if not options:
        return None
    by_group: dict[str, list[str]] = {}
    for group, option in options:
        by_group.setdefault(group.name, []).append(option.name)
    if not alike(by_group):
        raise _several(found["what"], [option.words for _, option in options])
    words = dict.fromkeys(option.words for _, option in options)
    return Asked(
        tuple(Take(group, tuple(names)) for group, names in by_group.items()),
        (" or ".join(words),) if len(by_group) == 1 else told_once(words),
    )


def _several(found: str, names: Iterable[str]) -> _Unread:
    some = list(dict.fromkeys(names))
    listed = ", ".join(f"'{name}'" for name in some[:6]) + (", …" if len(some) > 6 else "")
    return _Unread(Fault(_PLACE, f"{quoted(found)}, which may be {listed}", "one of them", "Say "
                         "which in the words of the list."))  # fmt: skip


_Reader = Callable[[re.Match[str], str, _Context], Asked | None]

# Tried in this order: what begins with its own word first, then depths, last bare names of work.
_READERS: tuple[tuple[re.Pattern[str], _Reader], ...] = (
    (_BRINGS, _brings),
    (_IGNORE, _ignored),
    (_KEEP, _kept),
    (_WITHOUT, _refused),
    (_NO, _no),
    (_COSTS, _costs),
    (_DAYS, _days),
    (_ON, _on),
    (_DEPTH, _depth),
    (_TOO, _taken),
)

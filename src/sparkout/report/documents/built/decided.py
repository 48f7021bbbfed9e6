"""What was decided and approved, which grades were chosen, and what has to be stamped."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.job.bodies import Choice
from sparkout.plan.decide import Plan
from sparkout.plan.forms import SetTo
from sparkout.report.alike import alike
from sparkout.report.documents.built.removed import Removed, removed
from sparkout.report.documents.source import Source, day
from sparkout.report.documents.steps.numbers import short_names
from sparkout.report.documents.why import why
from sparkout.report.documents.wording import sentence
from sparkout.report.grouping import minus

__all__ = ["choices", "decisions", "grades", "stampings"]

# Parts that come in thicknesses and are chosen for what was measured.
_GRADED = ("gasket", "base gasket", "liner shim", "injector washer", "thrust washers", "lash shim")
# What the next shop cannot see from outside: kinds of feature whose size was moved.
_STAMPED = {
    "bore diameter": ("block", "bores"),
    "main journal diameter": ("front web of the crankshaft", "main journals"),
    "rod journal diameter": ("front web of the crankshaft", "rod journals"),
    "main housing diameter": ("block", "main housings"),
}


def decisions(source: Source) -> list[list[str]]:
    """What the plan does and why, as decided before the work."""
    plan = source.decided
    if not isinstance(plan, Plan):
        return []
    findings = {finding.check.name: finding for finding in source.found}
    rows = []
    for number, same in enumerate(alike(plan.reasons), 1):
        text = sentence(same[0].words, end="")
        if len(same) > 1:
            text += f"; the same on {short_names(reason.group for reason in same[1:])}"
        rows.append([str(number), text, minus(why(plan, same, findings))])
    return rows


def choices(source: Source) -> list[list[str]]:
    """Decisions that people entered."""
    return [
        [day(entry.at), body.what, body.option, body.reason or "no reason entered", entry.by]
        for entry in source.job.replayed.effective
        if isinstance(body := entry.body, Choice)
    ]


def grades(source: Source) -> list[list[str]]:
    """Gaskets, shims and washers by their thickness, and where they go."""
    plan = source.decided
    if not isinstance(plan, Plan):
        return []
    kinds = {part.name: part for part in source.job.sheet.parts}
    rows = []
    for group, option in plan.chosen:
        for use in option.parts:
            part = kinds.get(use.part)
            if part is None or part.kind not in _GRADED:
                continue
            sizes = "; ".join(
                f"{name} {minus(bounds.typed)}" for name, bounds in part.sizes.items()
            )
            rows.append([part.kind, part.name, str(use.count), short_names(group.features), sizes])
    return rows


def stampings(source: Source) -> list[list[str]]:
    """What has to be stamped so that the next shop knows: what is under or over standard, and
    faces that were cut. Where is common practice."""
    plan = source.decided
    if not isinstance(plan, Plan):
        return []
    found: dict[tuple[str, str], list[str]] = {}
    for _, option in plan.chosen:
        for effect in option.effects:
            if not isinstance(effect, SetTo) or not effect.size:
                continue
            place = _STAMPED.get(effect.key.characteristic)
            if place is not None:
                sign = "+" if effect.size > 0 else "−"
                amount = source.words.value(abs(effect.size), effect.key.characteristic)
                found.setdefault((place[0], f"{sign}{amount}"), []).append(effect.key.feature)
    rows = [[where, size, short_names(names)] for (where, size), names in found.items()]
    for kind in ("deck", "head"):
        for feature in source.job.frame.of_kind(kind):
            off = removed(source, feature.name)
            if off is not None:
                rows.append(_cut(source, feature.name, off))
    return rows


def _cut(source: Source, face: str, off: Removed) -> list[str]:
    """A face that is or will be cut: all that comes off it, how that is known, what is left."""
    name = f"{face.split()[0]} height"
    earlier = Fraction(0) if off.before is None else off.before.off
    taken = minus(source.words.span(-off.least - earlier, -off.most - earlier, name))
    told = [f"{face} face cut, {off.by}"]
    if off.to_come and off.by != "as planned":
        told.append(f"{source.words.value(off.to_come, name)} of it still to come")
    if off.before is not None:
        here = minus(source.words.span(off.least, off.most, name))
        was = source.words.value(earlier, name)
        least = "at least " if off.before.at_least else ""
        taken = f"{least}{taken} in all"
        told.append(f"{here} here, {least}{was} before: {off.before.words}")
    known = off.by == "measured before and after" and not off.to_come
    sizes = source.job.state.sizes if known else getattr(source.plan, "sizes", {})
    size = sizes.get(Key(face, name))
    if size is not None:
        height = minus(source.words.span(size.low.value, size.high.value, name))
        told.append(f"{name} {'as left' if known else 'as planned'} {height}")
    return [face, taken, "; ".join(told)]

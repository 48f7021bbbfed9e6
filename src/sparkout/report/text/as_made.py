"""By which size what was read after work was judged, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterable

from sparkout.engine.dimension import Dimension, Key
from sparkout.judge.words import Words
from sparkout.plan.replan import SHORT, Approved, AsMade
from sparkout.plan.replan.naming import together
from sparkout.report.grouping import minus

__all__ = ["judged_by"]


def judged_by(
    keys: Iterable[Key], approved: Approved | None, made: AsMade | None, words: Words
) -> tuple[str, ...]:
    """For sizes read after work: what each was judged as, those that are alike in one sentence.

    approved, made: what that was taken from; None where nothing is approved and no work entered.
    """
    found: dict[tuple[str, str], list[str]] = {}
    for key in keys:
        size = None if made is None else made.given.get(key)
        name = key.characteristic
        found.setdefault((name, _as(name, size, approved, made, words)), []).append(key.feature)
    return tuple(minus(f"{_of(names, name)}: {text}") for (name, text), names in found.items())


def _of(features: list[str], characteristic: str) -> str:
    """`Diameter of rod journals 1 to 4`: a feature and what was read of it, spoken once."""
    kind = features[0].rsplit(" ", 1)[0]
    what = characteristic.removeprefix(kind).strip() or characteristic
    return f"{what[:1].upper()}{what[1:]} of {together(dict.fromkeys(features))}"


def _as(
    name: str,
    size: Dimension | None,
    approved: Approved | None,
    made: AsMade | None,
    words: Words,
) -> str:
    if approved is None:
        return (
            "judged as standard size. Nothing is approved, and no work in the log says that it was "
            "made to another; if it was, enter that work."
        )
    if made is None:
        return (
            "judged as standard size. The plan that was approved cannot be worked out again, so "
            "nothing says that it was made to another."
        )
    plan = (
        f"as the approved plan {approved.digest[:SHORT]} has it"
        if approved.given
        else "as the work in the log makes it; nothing is approved"
    )
    if size is None:
        own = f"the approved plan {approved.digest[:SHORT]}" if approved.given else (
            "no work in the log"
        )  # fmt: skip
        says = "does not change it" if approved.given else "changes it"
        return f"judged as standard size; {own} {says}."
    meant = words.reading(size.low, size.high, name)
    by = words.value(abs(size.size), "end play")
    over = f"{by} {'under' if size.size < 0 else 'over'}"
    if size.free:
        sized = f"{over}, {meant}" if size.size else meant
        return f"made to its part ({sized}), {plan}. Its fit is judged, not the size."
    if size.size:
        return f"judged as {over} ({meant}), {plan}."
    if size.as_new:
        return f"judged as new, standard size ({meant}), {plan}."
    return f"judged as standard size ({meant}), {plan}."

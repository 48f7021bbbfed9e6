"""Check entries that belong to no step, check or fastener of this engine."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sparkout.assembly.records import Record
from sparkout.assembly.step import CheckKind, Step
from sparkout.engine.characteristics import BY_NAME
from sparkout.faults import Fault
from sparkout.sheet.nearest import nearest

__all__ = ["strays"]

# Checks any step may have.
_ALWAYS = frozenset({"used", "substitute"})
_OF_JOINTS = ("loosen", "interrupted")


def strays(steps: Sequence[Step], recorded: Iterable[Record]) -> tuple[Fault, ...]:
    """A fault for each; the build goes on, as the entry stays in the log and can be corrected."""
    by_id = {step.id: step for step in steps}
    found = []
    for record in recorded:
        step = by_id.get(record.step)
        if step is None:
            found.append(_fault(record, "step", record.step, tuple(by_id), "a step of this build"))
            continue
        fault = _check(record, step)
        if fault is not None:
            found.append(fault)
    return tuple(found)


def _fault(record: Record, key: str, word: str, known: tuple[str, ...], expected: str) -> Fault:
    # the nearest to a single sign says nothing
    hint = nearest(word, known) if len(word) > 2 else ""
    remedy = f"Did you mean '{hint}'?" if hint else "Correct the entry, or withdraw it."
    shown = f"'{word}'" if word else "nothing"
    return Fault(record.place._replace(key=f"check, {key}"), shown, expected, remedy, stops=False)


def _check(record: Record, step: Step) -> Fault | None:
    if record.check in _ALWAYS:
        return None
    if step.joint is not None and (record.check.startswith("stage ") or record.check in _OF_JOINTS):
        return _fastener(record, step)
    names = tuple(dict.fromkeys(check.name for check in step.checks))
    if record.check == "":
        seen = [check.name for check in step.checks if check.kind is CheckKind.SEEN]
        if not step.checks or len(seen) == 1:
            return None
        return _fault(record, "step", record.step, (), f"{record.step}/ and one of: "
                      + ", ".join(names))  # fmt: skip
    if record.check not in names:
        if record.check in BY_NAME:
            return None  # a reading more than was asked for
        return _fault(record, "step", record.check, names, "one of: " + ", ".join(names))
    features = tuple(c.feature for c in step.checks if c.name == record.check and c.feature)
    if features and record.feature not in features and not record.waived:
        if record.check in BY_NAME:
            return None  # told where the reading is read
        return _fault(record, "feature", record.feature, features, "one of: "
                      + ", ".join(features))  # fmt: skip
    return None


def _fastener(record: Record, step: Step) -> Fault | None:
    assert step.joint is not None
    if record.check in _OF_JOINTS:
        return None
    names = tuple(place.name for place in step.joint.joint.places)
    if record.feature in names:
        return None
    return _fault(record, "feature", record.feature, names, "one of: " + ", ".join(names))

"""From a JSON object to a body, and back: the border where bad input becomes faults.

All faults of a body are given at once, each with the field, what stands there and what would be
right. Nothing is guessed and nothing is converted: a number must come as text, as it was typed.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from typing import Any, cast

from sparkout.faults import Fault, Place
from sparkout.job.bodies import KINDS, Body, Correction, Measured, Photo, Work
from sparkout.job.fields import LONGEST, Spec, specs

__all__ = ["body_as_dict", "freeze", "nearest", "read_body", "shown", "thaw"]

_SPECS: Mapping[type, Mapping[str, Spec]] = {
    record: specs(record) for record in (*KINDS.values(), Measured, Photo)
}
_REQUIRED: Mapping[type, tuple[str, ...]] = {
    record: tuple(name for name, spec in table.items() if spec.required)
    for record, table in _SPECS.items()
}
# For the many fields that are right at first sight: the words allowed, None for any text.
_AT_SIGHT: Mapping[type, Mapping[str, frozenset[str] | None]] = {
    record: {
        name: frozenset(spec.one_of) if spec.one_of else None
        for name, spec in table.items()
        if spec.shape == "text" and spec.pattern is None
    }
    for record, table in _SPECS.items()
}
_NOWHERE: frozenset[str] = frozenset()


def shown(value: object) -> str:
    """What stands there, said so that a person sees its type: 100.246 (a number)."""
    if isinstance(value, str):
        return f'"{value}"' if len(value) <= 80 else f'"{value[:77]}…" ({len(value)} characters)'
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        try:
            return f"{value} (a number)"
        except ValueError:  # Python writes no whole number of more than 4300 digits
            return "a number of thousands of digits"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return "an object"
    return repr(value)


def nearest(name: str, known: Iterable[str]) -> str:
    """'Did you mean "level"?', or nothing where no known name is near."""
    import difflib  # only where somebody mistyped

    near = difflib.get_close_matches(name, list(known), n=1, cutoff=0.6)
    return f'Did you mean "{near[0]}"?' if near else ""


def read_body(kind: str, found: object, place: Place) -> tuple[Body | None, tuple[Fault, ...]]:
    """The body of an entry of this kind, or None and every reason why not."""
    record = KINDS.get(kind)
    if record is None:
        fault = Fault(
            place._replace(key="kind"),
            shown(kind),
            f"one of {', '.join(KINDS)}",
            nearest(kind, KINDS),
        )
        return None, (fault,)
    faults: list[Fault] = []
    body = cast("Body | None", _record(record, found, place, kind, faults))
    if body is not None:
        faults.extend(_between_fields(body, place, kind))
    return (None, tuple(faults)) if faults else (body, ())


def _record(
    record: type, found: object, place: Place, key: str, faults: list[Fault]
) -> object | None:
    """One record of this class; its faults are added to the list."""
    if not isinstance(found, dict):
        faults.append(Fault(place._replace(key=key), shown(found), "an object of named fields"))
        return None
    table, at_sight = _SPECS[record], _AT_SIGHT[record]
    values: dict[str, Any] = {}
    before = len(faults)
    for name, value in found.items():
        if type(value) is str:
            words = at_sight.get(name, _NOWHERE)
            if (0 < len(value) <= LONGEST) if words is None else value in words:
                values[name] = value
                continue
        here = place._replace(key=f"{key}.{name}")
        spec = table.get(name)
        if spec is None:
            remedy = nearest(name, table)
            faults.append(Fault(here, "an unknown field", f"one of {', '.join(table)}", remedy))
        elif spec.shape == "text":
            if _text(spec, value, here, faults):
                values[name] = value
        elif spec.shape == "values":
            values[name] = _object(value, here, faults)
        elif not isinstance(value, list | tuple):
            faults.append(Fault(here, shown(value), "a list"))
        elif spec.shape == "texts":
            values[name] = tuple(
                part for part in value if _text(spec, part, here, faults, may_be_empty=False)
            )
        else:
            assert spec.of is not None
            values[name] = tuple(
                _record(spec.of, part, place, f"{key}.{name}[{at}]", faults)
                for at, part in enumerate(value, start=1)
            )
    for name in _REQUIRED[record]:
        if not found.get(name):
            if name in found and found[name] not in ("", [], ()):
                continue  # its own fault has been given
            meaning = table[name].meaning
            faults.append(Fault(place._replace(key=f"{key}.{name}"), "nothing", meaning))
    return None if len(faults) > before else record(**values)


def _text(
    spec: Spec, value: object, here: Place, faults: list[Fault], *, may_be_empty: bool = True
) -> bool:
    """True where the value is text that this field takes."""
    if not isinstance(value, str):
        quoted = f'text, as it was typed ("{value}")' if isinstance(value, int | float) else "text"
        faults.append(Fault(here, shown(value), "text" if isinstance(value, bool) else quoted))
        return False
    if len(value) > LONGEST:
        faults.append(Fault(here, shown(value), f"at most {LONGEST} characters"))
        return False
    if not value:
        if not may_be_empty:
            faults.append(Fault(here, "an empty text in the list", spec.meaning))
        return may_be_empty and not spec.required  # a required one is reported by the caller
    if spec.one_of and value not in spec.one_of:
        listed = ", ".join(f'"{word}"' for word in spec.one_of)
        faults.append(Fault(here, shown(value), f"one of {listed}", nearest(value, spec.one_of)))
        return False
    if spec.pattern is not None and not spec.pattern.fullmatch(value):
        faults.append(Fault(here, shown(value), spec.looks_like))
        return False
    return True


def _object(value: object, here: Place, faults: list[Fault]) -> tuple[tuple[str, object], ...]:
    """An object of texts, lists and objects, frozen; what its fields are is judged on replay."""
    if not isinstance(value, dict):
        faults.append(Fault(here, shown(value), "an object of the fields to replace"))
        return ()
    for name, part in value.items():
        if not _replaceable(part):
            faults.append(
                Fault(
                    here._replace(key=f"{here.key}.{name}"),
                    shown(part),
                    "text, a list of texts, or a list of objects of texts",
                )
            )
    return cast("tuple[tuple[str, object], ...]", freeze(value))


def _replaceable(value: object) -> bool:
    """True for the shapes that a field of a body can have."""
    if isinstance(value, list):
        return all(isinstance(part, str) for part in value) or all(
            isinstance(part, dict) and part and all(isinstance(v, str) for v in part.values())
            for part in value
        )
    return isinstance(value, str)


def _between_fields(body: Body, place: Place, kind: str) -> Iterable[Fault]:
    """Rules that need more than one field."""
    if isinstance(body, Correction):
        here = place._replace(key=f"{kind}.body")
        if body.action == "replace" and not body.body:
            yield Fault(here, "nothing", "the fields to replace, with what they should say")
        if body.action != "replace" and body.body:
            yield Fault(
                here, f'fields beside "{body.action}"', 'fields only with the action "replace"'
            )
    if isinstance(body, Work) and len(body.features) > 1:
        for at, result in enumerate(body.results, start=1):
            if not result.feature:
                here = place._replace(key=f"{kind}.results[{at}].feature")
                listed = ", ".join(body.features)
                yield Fault(here, "nothing", f"which of {listed} was measured")


def freeze(value: object) -> object:
    """JSON frozen: lists to tuples, objects to sorted tuples of (name, value) pairs."""
    if isinstance(value, dict):
        return tuple((name, freeze(part)) for name, part in sorted(value.items()))
    if isinstance(value, list | tuple):
        return tuple(freeze(part) for part in value)
    return value


def thaw(pairs: tuple[tuple[str, object], ...]) -> dict[str, object]:
    """The object that `freeze` was given.

    A tuple of (text, …) pairs was an object: no field of a body holds a list of lists.
    """
    return {name: _thawed(value) for name, value in pairs}


def _thawed(value: object) -> object:
    if not isinstance(value, tuple):
        return value
    if value and all(
        isinstance(part, tuple) and len(part) == 2 and isinstance(part[0], str) for part in value
    ):
        return thaw(value)
    return [_thawed(part) for part in value]


def body_as_dict(body: object) -> dict[str, object]:
    """The JSON object of a body: what was not said is left out."""
    return {
        part.name: plain
        for part in dataclasses.fields(body)  # type: ignore[arg-type]
        if (plain := _plain(getattr(body, part.name), part.metadata["spec"])) not in ("", [], {})
    }


def _plain(value: Any, spec: Spec) -> object:
    if spec.shape == "objects":
        return [body_as_dict(part) for part in value]
    if spec.shape == "texts":
        return list(value)
    if spec.shape == "values":
        return thaw(value)
    return value

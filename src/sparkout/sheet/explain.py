"""What pydantic refused, as faults a machinist can act on: line, key, what stands there, what would
be right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from sparkout.faults import Fault, Place
from sparkout.sheet.nearest import nearest_few
from sparkout.sheet.yaml_tree import Broken, Listing, Mapping, Node, Scalar, normal
from sparkout.units import QuantityError, quoted

if TYPE_CHECKING:
    from pydantic import BaseModel
    from pydantic.fields import FieldInfo
    from pydantic_core import ErrorDetails

    from sparkout.sheet.shaping import Models

__all__ = ["MisfitError", "Spot", "explain", "human", "locate"]

_MOST_NAMES = 8


class MisfitError(QuantityError):
    """A fault that a model finds between the values it was given.

    at: the way from the section to the value it is about, such as ("service", 2, "low").
    """

    several: tuple[MisfitError, ...] = ()

    def __init__(
        self, found: str, expected: str, remedy: str = "", at: tuple[str | int, ...] = ()
    ) -> None:
        super().__init__(found, expected, remedy)
        self.at = at

    @classmethod
    def together(cls, several: tuple[MisfitError, ...]) -> MisfitError:
        """One exception that tells of all of them."""
        first = several[0]
        whole = cls(first.found, first.expected, first.remedy, first.at)
        whole.several = several
        return whole


def human(field: str) -> str:
    """A field or key as words: 'bore_diameter' -> 'bore diameter'."""
    return " ".join(field.replace("_", " ").split())


class Spot:
    """A node of the file with the way to it."""

    __slots__ = ("key", "node", "parent", "rest", "words")

    def __init__(
        self, node: Node, key: Scalar | None, words: list[str], parent: Node | None = None
    ) -> None:
        self.node = node
        self.key = key
        self.words = words
        self.parent = parent
        self.rest: list[str] = []  # parts of the location that are not in the file

    def at_value(self, file: str) -> Place:
        return Place(file, self.node.line, self.node.column, " > ".join(self.words))

    def at_key(self, file: str) -> Place:
        line, column = (self.key.line, self.key.column) if self.key else (1, 1)
        return Place(file, line, column, " > ".join(self.words))


def locate(root: Node, location: Iterable[str | int]) -> Spot:
    """Follow a location as far as the file goes.

    Names of union branches and the like, which pydantic puts in between, are passed over.
    """
    spot = Spot(root, None, [])
    for part in location:
        node = spot.node
        if isinstance(node, Mapping):
            entry = node.find(str(part))
            if entry is not None:
                spot = Spot(entry.value, entry.key, [*spot.words, entry.key.text], node)
                continue
        elif isinstance(node, Listing) and isinstance(part, int) and part < len(node.items):
            item = node.items[part]
            mark = Scalar("-", item.line, item.column)
            spot = Spot(item, mark, [*spot.words, f"item {part + 1}"], node)
            continue
        spot.rest.append(str(part))
    return spot


def explain(
    errors: Sequence[ErrorDetails],
    root: Node,
    file: str,
    models: Models,
) -> list[Fault]:
    """Each refusal as a fault, once."""
    spots = [(error, locate(root, error["loc"])) for error in errors]
    meant = {
        (id(spot.parent), normal(near))
        for error, spot in spots
        if error["type"] == "extra_forbidden"
        for near in _near_fields(spot, models)[:1]
    }
    faults: list[Fault] = []
    for error, spot in spots:
        if isinstance(spot.node, Broken):
            continue  # its fault is told already
        if error["type"] == "missing" and (id(spot.node), normal(spot.rest[-1])) in meant:
            continue  # one slip of the finger, one fault: 'did you mean' says it
        told = _one(error, spot, file, models)
        faults += [fault for fault in told if fault not in faults]
    return faults


def _one(error: ErrorDetails, spot: Spot, file: str, models: Models) -> list[Fault]:
    kind = error["type"]
    context: dict[str, Any] = error.get("ctx", {})
    if kind == "missing":
        return [_missing(spot, file, models)]
    if kind == "extra_forbidden":
        return [_unknown(spot, file, models)]
    if kind == "misread":
        return [
            Fault(spot.at_value(file), context["found"], context["expected"], context["remedy"])
        ]
    if kind in ("value_error", "assertion_error") and "error" in context:
        return _raised(context["error"], spot, file)
    if kind == "union_tag_not_found":
        name = human(str(context["discriminator"]).strip("'"))
        found = f"no {quoted(name)}"
        return [Fault(spot.at_key(file), found, f"{quoted(name)}, which says what this is")]
    if kind in ("literal_error", "enum", "union_tag_invalid"):
        return [_not_one_of(context, spot, file)]
    return [Fault(spot.at_value(file), _what(spot.node), _wanted(kind, error["msg"]))]


def _missing(spot: Spot, file: str, models: Models) -> Fault:
    name = human(spot.rest[-1]) if spot.rest else "an entry"
    where = f" under {quoted(spot.words[-1])}" if spot.words else ""
    words, example = _field(models.get(id(spot.node), ()), name)
    return Fault(
        spot.at_key(file),
        f"no {quoted(name)}{where}",
        f"{quoted(name)}, {words}" if words else quoted(name),
        f"Add a line such as: {name}: {example}" if example else "Add it.",
    )


def _field(models: tuple[type[BaseModel], ...], name: str) -> tuple[str, str]:
    """Description and example of a field that the file calls by this name."""
    for field, info in _fields(models):
        if normal(info.alias or field) != normal(name):
            continue
        kinds = [data for data in info.metadata if hasattr(data, "examples")]
        examples = [str(one) for one in info.examples or ()]
        examples += [one for data in kinds for one in data.examples]
        words = info.description or next((data.words for data in kinds), "")
        return words, examples[0] if examples else ""
    return "", ""


def _fields(models: tuple[type[BaseModel], ...]) -> list[tuple[str, FieldInfo]]:
    return [pair for model in models for pair in model.model_fields.items()]


def _known(spot: Spot, models: Models) -> list[str]:
    """The names an entry beside this one may have."""
    here = _fields(models.get(id(spot.parent), ()))
    return list(dict.fromkeys(human(info.alias or field) for field, info in here))


def _near_fields(spot: Spot, models: Models) -> tuple[str, ...]:
    return nearest_few(spot.words[-1], _known(spot, models)) if spot.words else ()


def _unknown(spot: Spot, file: str, models: Models) -> Fault:
    known, near = _known(spot, models), _near_fields(spot, models)
    listed = ", ".join(known[:_MOST_NAMES]) + (" …" if len(known) > _MOST_NAMES else "")
    return Fault(
        spot.at_key(file),
        f"{quoted(spot.words[-1])}, which is not known here",
        f"one of: {listed}" if listed and not near else "a name known here",
        _did_you_mean(near) or "Correct the name, or delete the entry.",
    )


def _not_one_of(context: dict[str, Any], spot: Spot, file: str) -> Fault:
    expected = str(context.get("expected") or context.get("expected_tags") or "another value")
    choices = [part for part in expected.split("'") if part.strip(" ,") not in ("", "or")]
    node = spot.node
    found = _what(node)
    near: tuple[str, ...] = ()
    if isinstance(node, Mapping) and "tag" in context:
        found = quoted(str(context["tag"]))
        entry = node.find(str(context.get("discriminator", "")).strip("'"))
        if entry is not None:
            spot = Spot(entry.value, entry.key, [*spot.words, entry.key.text])
        near = nearest_few(str(context["tag"]), choices)
    elif isinstance(node, Scalar):
        near = nearest_few(node.text, choices)
    return Fault(spot.at_value(file), found, expected, _did_you_mean(near))


def _raised(error: object, spot: Spot, file: str) -> list[Fault]:
    """What a validator of the model raised; it may name several places below its own."""
    several: tuple[object, ...] = getattr(error, "several", ())
    if several:
        return [fault for one in several for fault in _raised(one, spot, file)]
    place = spot.at_value(file)
    at = getattr(error, "at", ())
    if at:
        below = locate(spot.node, at)
        inner = Spot(below.node, below.key or spot.key, [*spot.words, *below.words])
        place = inner.at_value(file) if below.words else spot.at_key(file)
    elif isinstance(spot.node, Mapping | Listing):
        place = spot.at_key(file)
    if hasattr(error, "found") and hasattr(error, "expected"):
        return [Fault(place, error.found, error.expected, getattr(error, "remedy", ""))]
    return [Fault(place, _what(spot.node), str(error))]


def _what(node: Node) -> str:
    if isinstance(node, Scalar):
        return quoted(node.text)
    return "a list" if isinstance(node, Listing) else "further entries"


def _wanted(kind: str, message: str) -> str:
    """pydantic's own sentences, without its vocabulary."""
    if kind in ("model_type", "model_attributes_type", "dict_type", "dataclass_type"):
        return "entries below it, one 'name: value' a line"
    if kind in ("list_type", "tuple_type", "set_type", "frozen_set_type"):
        return "a list below it, one '- value' a line"
    if kind == "string_type":
        return "text on the same line"
    if kind.startswith("int_"):
        return "a whole number"
    if kind.startswith("bool_"):
        return "yes or no"
    plain = message.removeprefix("Input should be ").removeprefix("Value error, ")
    return plain[:1].lower() + plain[1:]


def _did_you_mean(near: Sequence[str]) -> str:
    return f"Did you mean {' or '.join(quoted(one) for one in near)}?" if near else ""

"""Read a YAML file that a person wrote into a model, or say everything that is wrong with it.

Any pydantic model will do; its keys are words in the file: `bore_diameter` is written 'bore
diameter' (or 'Bore diameter', 'bore-diameter'). Every value reaches the model as its raw text. All
faults come back at once, each with file, line, column and the way to it in the writer's own words.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, Self, TypeVar

from pydantic import (
    BaseModel,
    ConfigDict,
    ModelWrapValidatorHandler,
    PrivateAttr,
    ValidationError,
    ValidationInfo,
    model_validator,
)

from sparkout.faults import Fault, Place
from sparkout.sheet.explain import MisfitError, explain, human, locate
from sparkout.sheet.shaping import Raw, shape
from sparkout.sheet.yaml_text import LARGEST
from sparkout.sheet.yaml_tree import Broken, Listing, Node, Scalar, grow
from sparkout.sheet.yaml_tree import Mapping as Branch
from sparkout.units import system_of

__all__ = ["Document", "MisfitError", "Section", "json_schema", "open_document", "read_document"]

M = TypeVar("M", bound=BaseModel)


@dataclass(frozen=True, slots=True)
class Document(Generic[M]):
    """What became of a file: its model where it has no fault that stops, and its faults."""

    model: M | None
    faults: tuple[Fault, ...]
    file: str
    root: Node | None

    def place(self, path: Iterable[str | int]) -> Place:
        """Where the key or item at the end of a path stands, as far as the file goes.

        path: keys in any spelling and item numbers from 0: ("limits", "bore taper", "new").
        """
        words = [human(part) if isinstance(part, str) else f"item {part + 1}" for part in path]
        if self.root is None:
            return Place(self.file, key=" > ".join(words))
        return _placed(self.root, self.file, path, words)


class _Origin:
    """Where a section came from; no part of what it says, so equal to any other."""

    __slots__ = ("file", "node")

    def __init__(self, file: str, node: Node) -> None:
        self.file = file
        self.node = node

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Origin)

    def __hash__(self) -> int:
        return 0


_NOWHERE = _Origin("", Broken(0, 0))


class _Reading:
    """Context of one validation: how the file is called, and the units of its bare numbers."""

    __slots__ = ("file", "units")

    def __init__(self, file: str, units: Mapping[str, str]) -> None:
        self.file = file
        self.units = units


class Section(BaseModel):
    """A base for models of files: no unknown keys, frozen, knows its lines, checks itself.

    Override `check` to yield what is wrong between fields; it runs once each field is right.
    """

    model_config = ConfigDict(
        extra="forbid", frozen=True, alias_generator=human, populate_by_name=True
    )
    _origin: _Origin = PrivateAttr(default=_NOWHERE)

    def check(self) -> Iterable[MisfitError]:
        return ()

    def place_of(self, *path: str | int) -> Place:
        """Where a value below this section stands in its file."""
        words = [human(part) if isinstance(part, str) else f"item {part + 1}" for part in path]
        if not self._origin.node.line:
            return Place(key=" > ".join(words))
        return _placed(self._origin.node, self._origin.file, path, words)

    @model_validator(mode="wrap")
    @classmethod
    def _read(
        cls, value: Any, handler: ModelWrapValidatorHandler[Self], info: ValidationInfo
    ) -> Self:
        section = handler(value)
        if isinstance(value, Raw) and isinstance(info.context, _Reading):
            section._origin = _Origin(info.context.file, value.node)
        several = tuple(section.check())
        if several:
            raise MisfitError.together(several)
        return section


def read_document(
    source: Path | str | bytes,
    model: type[M],
    file_name: str = "",
    *,
    units: Mapping[str, str] | None = None,
    unit_key: str = "",
) -> tuple[M | None, tuple[Fault, ...]]:
    """The model of a file, or None and every fault in it; arguments as in open_document."""
    document = open_document(source, model, file_name, units=units, unit_key=unit_key)
    return document.model, document.faults


def open_document(
    source: Path | str | bytes,
    model: type[M],
    file_name: str = "",
    *,
    units: Mapping[str, str] | None = None,
    unit_key: str = "",
) -> Document[M]:
    """A file read into a model, its faults in the order of the file, and its places.

    source: a Path is opened; str and bytes are the text itself. file_name: how faults name it.
    units: what bare numbers are in, by dimension, such as {"length": "mm"}. unit_key: a top-level
    key whose value ('mm', 'in' or 'inch') says it for lengths instead.
    """
    file = file_name or (str(source) if isinstance(source, Path) else "")
    content, faults = _opened(source, file)
    if content is None:
        return Document(None, tuple(faults), file, None)
    root, faults = grow(content, file)
    if root is None:
        return Document(None, tuple(faults), file, None)
    result: M | None = None
    if isinstance(root, Branch):
        raw, models = shape(root, model)
        reading = _Reading(file, _units(root, dict(units or {}), unit_key))
        try:
            result = model.model_validate(raw, context=reading)
        except ValidationError as refused:
            faults += explain(refused.errors(), root, file, models)
    elif not isinstance(root, Broken):
        place = Place(file, root.line, root.column)
        what = "a list" if isinstance(root, Listing) else "text without any 'name: value' line"
        faults.append(Fault(place, what, "'name: value' lines at the left edge"))
    in_order = sorted(faults, key=lambda fault: (fault.place.line or 0, fault.place.column or 0))
    kept = None if any(fault.stops for fault in faults) else result
    return Document(kept, tuple(in_order), file, root)


def json_schema(model: type[BaseModel], title: str = "") -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a file, for editors: keys as written, values as typed.

    An editor takes a bare `4` for a number and `yes` for a word or a truth value, while every value
    is text to us: text fields allow all of them.
    """
    schema = _as_written(model.model_json_schema(by_alias=True, mode="validation"))
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    if title:
        head["title"] = title
    return {**head, **{key: value for key, value in schema.items() if key not in head}}


def _as_written(schema: Any) -> Any:
    """A schema with its property names as words and its text open to whatever an editor sees."""
    if isinstance(schema, list):
        return [_as_written(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    written: dict[str, Any] = {}
    for key, value in schema.items():
        if key == "properties":
            written[key] = {human(name): _as_written(one) for name, one in value.items()}
        elif key in ("$defs", "patternProperties"):
            written[key] = {name: _as_written(one) for name, one in value.items()}
        elif key == "required":
            written[key] = [human(name) for name in value]
        elif key == "discriminator":
            written[key] = {**value, "propertyName": human(value["propertyName"])}
        elif key in ("items", "additionalProperties", "anyOf", "oneOf", "allOf", "prefixItems"):
            written[key] = _as_written(value)
        elif key == "type" and value == "string" and not {"enum", "const"} & schema.keys():
            written[key] = ["string", "number", "boolean"]
        else:
            written[key] = value
    return written


def _placed(root: Node, file: str, path: Iterable[str | int], words: list[str]) -> Place:
    spot = locate(root, path)
    place = spot.at_value(file) if not spot.rest and spot.words else spot.at_key(file)
    if not spot.words:
        place = Place(file, root.line, root.column)
    return place._replace(key=" > ".join(words))


def _opened(source: Path | str | bytes, file: str) -> tuple[bytes | str | None, list[Fault]]:
    if not isinstance(source, Path):
        return source, []
    try:
        with source.open("rb") as stream:
            return stream.read(LARGEST + 1), []
    except FileNotFoundError:
        problem, remedy = "no such file", "Check the name and the folder."
    except IsADirectoryError:
        problem, remedy = "a folder", "Name the file in it."
    except (OSError, ValueError) as error:  # ValueError: a null character in the name
        reason = getattr(error, "strerror", None) or str(error)
        problem, remedy = f"a file that cannot be opened ({reason})", ""
    return None, [Fault(Place(file), problem, "a text file", remedy)]


def _units(root: Branch, units: dict[str, str], unit_key: str) -> dict[str, str]:
    """The file's own word for bare lengths, when it has a usable one; its field judges the rest."""
    entry = root.find(unit_key) if unit_key else None
    if entry is not None and isinstance(entry.value, Scalar):
        system = system_of(entry.value.text)
        if system:
            units["length"] = "in" if system == "inch" else "mm"
    return units

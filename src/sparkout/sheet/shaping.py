"""A tree of raw text in the shape a pydantic model takes: keys of fields by their names, the rest
(names of bores, of limits) left as written."""

from __future__ import annotations

from typing import Any, get_args, get_origin

from pydantic import BaseModel

from sparkout.sheet.yaml_tree import Listing, Mapping, Node, Scalar, normal

__all__ = ["Models", "Raw", "shape"]

# Which models each mapping of the file may be meant for, by id of its node.
Models = dict[int, tuple[type[BaseModel], ...]]


class Raw(dict[str, Any]):
    """A mapping of the file on its way into a model; knows the node it came from."""

    __slots__ = ("node",)

    def __init__(self, node: Mapping, items: dict[str, Any]) -> None:
        super().__init__(items)
        self.node = node


# Stands for a value whose fault is told already; every field type refuses it.
_TOLD = object()


def shape(root: Node, model: type[BaseModel]) -> tuple[Any, Models]:
    """What the model is given, and which models each mapping may be meant for."""
    models: Models = {}
    return _shaped(root, (model,), models), models


def spellings(model: type[BaseModel]) -> dict[str, str]:
    """Normalised key -> the key the model takes, for each field and its alias."""
    return {
        normal(spelling): info.alias or name
        for name, info in model.model_fields.items()
        for spelling in (name, info.alias or name)
    }


def _shaped(node: Node, hints: tuple[Any, ...], models: Models) -> Any:
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Listing):
        inner = tuple(arg for hint in hints if get_origin(hint) in _LISTS for arg in get_args(hint))
        below = tuple(flat for arg in inner for flat in _flat(arg))
        return [_shaped(item, below, models) for item in node.items]
    if not isinstance(node, Mapping):
        return _TOLD
    fields: dict[str, tuple[str, tuple[Any, ...]]] = {}
    for hint in hints:
        if isinstance(hint, type) and issubclass(hint, BaseModel):
            models[id(node)] = (*models.get(id(node), ()), hint)
            for plain, taken in spellings(hint).items():
                info = _info(hint, taken)
                fields.setdefault(plain, (taken, _flat(info.annotation)))
    values = tuple(
        flat for hint in hints if get_origin(hint) is dict for flat in _flat(get_args(hint)[1])
    )
    items: dict[str, Any] = {}
    for entry in node.entries:
        taken, below = fields.get(normal(entry.key.text), (entry.key.text, values))
        items[taken] = _shaped(entry.value, below, models)
    return Raw(node, items)


_LISTS = (list, tuple, set, frozenset)


def _info(model: type[BaseModel], taken: str) -> Any:
    fields = model.model_fields
    return fields.get(taken) or next(info for info in fields.values() if info.alias == taken)


def _flat(hint: Any) -> tuple[Any, ...]:
    """The members of an annotation that may be a union or carry metadata."""
    if hasattr(hint, "__metadata__"):
        return _flat(get_args(hint)[0])
    origin = get_origin(hint)
    if origin is None or origin in (dict, *_LISTS):
        return (hint,)
    return tuple(flat for arg in get_args(hint) for flat in _flat(arg))

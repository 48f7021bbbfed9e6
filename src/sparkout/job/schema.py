"""The JSON Schema of one line of the log, made from the same declarations that read it."""

from __future__ import annotations

from sparkout.job.bodies import KINDS, Measured, Photo
from sparkout.job.canonical import FORM
from sparkout.job.entry import DEVICE, ID
from sparkout.job.fields import LONGEST, Spec, specs

__all__ = ["entry_schema"]

_HASH = "^[0-9a-f]{64}$"
_TIME = r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,6})?Z$"


def entry_schema() -> dict[str, object]:
    """The schema (JSON Schema 2020-12) of an entry of any kind.

    What it cannot say (that the hash is right, that the chain is whole, that a work entry on
    several features names one in each result) the readers check.
    """
    envelope: dict[str, object] = {
        "at": {
            "description": "when it was entered: UTC, RFC 3339, with Z",
            "type": "string",
            "pattern": _TIME,
        },
        "body": {"description": "what the entry says; its fields depend on the kind"},
        "by": {
            "description": "the person who entered it",
            "type": "string",
            "pattern": r"\S",
        },
        "device": {
            "description": "the device that wrote it; each keeps its own chain",
            "type": "string",
            "pattern": f"^{DEVICE.pattern}$",
        },
        "form": {"description": "version of this format", "const": FORM},
        "hash": {
            "description": "SHA-256 of the canonical form of everything else",
            "type": "string",
            "pattern": _HASH,
        },
        "id": {
            "description": "made by the client, used once",
            "type": "string",
            "pattern": f"^{ID.pattern}$",
        },
        "kind": {"description": "what kind of entry it is", "enum": list(KINDS)},
        "number": {
            "description": "1, 2, 3 … for each device",
            "type": "integer",
            "minimum": 1,
            "maximum": (1 << 53) - 1,
        },
        "previous": {
            "description": 'hash of the entry of this device before; "" for its first',
            "type": "string",
            "pattern": "^([0-9a-f]{64})?$",
        },
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Entry of a job log",
        "type": "object",
        "properties": envelope,
        "required": list(envelope),
        "additionalProperties": False,
        "oneOf": [
            {
                "properties": {
                    "kind": {"const": kind},
                    "body": {"$ref": f"#/$defs/{kind}"},
                }
            }
            for kind in KINDS
        ],
        "$defs": {
            **{kind: _record(record) for kind, record in KINDS.items()},
            **{record.__name__.lower(): _record(record) for record in (Measured, Photo)},
        },
    }


def _record(record: type) -> dict[str, object]:
    table = specs(record)
    schema: dict[str, object] = {
        "description": (record.__doc__ or "").splitlines()[0],
        "type": "object",
        "properties": {name: _field(spec) for name, spec in table.items()},
        "required": [name for name, spec in table.items() if spec.required],
        "additionalProperties": False,
    }
    if "action" in table and "body" in table:
        # The fields to replace come with "replace" and with nothing else.
        schema["if"] = {"properties": {"action": {"const": "replace"}}}
        schema["then"] = {"required": ["body"], "properties": {"body": {"minProperties": 1}}}
        schema["else"] = {"properties": {"body": {"maxProperties": 0}}}
    return schema


def _field(spec: Spec) -> dict[str, object]:
    said: dict[str, object] = {"description": spec.meaning}
    item: dict[str, object] = {"type": "string", "minLength": 1, "maxLength": LONGEST}
    if spec.shape == "texts":
        return {
            **said,
            "type": "array",
            "items": item,
            **({"minItems": 1} if spec.required else {}),
        }
    if spec.shape == "objects":
        assert spec.of is not None
        return {
            **said,
            "type": "array",
            "items": {"$ref": f"#/$defs/{spec.of.__name__.lower()}"},
        }
    if spec.shape == "values":
        record = {
            "type": "object",
            "minProperties": 1,
            "additionalProperties": {"type": "string"},
        }
        one = {
            "anyOf": [
                {"type": "string"},
                {"type": "array", "items": {"type": "string"}},
                {"type": "array", "items": record},
            ]
        }
        return {**said, "type": "object", "additionalProperties": one}
    said |= {"type": "string", "maxLength": LONGEST}
    if spec.required:
        said["minLength"] = 1
    if spec.one_of:
        said["enum"] = [*spec.one_of] if spec.required else ["", *spec.one_of]
    if spec.pattern is not None:
        said["pattern"] = (
            f"^{spec.pattern.pattern}$" if spec.required else f"^({spec.pattern.pattern})?$"
        )
    return said

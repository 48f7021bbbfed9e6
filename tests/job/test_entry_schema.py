"""The schema says what the readers do, as far as a schema can."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sparkout.faults import Place
from sparkout.job.bodies import KINDS
from sparkout.job.border import read_body
from sparkout.job.line import entry_of_line
from sparkout.job.schema import entry_schema

SCHEMA = jsonschema.Draft202012Validator(entry_schema())
LINES = (
    (Path(__file__).parents[1] / "old_files" / "log-form-1.jsonl").read_text("utf-8").splitlines()
)


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(entry_schema())
    json.dumps(entry_schema())


@pytest.mark.parametrize("line", LINES)
def test_every_entry_ever_written_fits(line: str) -> None:
    assert list(SCHEMA.iter_errors(json.loads(line))) == []


@pytest.mark.parametrize("line", LINES)
def test_every_field_left_out_or_made_a_number_is_judged_alike(line: str) -> None:
    entry = json.loads(line)
    for name in entry:
        without = {key: value for key, value in entry.items() if key != name}
        agree(without)
        agree({**entry, name: 17})
        agree({**entry, name + "s": "x"})
    for name in entry["body"]:
        body = {key: value for key, value in entry["body"].items() if key != name}
        agree({**entry, "body": body})
        agree({**entry, "body": {**entry["body"], name: 17.5}})
        agree({**entry, "body": {**entry["body"], name: ""}})
        agree({**entry, "body": {**entry["body"], name: [""]}})
        agree({**entry, "body": {**entry["body"], name + "s": "x"}})


def agree(entry: dict[str, Any]) -> None:
    made, faults = entry_of_line(json.dumps(entry).encode(), Place())
    assert SCHEMA.is_valid(entry) == (made is not None and not faults), (entry, faults)


BODIES = [json.loads(line) for line in LINES]
VALUES = (
    st.text(max_size=4)
    | st.integers()
    | st.lists(st.text(max_size=2), max_size=2)
    | st.lists(st.dictionaries(st.sampled_from(["typed", "name", "characteristic"]), st.text()))
    | st.none()
)


@given(st.sampled_from(BODIES), st.data())
def test_schema_and_reader_agree(entry: dict[str, Any], data: st.DataObject) -> None:
    record = KINDS[entry["kind"]]
    name = data.draw(st.sampled_from(sorted(record.__dataclass_fields__)))
    body = {**entry["body"], name: data.draw(VALUES)}
    read, faults = read_body(entry["kind"], body, Place())
    between = entry["kind"] == "work" and any(".feature" in fault.place.key for fault in faults)
    if not between:  # which results must name their feature, a schema cannot say
        assert SCHEMA.is_valid({**entry, "body": body}) == (read is not None), (body, faults)

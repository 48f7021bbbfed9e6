"""What a command prints with --json is what `sparkout schema` says of it, for every command."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from sparkout.cli.jobargs import demo_folder, demo_names
from sparkout.cli.main import COMMANDS, find, run
from sparkout.cli.parsing import build

DEMOS = demo_names()


def takes_json(name: str) -> bool:
    actions = build(name, find(name))._actions
    return any("--json" in action.option_strings for action in actions)


WITH_JSON = [name for name, _, _ in COMMANDS if takes_json(name)]

# Commands that read one job and need nothing else.
OF_A_JOB = ("check", "plan", "offers", "papers", "setups", "assembly", "bore-map", "gauges", "log")


@pytest.mark.parametrize("name", WITH_JSON)
def test_every_command_with_json_publishes_a_schema(name: str) -> None:
    schema = find(name).SCHEMA
    Draft202012Validator.check_schema(schema)
    assert loose(schema, schema) == [], "says nothing of what is in there"


def loose(part: Any, whole: Any, place: str = "") -> list[str]:
    """Places where a schema admits anything at all: untyped items, references that lead nowhere."""
    if not isinstance(part, dict):
        return []
    found = []
    if "$ref" in part:
        target: Any = whole
        for step in part["$ref"].removeprefix("#/").split("/"):
            target = target.get(step) if isinstance(target, dict) else None
        return [] if target is not None else [f"{place}: {part['$ref']}"]
    kinds = part.get("type")
    kinds = kinds if isinstance(kinds, list) else [kinds]
    if "array" in kinds and not ("items" in part or "prefixItems" in part):
        found.append(f"{place}: items of the list")
    for word in ("properties", "$defs"):
        for name, inner in part.get(word, {}).items():
            found += loose(inner, whole, f"{place}/{name}")
    for word in ("items", "additionalProperties"):
        found += loose(part.get(word), whole, f"{place}/{word}")
    return found


def printed(capsys: pytest.CaptureFixture[str], name: str, *words: str) -> tuple[int, Any]:
    status = run([name, *words, "--json"])
    told = capsys.readouterr().out
    return status, json.loads(told)


def copied(tmp_path: Path, engine: str) -> str:
    target = tmp_path / engine
    shutil.copytree(demo_folder(engine), target)
    if not (target / "shop.yaml").exists():
        shutil.copy(demo_folder(engine).parent / "shop.yaml", target)
    return str(target)


@pytest.mark.parametrize("engine", DEMOS)
@pytest.mark.parametrize("name", OF_A_JOB)
def test_a_shipped_job_prints_what_the_schema_says(
    name: str, engine: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, told = printed(capsys, name, copied(tmp_path, engine))
    assert status in (0, 1)
    Draft202012Validator(find(name).SCHEMA).validate(told)


def test_the_demonstration_prints_what_its_schema_says(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status, told = printed(capsys, "demo", "--no-pdf")
    assert status == 0
    Draft202012Validator(find("demo").SCHEMA).validate(told)


@pytest.mark.parametrize("name", [name for name in WITH_JSON if name in OF_A_JOB])
def test_a_folder_that_is_not_there_is_told_as_json_too(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, told = printed(capsys, name, str(tmp_path / "none"))
    assert status == 2
    assert "none" in json.dumps(told)

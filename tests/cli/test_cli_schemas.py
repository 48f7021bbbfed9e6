"""What a command prints with --json is what `sparkout schema` says of it, for every command.

Every command with --json is run here at least once, in a job of its own, and what it prints is held
to its schema. A command without an example here fails.
"""

from __future__ import annotations

import json
import math
import shlex
import shutil
from collections.abc import Iterable
from datetime import UTC, datetime
from enum import StrEnum
from functools import reduce
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator, ValidationError

from sparkout.assembly.fastening import Act
from sparkout.assembly.parts import PartVerdict
from sparkout.assembly.progress import CheckState, StepState
from sparkout.assembly.step import CheckKind
from sparkout.assembly.step import Stage as BuildStage
from sparkout.cli.jobargs import demo_folder, demo_names
from sparkout.cli.main import COMMANDS, find, run
from sparkout.cli.parsing import build
from sparkout.cli.refusal_shapes import REFUSALS
from sparkout.job.append import LogWriter
from sparkout.job.entry import draft
from sparkout.plan import parts
from sparkout.sheet.assembly_model import Again, Pattern, StageKind

DEMOS = demo_names()


def takes_json(name: str) -> bool:
    actions = build(name, find(name))._actions
    return any("--json" in action.option_strings for action in actions)


WITH_JSON = [name for name, _, _ in COMMANDS if takes_json(name)]

# Commands that read one job and need nothing else.
OF_A_JOB = (
    "check", "plan", "offers", "life", "parts", "papers", "setups", "assembly", "bore-map",
    "gauges", "log",
)  # fmt: skip

# Command lines by the command they are there for; the first is run as it stands in a fresh folder
# that has the job `job`, and the files made in `bench`. Every line is held to its command's schema.
EXAMPLES: dict[str, tuple[str, ...]] = {
    "demo": ("demo --engine farm_single --no-pdf",),
    "check": (
        "check job",
        "record job 'bore 1' 'bore diameter' 7.206 --level top --direction thrust --gauge BG-1",
        "check job --all",
    ),
    "plan": (
        "plan job",
        "record job --kind approval --field 'what=plan {plan}' --field by_whom=Rita"
        " --field how=phone --field amount=1120 --field currency=EUR",
        "plan job",
        "record job --kind work --field 'operation=surface deck' --field features=deck"
        " --field target=0.12",
        "record job --kind work --field 'operation=weld' --field 'features=bore 1'",
        "plan job",
        "record job 'bore 1' 'bore diameter' 72.48 --level top --direction axial --gauge BG-1",
        "plan job",
        "plan job --anew",
    ),
    "offers": (
        "offers job --today 2026-11-23",
        "offers job --today 2026-11-23 --by 2026-11-24",
        "offers job --today 2026-11-23 --budget 2000",
    ),
    "ask": (
        "ask job no 0.50 pistons until March --today 2026-11-23",
        "ask job deck 0.05 more --today 2026-11-23",
        "ask job deck 0.30 more --today 2026-11-23",
    ),
    "life": ("life job", "life job --family wear.csv"),
    "parts": ("parts job",),
    "shelf": ("shelf job other", "shelf job other --match 'stem diameter' --within '0.01 mm'"),
    "forecast": (
        "forecast job --engines 4 --processes 1",
        "forecast job --unmeasured --engines 4 --processes 1",
    ),
    "papers": ("papers job --only findings --out out",),
    "setups": ("setups job", "setups job --moves"),
    "assembly": ("assembly job",),
    "tighten": ("tighten job", "tighten job head"),
    "lash": (
        "lash job",
        "lash --layout inline --cylinders 6 --firing 1-5-3-6-2-4 --intake '0.20 mm'",
    ),
    "draw": ("draw job --out drawn",),
    "begin": ("begin fresh --demo farm_single",),
    "record": (
        "record job 'bore 1' 'bore diameter' 72.06 --level top --direction thrust --gauge BG-1",
        "record job wash-parts/galleries done --kind check",
        "record job --kind observation --field 'feature=bore 1' --field what=score",
        "record job 'bore 1' 'bore diameter' 7.206 --level top --direction thrust --gauge BG-1",
    ),
    "bring": ("bring job readings.csv", "bring job wrong.csv"),
    "listen": (
        "listen job --of 'bore diameter' --at 'bore 1' --levels top,middle --directions thrust"
        " --gauge BG-1 --decimals 3 --low 70 --high 74 --from sent.txt",
        "listen job --of 'bore diameter' --at 'bore 1' --levels top,middle --directions thrust"
        " --gauge BG-1 --decimals 3 --low 70 --high 74 --from garbled.txt",
    ),
    "log": ("log job", "log job --list"),
    "merge": ("merge job other/log.jsonl",),
    "sheets": ("sheets job/engine.yaml", "sheets wrong.yaml", "sheets --about taper"),
    "bore-map": ("bore-map job", "bore-map map.csv --nominal 100 --upper 100.15"),
    "form": (
        "form roundness points.csv",
        "form roundness points.csv --limit 0.001",
    ),
    "texture": ("texture trace.csv --most Ra=0.8", "texture trace.csv --least Rvk=9"),
    "budget": (
        "budget job 'bore 1' diameter",
        "budget job 'guide I1' 'stem clearance'",
    ),
    "gauges": ("gauges job --on 2026-11-16", "gauges job --on 2032-01-01"),
    "hatch": (
        "hatch --lines '29 31 -30 -32' --most 60",
        "hatch --bore 100 --rpm 150 --stroke 130 --want 45",
    ),
    "gauge-study": ("gauge-study study.csv --tolerance 0.5",),
    "chart": (
        "chart series.csv",
        "chart series.csv --each 4 --lower 9.9 --upper 10.1",
        "chart series.csv --bad high",
    ),
    "size": ("size 3 27/64 in", "size 0,08"),
    "gap": ("gap '12 fits, 13 does not'", "gap '12 fits'"),
    "between": (
        "between 100.246 --limit 'at most 100.20 mm'",
        "between 100.19 --limit '100.10 to 100.20 mm' --u 0.003",
    ),
    "clearance": (
        "clearance --hole 80.010 --shaft 74.962 --wall 2.478",
        "clearance --hole 22.00 --shaft 22.02",
    ),
}


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a job and one file of each kind that a command reads; the current folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("USER", "Ines")
    copied(tmp_path, "farm_single", "job")
    shutil.copytree(tmp_path / "job", tmp_path / "other")

    def file(name: str, *lines: str) -> None:
        (tmp_path / name).write_text("\n".join(lines) + "\n", encoding="utf-8")

    file("readings.csv", "feature,characteristic,level,direction,reading,gauge,phase,note",
         "bore 1,bore diameter,top,thrust,72.062,BG-1,found,")  # fmt: skip
    file("wrong.csv", "feature,characteristic,level,direction,reading,gauge,phase,note",
         "bore 9,bore diameter,top,thrust,72.062,BG-1,found,")  # fmt: skip
    file("wrong.yaml", "form: 1", "identity: {name: 7}")
    file("sent.txt", "72.061", "72.044")
    file("garbled.txt", "72.061", "E4")
    file("wear.csv", "characteristic,unit,hours,wear",
         *(f"stem clearance,{unit},{hours},{wear}"
           for unit, wears in (("A", (0.011, 0.016, 0.034)), ("B", (0.006, 0.021, 0.029)),
                               ("C", (0.013, 0.025, 0.031)))
           for hours, wear in zip((500, 1000, 1600), wears, strict=True)))  # fmt: skip
    turns = [math.radians(10 * k) for k in range(36)]
    file("points.csv", "x,y",
         *(f"{r * math.cos(t):.6f},{r * math.sin(t):.6f}"
           for t in turns for r in [50 + 0.01 * math.cos(3 * t)]))  # fmt: skip
    file("map.csv", "depth,direction,value", "10,0,100.10", "10,90,100.05",
         "60,0,100.02", "60,90,100.01")  # fmt: skip
    file("trace.csv", "x [mm];z [µm]",
         *(f"{k * 0.002:.4f};{0.8 * math.sin(k / 20):.6f}" for k in range(2800)))  # fmt: skip
    file("study.csv", "operator,part,trial,value (mm)",
         *(f"{person},{part},{trial},{10 + part + 0.01 * ((person * trial + part) % 4):.3f}"
           for person in (1, 2, 3) for part in (1, 2, 3) for trial in (1, 2, 3)))  # fmt: skip
    file("series.csv", "value (mm)", *(f"{10 + 0.01 * math.sin(k * k):.4f}" for k in range(24)))
    return tmp_path


@pytest.mark.parametrize("name", WITH_JSON)
def test_every_command_with_json_publishes_a_schema(name: str) -> None:
    schema = find(name).SCHEMA
    Draft202012Validator.check_schema(schema)
    assert loose(schema, schema) == [], "says nothing of what is in there"


@pytest.mark.parametrize("name", WITH_JSON)
def test_the_schema_of_every_command_can_be_asked_for(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """`log` is a file format, too: the option says that the command is meant."""
    assert run(["schema", name, "--command"]) == 0
    assert json.loads(capsys.readouterr().out) == find(name).SCHEMA


@pytest.mark.parametrize("name", WITH_JSON)
def test_what_every_command_prints_is_what_its_schema_says(
    name: str, bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert name in EXAMPLES, f"{name} takes --json and has no example here"
    assert shlex.split(EXAMPLES[name][0])[0] == name
    plan = ""
    for line in EXAMPLES[name]:
        command, *words = shlex.split(line.replace("{plan}", plan))
        _, told = printed(capsys, command, *words)
        held_to_schema(command, told, line)
        plan = told.get("plan") or plan if command == "plan" else plan


def test_a_plan_after_an_approval_of_no_plan_is_what_its_schema_says(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`record` refuses one; a log from elsewhere may hold it all the same."""
    body = {"what": "plan 0123456789ab", "by_whom": "Rita", "how": "phone"}
    made, _ = draft("approval", "Ines", body)
    assert made is not None
    with LogWriter(bench / "job" / "log.jsonl") as log:
        log.append(made, lambda: datetime(2027, 3, 1, tzinfo=UTC), "tablet", lambda: "0" * 26)
    status, told = printed(capsys, "plan", "job")
    held_to_schema("plan", told, "plan job")
    assert status == 1
    assert told["approved"]["why_not"].startswith("no plan with the digest 0123456789ab")


def held_to_schema(command: str, told: Any, line: str) -> None:
    try:
        Draft202012Validator(find(command).SCHEMA).validate(told)
    except ValidationError as wrong:
        place = "/".join(map(str, wrong.absolute_path))
        raise AssertionError(f"{line}: {place}: {wrong.message}") from wrong


def loose(part: Any, whole: Any, place: str = "") -> list[str]:
    """Places where a schema admits anything at all: untyped items, objects without keys or open to
    any more, references that lead nowhere."""
    if not isinstance(part, dict):
        return []
    found = []
    if "$ref" in part:
        target: Any = whole
        for step in part["$ref"].removeprefix("#/").split("/"):
            target = target.get(step) if isinstance(target, dict) else None
        return [] if target is not None else [f"{place}: {part['$ref']}"]
    if not part.keys() & {"type", "anyOf", "enum", "const"}:
        found.append(f"{place}: anything")
    kinds = part.get("type")
    kinds = kinds if isinstance(kinds, list) else [kinds]
    if "array" in kinds and not ("items" in part or "prefixItems" in part):
        found.append(f"{place}: items of the list")
    if "object" in kinds and not ("properties" in part or "additionalProperties" in part):
        found.append(f"{place}: keys of the object")
    if "properties" in part and part.get("additionalProperties") is not False:
        found.append(f"{place}: keys beside those named")
    for word in ("properties", "$defs"):
        for name, inner in part.get(word, {}).items():
            found += loose(inner, whole, f"{place}/{name}")
    for word in ("items", "additionalProperties"):
        found += loose(part.get(word), whole, f"{place}/{word}")
    for inner in [*part.get("anyOf", []), *part.get("prefixItems", [])]:
        found += loose(inner, whole, place)
    return found


@pytest.mark.parametrize(
    "schema",
    [
        {"type": "array"},
        {"type": ["object", "null"]},
        {"type": "object", "properties": {"size": {"type": "number"}}},
        {"type": "array", "items": {"description": "a size"}},
        {"anyOf": [{"type": "object"}, {"type": "null"}]},
        {"type": "array", "items": {"$ref": "#/$defs/size"}},
    ],
)
def test_a_loose_schema_is_found(schema: dict[str, Any]) -> None:
    assert loose(schema, schema)


@pytest.mark.parametrize(
    ("command", "path", "kinds"),
    [
        ("assembly", "steps/state", StepState),
        ("assembly", "steps/stage", BuildStage),
        ("assembly", "steps/checks/state", CheckState),
        ("assembly", "steps/checks/kind", CheckKind),
        ("assembly", "parts/verdict", PartVerdict),
        ("tighten", "joints/next_fastener/act", Act),
        ("tighten", "joint/order", Pattern),
        ("tighten", "joint/stages/kind", StageKind),
        ("tighten", "joint/used_again", Again),
        ("parts", "parts/state", (parts.HERE, parts.SHELF, parts.NOW, parts.WHEN_READ)),
    ],
)
def test_words_from_a_set_are_all_of_it(
    command: str, path: str, kinds: type[StrEnum] | tuple[str, ...]
) -> None:
    found = reduce(inside, path.split("/"), find(command).SCHEMA)
    assert set(found["enum"]) == set(map(str, kinds))


def inside(part: dict[str, Any], key: str) -> dict[str, Any]:
    """The schema of a key of an object, of the objects of a list, or of an object or null."""
    there = part["properties"][key]
    there = there.get("items", there)
    return dict(there["anyOf"][0]) if "anyOf" in there else dict(there)


def printed(capsys: pytest.CaptureFixture[str], name: str, *words: str) -> tuple[int, Any]:
    status = run([name, *words, "--json"])
    told = capsys.readouterr()
    assert told.out, told.err
    return status, json.loads(told.out)


def copied(tmp_path: Path, engine: str, name: str = "") -> str:
    target = tmp_path / (name or engine)
    shutil.copytree(demo_folder(engine), target)
    if not (target / "shop.yaml").exists():
        shutil.copy(demo_folder(engine).parent / "shop.yaml", target)
    return str(target)


def shipped(names: Iterable[str]) -> list[tuple[str, str]]:
    """Each command on each shipped job. Offers and papers take long on the large ones, and are held
    to their schemas in tests/cli/test_cli_offers.py and tests/report/test_papers_command.py."""
    slow = ("offers", "papers")
    return [(name, engine) for name in names for engine in DEMOS
            if name not in slow or engine == "farm_single"]  # fmt: skip


@pytest.mark.parametrize(("name", "engine"), shipped(OF_A_JOB))
def test_a_shipped_job_prints_what_the_schema_says(
    name: str, engine: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, told = printed(capsys, name, copied(tmp_path, engine))
    assert status in (0, 1)
    held_to_schema(name, told, f"{name} {engine}")


@pytest.mark.parametrize("name", [name for name in WITH_JSON if name in OF_A_JOB])
def test_a_folder_that_is_not_there_is_told_as_json_too(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, told = printed(capsys, name, str(tmp_path / "none"))
    assert status == 2
    assert "none" in json.dumps(told)
    Draft202012Validator(REFUSALS["faults"]).validate(told)


@pytest.mark.parametrize("name", REFUSALS)
def test_what_is_printed_instead_has_a_schema_too(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert loose(REFUSALS[name], REFUSALS[name]) == []
    assert run(["schema", name]) == 0
    assert json.loads(capsys.readouterr().out) == REFUSALS[name]


@pytest.mark.parametrize(
    ("line", "refusal"),
    [
        ("tighten job head --done '10 N·m' --tool TW-1 --lubricant 'engine oil'", "held"),
        ("record job 'bore 1' 'bore diametr' 72.06", "faults"),
        ("begin job", "faults"),
        ("gap 0.06", "faults"),
        ("life job --family wrong.csv", "faults"),
        ("shelf job job", "faults"),
    ],
)
def test_what_is_refused_is_told_as_its_schema_says(
    line: str, refusal: str, bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, told = printed(capsys, *shlex.split(line))
    assert status in (1, 2)
    Draft202012Validator(REFUSALS[refusal]).validate(told)

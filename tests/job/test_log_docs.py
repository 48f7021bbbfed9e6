"""The documents of the log and of gauge lines say what the code does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from sparkout.job import append, errors, line
from sparkout.job.bodies import KINDS, Measured, Photo
from sparkout.job.fields import specs
from sparkout.measure.intake.gauge_profile import GaugeProfile

DOCS = Path(__file__).parents[2] / "docs"
LOG = (DOCS / "log.md").read_text("utf-8")
LINES = (DOCS / "gauge-lines.md").read_text("utf-8")
BLOCKS = [
    (name, at, block)
    for name, text in (("log.md", LOG), ("gauge-lines.md", LINES))
    for at, block in enumerate(re.findall(r"```python\n(.*?)```", text, re.DOTALL), start=1)
]


@pytest.mark.parametrize(("name", "at", "block"), BLOCKS, ids=lambda value: str(value)[:12])
def test_the_examples_run(name: str, at: int, block: str) -> None:
    exec(compile(block, f"{name}, example {at}", "exec"), {})


def row(text: str, name: str) -> str:
    found = re.search(rf"^\| `{name}` \|(.*)\|$", text, re.MULTILINE)
    assert found, name
    return found.group(1)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_its_fields(kind: str) -> None:
    table = specs(KINDS[kind])
    said = row(LOG, kind)
    assert set(re.findall(r"\*\*`(\w+)`\*\*", said)) == {
        name for name, spec in table.items() if spec.required
    }
    quoted = re.findall(r"`([^`]+)`", said)
    words = [word for spec in table.values() for word in spec.one_of]
    assert set(quoted) == {*table, *words}


def test_sizes_and_photos_have_their_fields() -> None:
    said = LOG[LOG.index("A *size*") :].split("\n")[0]
    quoted = re.findall(r"`([^`]+)`", said)
    wanted = {"results", "sizes", *specs(Measured), *specs(Photo)}
    assert set(quoted) == wanted


def test_every_field_of_the_envelope_is_said() -> None:
    for name in line.ENVELOPE:
        assert row(LOG, name)


def test_every_reason_of_an_append_error_is_said() -> None:
    said = LOG[LOG.index("`append` raises") :].split("\n")[0]
    reasons = re.findall(r'"(\w+)"\s*\(', errors.AppendError.__doc__ or "")
    assert len(reasons) == 5
    assert all(f"`{reason}`" in said for reason in reasons)
    assert append.AppendError is errors.AppendError


def test_every_field_of_a_profile_is_said() -> None:
    table = LINES[LINES.index("| field |") : LINES.index("Give every gauge")]
    assert set(
        re.findall(r"`(\w+)`", re.sub(r"\|[^|]*\|[^|]*\|$", "|", table, flags=re.MULTILINE))
    ) == (set(GaugeProfile.__dataclass_fields__))

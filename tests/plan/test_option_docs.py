"""docs/options.md names every operation and every kind of part that an option can ask for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from sparkout.plan.options.repair_rows import LISTED, REPAIRS
from sparkout.plan.precedence import STAGES

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/options.md").read_text(encoding="utf-8")
OPTIONS = sorted((ROOT / "src/sparkout/plan/options").glob("*.py"))

# Named with the operation they come after, or by a data sheet's own repair.
BESIDE = {"crack-test crankshaft", "crack-test rod", "fit thrust washers", "fit injectors",
          "slot sprocket"}  # fmt: skip


@pytest.mark.parametrize("operation", [name for name in STAGES if name not in BESIDE])
def test_every_operation_is_on_the_page(operation):
    assert f"`{operation}`" in PAGE


def test_every_kind_of_part_is_on_the_page():
    text = "\n".join(path.read_text(encoding="utf-8") for path in OPTIONS)
    kinds = set(re.findall(r'ctx\.parts\("([a-z ]+)"', text))
    kinds |= {row.part for row in (*REPAIRS, *LISTED) if row.part}
    assert len(kinds) > 20
    assert {kind for kind in kinds if kind not in PAGE} == set()


def test_every_operation_that_options_use_has_a_place_in_the_order_of_work():
    text = "\n".join(path.read_text(encoding="utf-8") for path in OPTIONS)
    used = set(re.findall(r'operation = "([a-z -]+)"', text))
    used |= set(re.findall(r'Work\("([a-z -]+)"', text))
    used |= {row.operation for row in (*REPAIRS, *LISTED) if row.operation}
    assert len(used) > 30
    assert used - set(STAGES) == set()

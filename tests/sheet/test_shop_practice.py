"""A shop's own depths, allowances, metals and cutters, read from its file and used by set-ups."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

import sparkout
from sparkout.engine.names import known_names
from sparkout.faults import Fault
from sparkout.load import files_in, load_job
from sparkout.plan.decide import Plan, make_plan
from sparkout.plan.order import order_of_work
from sparkout.setups._practice import CUTS, THUMBS
from sparkout.setups.all_steps import set_ups
from sparkout.setups.bench import Bench
from sparkout.setups.number import RULE_OF_THUMB
from sparkout.setups.record import SetUp
from sparkout.sheet.files import open_shop
from sparkout.sheet.practice import ALLOWANCES, PASSES
from sparkout.sheet.shop import Shop

DEMOS = Path(sparkout.__file__).parent / "demos"

PASSES_OF_BORING = """\
  - operation: bore cylinder
    rate: machining
    passes:
      rough: 0.20 mm
      finish: 0.08 mm
      finishes: 2
"""
OWN = """
allowances:
  hone stock: 0.05 mm
  centre offset: 0.08 mm

metals:
  bore: grey iron G3000

cutters:
  top cutter angle: 30 deg
"""


def shop_text(boring: str = PASSES_OF_BORING, own: str = OWN) -> str:
    text = (DEMOS / "shop.yaml").read_text()
    head = "  - operation: bore cylinder\n    rate: machining\n"
    assert text.count(head) == 1
    return text.replace(head, boring) + own


def read(tmp_path: Path, text: str) -> tuple[Shop | None, tuple[Fault, ...]]:
    file = tmp_path / "shop.yaml"
    file.write_text(text)
    return open_shop(file, known_names())


def test_every_name_is_one_the_set_ups_know() -> None:
    assert set(ALLOWANCES) == set(THUMBS)
    assert set(PASSES.values()) == set(CUTS)


def test_what_the_file_says_is_read_exactly(tmp_path: Path) -> None:
    shop, faults = read(tmp_path, shop_text())
    assert faults == ()
    assert shop is not None
    passes = shop.operations["bore cylinder"].passes
    assert passes is not None
    assert (passes.rough, passes.finish, passes.finishes) == (Fraction(1, 5), Fraction(2, 25), 2)
    assert shop.practice.allowances == {
        "hone stock": Fraction(1, 20),
        "centre offset": Fraction(2, 25),
    }
    assert shop.practice.metals == {"bore": "grey iron G3000"}
    assert shop.practice.cutters == {"top cutter angle": 30}


@pytest.mark.parametrize(
    ("slip", "right", "found", "hint"),
    [
        ("hone stok: 0.05 mm", "hone stock: 0.05 mm", "'hone stok'", "'hone stock'"),
        ("hone stock: -0.05 mm", "hone stock: 0.05 mm", "'-0.05 mm'", ""),
        ("bore: grey iron", "bore: grey iron G3000", "'grey iron'", "grade"),
        ("boar: grey iron G3000", "bore: grey iron G3000", "'boar'", ""),
        ("top cutter angle: 95 deg", "top cutter angle: 30 deg", "'95 deg'", ""),
        ("finish: 0.30 mm", "finish: 0.08 mm", "deeper than the roughing pass", ""),
        ("finish: 0 mm", "finish: 0.08 mm", "'0 mm'", ""),
        ("rough: deep", "rough: 0.20 mm", "'deep'", ""),
    ],
)
def test_a_slip_is_told_with_its_line(
    tmp_path: Path, slip: str, right: str, found: str, hint: str
) -> None:
    text = shop_text().replace(right, slip)
    shop, faults = read(tmp_path, text)
    assert shop is None
    (fault,) = faults
    assert found in fault.found
    assert hint in fault.remedy
    line = next(k for k, row in enumerate(text.splitlines(), start=1) if slip in row)
    assert fault.place.line == line


def test_passes_of_work_that_has_none_are_refused(tmp_path: Path) -> None:
    text = shop_text().replace(
        "  - operation: polish journals\n    rate: machining\n",
        "  - operation: polish journals\n    rate: machining\n    passes:\n"
        "      rough: 0.02 mm\n      finish: 0.01 mm\n",
    )
    shop, faults = read(tmp_path, text)
    assert shop is None
    assert faults[0].found == "passes of 'polish journals'"


def made(tmp_path: Path, text: str, bench: Bench | None = None) -> tuple[SetUp, ...]:
    job = tmp_path / "job"
    job.mkdir(exist_ok=True)
    for name in ("engine.yaml", "log.jsonl", "supply.yaml"):
        (job / name).write_bytes((DEMOS / "farm_single" / name).read_bytes())
    (job / "shop.yaml").write_text(text)
    found, faults = load_job(files_in(job))
    assert found is not None, faults
    plan = make_plan(found.sheet, found.shop, found.state, found.checks, found.findings)
    assert isinstance(plan, Plan)
    return set_ups(found, plan, order_of_work(plan.chosen, found.shop), bench)


def boring(found: tuple[SetUp, ...]) -> SetUp:
    return next(s for s in found if any(n.label == "bore to" for n in s.numbers))


def test_a_shop_that_says_nothing_gets_common_practice_marked_so(tmp_path: Path) -> None:
    bored = boring(made(tmp_path, shop_text("  - operation: bore cylinder\n    rate: machining\n",
                                            "")))  # fmt: skip
    assert bored.number("bore to").marks == (RULE_OF_THUMB,)
    assert all(cut.marks == (RULE_OF_THUMB,) for cut in bored.passes)


def test_the_shops_own_figures_are_used_and_carry_no_mark(tmp_path: Path) -> None:
    found = made(tmp_path, shop_text())
    bored = boring(found)
    number = bored.number("bore to")
    # 72.500 less the shop's 0.05 rather than 0.06 of common practice
    assert number.value == Fraction("72.45")
    assert number.marks == ()
    assert [t.words for t in number.terms][-1] == "left for honing, shop file"
    assert [(cut.name, cut.each, cut.count) for cut in bored.passes][-1] == (
        "finish",
        Fraction(2, 25),
        2,
    )
    assert all(cut.marks == () for cut in bored.passes)
    assert max(cut.each for cut in bored.passes) <= Fraction(1, 5)
    # honing has no passes of its own in this file: common practice, and said so
    honed = next(s for s in found if s.operation == "hone cylinder" and s.passes)
    assert all(RULE_OF_THUMB in cut.marks for cut in honed.passes)
    # the metal of the bore is known from the file, the temperature still has to be read
    asked = " ".join(text for s in found for text in s.read_first)
    assert "grade of the bore" not in asked
    assert "block temperature" in asked

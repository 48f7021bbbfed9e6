"""Guides sized to their stems, against the arithmetic beside each number."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from types import MappingProxyType, SimpleNamespace

import pytest

from sparkout.setups.all_steps import set_ups
from sparkout.setups.guides import check_guide, size_guide
from sparkout.sheet.model import Bounds


def test_guide_to_its_stem() -> None:
    # 8.961 + 0.045; less 0.02
    made = size_guide(8.961, 0.045, 0.02, projection=14.5)
    assert [float(n.value) for n in made.numbers] == [9.006, 8.986, 14.5]
    with pytest.raises(ValueError, match="clearance is 0 mm"):
        size_guide(8.961, 0, 0.02)
    with pytest.raises(ValueError, match=r"hone_stock is -0\.1 mm"):
        size_guide(8.961, 0.045, -0.1)


def test_guide_sold_finished_is_checked_not_reamed() -> None:
    # 9.005 − 8.961; 9.020 − 8.961; 8.961 + 0.030; 8.961 + 0.045
    made = check_guide(8.961, 9.005, 9.020, 0.045, 0.030, 0.060, projection=14.5)
    assert [float(n.value) for n in made.numbers] == [0.044, 0.059, 8.991, 9.006, 14.5]
    assert not any("ream" in number.label for number in made.numbers)
    assert all((n.low, n.high) == (F("0.03"), F("0.06")) for n in made.numbers[:2])
    read = check_guide(8.961, 9.010, 9.010, 0.045)
    assert [float(n.value) for n in read.numbers] == [0.049, 9.006]


def test_guide_too_wide_as_sold_is_refused() -> None:
    # 9.005 − 8.930 = 0.075, above 0.060 already at its least
    with pytest.raises(ValueError, match=r"bore_least is 9\.005 mm on a stem of 8\.93 mm"):
        check_guide(8.930, 9.005, 9.020, 0.045, 0.030, 0.060)
    with pytest.raises(ValueError, match=r"bore_most is 9 mm; it has to be bore_least, 9\.005"):
        check_guide(8.961, 9.005, 9.0, 0.045)


def sold_as(job, low: str | None, high: str | None):  # type: ignore[no-untyped-def]
    """The job with its intake guides sold with another bore, or with none given."""
    sizes = {} if low is None else {"guide diameter": Bounds(F(low), F(high), f"{low} to {high}")}
    parts = tuple(
        replace(part, sizes=MappingProxyType(sizes)) if part.kind == "guide" else part
        for part in job.sheet.parts
    )
    return SimpleNamespace(
        sheet=replace(job.sheet, parts=parts),
        shop=job.shop,
        state=job.state,
        findings=job.findings,
    )


@pytest.mark.parametrize(
    ("low", "high", "kind"),
    [
        # the reamer is 8.961 + 0.045 − 0.020 = 8.986
        ("8.900", "8.986", "size a guide to its stem"),
        ("8.900", "8.987", "check a guide sold finished"),
        ("9.005", "9.020", "check a guide sold finished"),
        (None, None, "size a guide to its stem"),
    ],
)
def test_reamed_only_where_the_reamer_cuts(
    setup_job, setup_plan, low: str | None, high: str | None, kind: str
) -> None:
    plan, steps = setup_plan("workboat_four")
    made = set_ups(sold_as(setup_job("workboat_four"), low, high), plan, steps)
    card = next(one for one in made if one.step and "guide I3" in one.features and
                one.kind != "press in a guide")  # fmt: skip
    assert card.kind == kind
    unsaid = any("does not say what bore it is sold with" in note for note in card.notes)
    assert unsaid == (low is None)
    if kind == "check a guide sold finished":
        assert not any("cutter" in line or "Tool" in line for line in card.dry_run)

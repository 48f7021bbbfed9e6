"""No number comes silently from what is assumed, stale, not proven, only planned, or missing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction as F
from types import MappingProxyType

import pytest

from sparkout.engine.dimension import How, Key
from sparkout.engine.state import State
from sparkout.judge.finding import Finding, Verdict
from sparkout.setups.all_steps import set_ups
from sparkout.setups.bench import Bench, Trial
from sparkout.setups.number import Number, Sum
from sparkout.setups.record import SetUp
from sparkout.setups.words import Said
from sparkout.sheet.model import DataSheet
from sparkout.sheet.shop import Shop

ENGINES = ("workboat_four", "road_eight", "farm_single")


@dataclass(frozen=True)
class Facts:
    """A job's facts with some of them changed."""

    sheet: DataSheet
    shop: Shop
    state: State
    findings: tuple[Finding, ...]


def changed(job, key: Key, **fields: object) -> Facts:  # type: ignore[no-untyped-def]
    sizes = dict(job.state.sizes)
    if fields:
        sizes[key] = replace(sizes[key], **fields)
    else:
        del sizes[key]
    state = replace(job.state, sizes=MappingProxyType(sizes))
    return Facts(job.sheet, job.shop, state, job.findings)


def one(made: tuple[SetUp, ...], kind: str, feature: str) -> SetUp:
    return next(item for item in made if item.kind == kind and feature in item.features)


@pytest.mark.parametrize("name", ENGINES)
def test_sums_are_exact_and_marks_complete(made_of, name: str) -> None:
    counted = 0
    for item in made_of(name):
        for number in item.numbers:
            marks = {mark for term in number.terms for mark in term.marks}
            assert marks <= set(number.marks), (item.kind, number.label)
            if number.terms and not number.rule:
                assert Sum(number.terms).value == number.value, (item.kind, number.label)
                counted += 1
    assert counted > 20


@pytest.mark.parametrize("name", ENGINES)
def test_every_term_that_names_an_assumed_or_planned_size_is_marked(
    made_of, setup_job, setup_plan, name: str
) -> None:
    """Independent of how the marks are made: the size's name in the words of a term is enough."""
    plan, _ = setup_plan(name)
    found = setup_job(name).state.sizes
    seen = 0
    for item in made_of(name):
        for number in item.numbers:
            for term in number.terms:
                sizes = [
                    size
                    for sizes in (found, plan.sizes)
                    for key, size in sizes.items()
                    if term.words == str(key) and term.value in (size.low.value, size.high.value)
                ]
                if sizes and all(s.how in (How.ASSUMED, How.MACHINED) for s in sizes):
                    assert term.marks, (item.kind, number.label, term)
                    assert set(term.marks) <= set(number.marks)
                    seen += 1
    assert seen or name == "farm_single"


@pytest.mark.parametrize("name", ENGINES)
@pytest.mark.parametrize("system", ["mm", "inch"])
def test_the_sum_shown_adds_up_to_the_number_shown(made_of, name: str, system: str) -> None:
    """Worked out from the printed figures alone, in either system of units."""
    said = Said(system)
    for item in made_of(name):
        for number in item.numbers:
            if number.rule or not number.terms or number.kind != "length":
                continue
            bare = replace(
                number, terms=tuple(replace(t, words="x" if t.words else "") for t in number.terms)
            )
            line = said.sum(bare).replace("x", "")
            if not line:
                continue
            shown = F(said.bare(number.value, number.kind, number.step))
            places = len(said.bare(number.value, number.kind, number.step).partition(".")[2])
            got = worked_out(line)
            # a factor or a divisor (a ratio, a half) is shown to its own digits
            slack = F(1, 2) if all(t.sign in "+−" for t in number.terms) else F(1)
            assert abs(got - shown) <= slack * F(1, 10**places), (item.kind, number.label, line)


def worked_out(line: str) -> F:
    """Left to right with brackets first, as the line is written."""
    text = line.replace("−", "-").replace("×", "*").replace("÷", "/")
    tokens = text.replace("(", " ( ").replace(")", " ) ").split()
    value = F(0)
    sign, pending = "+", None

    def apply(total: F, op: str, part: F) -> F:
        if op == "/":
            return total / part
        return {"+": total + part, "-": total - part, "*": total * part}[op]

    # "2 * 2.100" after a plus or minus is one part; after a bracket it scales the whole
    i, scaling = 0, False
    while i < len(tokens):
        token = tokens[i]
        if token == "(":
            pass
        elif token == ")":
            scaling = True
        elif token in "+-*/":
            sign = token
        else:
            part = F(token)
            if sign in "+-" and i + 2 < len(tokens) and tokens[i + 1] == "*" and not scaling:
                part *= F(tokens[i + 2])
                i += 2
            value = apply(value, sign, part) if pending is not None or sign in "+-" else part
            pending = value
        i += 1
    return value


def test_a_stale_reading_says_so_on_every_line_it_reaches(setup_job, setup_plan) -> None:
    job, (plan, steps) = setup_job("farm_single"), setup_plan("farm_single")
    facts = changed(job, Key("bore 1", "bore diameter"), how=How.STALE)
    bored = one(set_ups(facts, plan, steps), "bore to the piston in hand", "bore 1")
    metal = bored.number("metal to bore out")
    assert "bore 1 diameter stale: read it again, later work moved its datum" in metal.marks
    # the size itself does not hang on the old bore
    assert not any("stale" in mark for mark in bored.number("bore to").marks)


def test_what_is_not_proven_says_so(setup_job, setup_plan) -> None:
    job, (plan, steps) = setup_job("workboat_four"), setup_plan("workboat_four")
    findings = tuple(
        replace(f, verdict=Verdict.NOT_PROVEN)
        if f.key == Key("rod 2", "rod housing diameter")
        else f
        for f in job.findings
    )
    facts = Facts(job.sheet, job.shop, job.state, findings)
    big = one(set_ups(facts, plan, steps), "resize a big end", "rod 2")
    marks = big.number("stock for the hone, across the faces").marks
    assert any(mark.startswith("rod 2 housing diameter not proven") for mark in marks)


def test_a_part_not_yet_measured_gives_its_number_with_what_to_do(setup_job, setup_plan) -> None:
    job, (plan, steps) = setup_job("farm_single"), setup_plan("farm_single")
    key = Key("piston 1", "piston skirt diameter")
    sizes = dict(plan.sizes)
    old = sizes[key]
    sizes[key] = replace(
        old, how=How.ASSUMED, low=old.low.shifted(F("-0.003")), high=old.high.shifted(F("0.004"))
    )
    assumed = replace(plan, sizes=MappingProxyType(sizes))
    made = set_ups(job, assumed, steps)
    for kind, label in (
        ("bore to the piston in hand", "bore to"),
        ("hone to the piston in hand", "hone to"),
    ):
        number = one(made, kind, "bore 1").number(label)
        text = (
            "piston 1 skirt diameter assumed from the data sheet, 72.449 to 72.456: "
            "measure it first"
        )
        assert text in number.marks


def test_a_part_nobody_knows_gives_no_number_but_what_to_read(setup_job, setup_plan) -> None:
    job, (plan, steps) = setup_job("farm_single"), setup_plan("farm_single")
    key = Key("piston 1", "piston skirt diameter")
    sizes = {k: v for k, v in plan.sizes.items() if k != key}
    made = set_ups(job, replace(plan, sizes=MappingProxyType(sizes)), steps)
    bored = one(made, "bore to the piston in hand", "bore 1")
    assert bored.numbers == ()
    assert bored.stopped
    assert bored.read_first[0].startswith("piston 1 skirt diameter: read it with micrometer")


def test_a_reading_that_is_gone_is_named(setup_job, setup_plan) -> None:
    job, (plan, steps) = setup_job("workboat_four"), setup_plan("workboat_four")
    facts = changed(job, Key("seat I3", "valve recession"))
    seat = one(set_ups(facts, plan, steps), "cut a seat to its recession", "seat I3")
    assert seat.numbers == ()
    assert "seat I3 valve recession" in " ".join(seat.read_first)


def test_numbers_that_cannot_be_are_refused_with_what_they_were_made_of(
    setup_job, setup_plan
) -> None:
    """A parent bore of 104.030 gives liner 1 nothing to hold by, where holding is asked for."""
    job, (plan, steps) = setup_job("workboat_four"), setup_plan("workboat_four")
    sheet = job.sheet
    limit = sheet.limits["liner fit"]
    tight = replace(limit, new=replace(limit.new, low=F("0.002")))
    sheet = replace(sheet, limits=MappingProxyType({**sheet.limits, "liner fit": tight}))
    facts = Facts(sheet, job.shop, job.state, job.findings)
    liner = one(set_ups(facts, plan, steps), "fit a liner", "liner 2")
    assert liner.stopped
    # 104.014 − 104.018
    assert liner.refused[0].startswith("interference is -0.004 mm, which does not hold")
    assert [one.words for one in liner.inputs][:2] == [
        "liner 2 outside diameter", "parent bore 2 diameter",
    ]  # fmt: skip


def test_what_is_said_at_the_bench_is_used_and_not_marked(setup_job, setup_plan) -> None:
    job, (plan, steps) = setup_job("farm_single"), setup_plan("farm_single")
    bench = Bench(
        MappingProxyType({"block temperature": F(32), "sprocket bolt circle radius": F(25)}),
        MappingProxyType({"bore": "grey iron G3000"}),
        MappingProxyType({"I1": Trial(F("4.20"), F("0.25"))}),
    )
    made = set_ups(job, plan, steps, bench)
    honed = one(made, "hone to the piston in hand", "bore 1")
    warm = honed.number("gauge reads, warm")
    # 72.500 × (1 + 11.4e-6 × 12); Callister table B.6 gives grey iron 11.4
    assert float(warm.value) == pytest.approx(72.5 * (1 + 11.4e-6 * 12), abs=1e-6)
    assert warm.marks == ()
    assert honed.read_first == ()
    seat = one(made, "cut a seat to its recession", "seat I1")
    # 4.20 + (0.47 − 0.25)
    assert seat.number("stop the spindle's read-out at").value == F("4.42")
    assert one(made, "slot the cam sprocket", "camshaft").read_first == ()


def test_a_seat_wider_than_its_valve_face_is_refused_by_its_numbers(setup_job, setup_plan) -> None:
    """Width 1.4 to 1.8, middle 1.6, on a face of 1.5: said with what the two are."""
    job, (plan, steps) = setup_job("workboat_four"), setup_plan("workboat_four")
    said = {
        "valve head diameter": F(40), "seat outer diameter": F(39), "valve face width": F("1.5"),
        "top cutter angle": F(30), "throat cutter angle": F(60),
    }  # fmt: skip
    made = set_ups(job, plan, steps, Bench(MappingProxyType(said)))
    cones = one(made, "cut the three angles of a seat", "seat I3")
    assert cones.refused == (
        "seat is 1.6 mm wide, wider than the valve face, 1.5 mm; it has to be narrower: take it "
        "down with the top and throat cutters",
    )
    wider = Bench(MappingProxyType({**said, "valve face width": F("3")}))
    cones = one(set_ups(job, plan, steps, wider), "cut the three angles of a seat", "seat I3")
    # 39 − 2 × 1.6 × cos 45°
    inner = cones.number("seat inner diameter, throat cut ends here")
    assert float(inner.value) == pytest.approx(39 - 3.2 * 0.5**0.5, abs=1e-6)
    # the recession is only planned
    depth = cones.number("its outer edge lies below the face")
    assert "seat I3 valve recession planned, not yet cut" in depth.marks


def test_unknown_grades_are_refused_by_name(setup_job, setup_plan) -> None:
    job, (plan, steps) = setup_job("farm_single"), setup_plan("farm_single")
    bench = Bench(grades=MappingProxyType({"bore": "grey iron"}))
    with pytest.raises(ValueError, match="name the grade"):
        set_ups(job, plan, steps, bench)


def test_a_set_up_finds_its_numbers_by_label() -> None:
    item = SetUp("x", numbers=(Number("a", F(1)),))
    assert item.number("a").value == 1
    with pytest.raises(KeyError, match="no number 'b', only"):
        item.number("b")

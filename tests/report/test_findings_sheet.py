"""The findings sheet: what the customer reads is what was found, judged, planned and priced."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from job_samples import copied, shipped, source_in, worked_on

from sparkout.engine.dimension import Key
from sparkout.judge.finding import Verdict
from sparkout.plan.decide import Plan, Stuck
from sparkout.price.quote import quote
from sparkout.report.documents.findings import findings_sheet
from sparkout.report.documents.offers import MOST, Offer, least_cost, margins, offers_data
from sparkout.report.documents.source import Source
from sparkout.report.grouping import unique

ENGINES = ("workboat_four", "road_eight", "farm_single")


def plan_of(name: str) -> Plan:
    plan = shipped(name).plan
    assert isinstance(plan, Plan)
    return plan


@pytest.mark.parametrize("name", ENGINES)
def test_everything_out_of_limits_is_told_and_nothing_else(name: str) -> None:
    source = shipped(name)
    data = findings_sheet(source).data
    out = [f for f in unique(source.job.findings) if f.verdict is Verdict.OUT]
    groups = {(f.check.limit.name, f.side) for f in out}
    assert len(data["found"]) == len(groups)
    told = " ".join(row[2] for row in data["found"])
    for finding in out:
        assert finding.high is not None
        if finding.check.instance.inner or finding.check.limit.new is None:
            continue
        name_ = finding.check.limit.characteristic
        ends = {source.words.value(e.value, name_).rpartition(" ")[0].replace("-", "−")
                for e in (finding.low, finding.high) if e is not None}  # fmt: skip
        close = finding.verdict is Verdict.OUT and "between" in told
        assert close or any(end in told for end in ends), finding.reason


def test_plain_words_stand_beside_figures_and_limit() -> None:
    rows = findings_sheet(shipped("workboat_four")).data["found"]
    by_part = {(row[0]["strong"], row[1]): row[2:] for row in rows}
    key = ("Cylinders 2 and 3", "Worn too wide: oil is burned and power lost")
    assert by_part[key] == ["2: 100.246; 3: 100.221 mm", "at most 100.200 mm"]
    key = ("Cylinder liners 1 to 4", "Sunk too low in the block: the head gasket does not seal")
    assert by_part[key] == ["1: −0.020; 2: −0.070; 3: −0.040; 4: −0.030 mm", "0.030 to 0.080 mm"]


def test_the_short_version_counts_and_prices_right() -> None:
    source = shipped("workboat_four")
    price = quote(plan_of("workboat_four").chosen, source.job.shop)
    said = " ".join(findings_sheet(source).data["short"])
    assert f"against {len(source.job.findings)} limits" in said
    count = sum(f.verdict is Verdict.OUT for f in source.job.findings)
    assert f"{count} are not" in said
    assert f"costs {price.firm // 100}.{price.firm % 100:02d} EUR before tax" in said
    assert f"at most {price.total // 100}.{price.total % 100:02d} EUR in all" in said


@pytest.mark.parametrize("name", ENGINES)
def test_each_change_of_the_plan_is_told_once_with_a_reason(name: str) -> None:
    data = findings_sheet(shipped(name)).data
    reasons = plan_of(name).reasons
    text = " ".join(row[1] for row in data["work"])
    assert [row[0] for row in data["work"]] == [str(k) for k in range(1, len(data["work"]) + 1)]
    for reason in reasons:
        head = reason.words[0].upper() + reason.words[1:]
        alike = next(row for row in data["work"] if row[1].startswith(head[:12]))
        assert alike[2].endswith(".")
        assert head in text or "the same on" in text


def test_why_names_what_forced_it() -> None:
    rows = {row[1]: row[2] for row in findings_sheet(shipped("workboat_four")).data["work"]}
    assert rows["Straighten rod 3 cold and crack-test it"] == "Connecting rod 3: bent."
    assert rows["Fit a new damper"] == "Vibration damper: has slipped."
    rows = {row[1]: row[2] for row in findings_sheet(shipped("farm_single")).data["work"]}
    assert rows["Fit lash shim 2.40 at valve I1"] == (
        "The other work moves intake valve lash; without this it would be out of limits."
    )


@pytest.mark.parametrize("name", ENGINES)
def test_the_price_in_full_is_the_quote_to_the_cent(name: str) -> None:
    source = shipped(name)
    price = quote(plan_of(name).chosen, source.job.shop)
    (table,) = findings_sheet(source).data["price"]
    amounts = [row[2] if isinstance(row[2], str) else row[2]["strong"] for row in table["rows"]]
    cents = [round(float(text.split()[0]) * 100) for text in amounts]
    lines = len(price.lines)
    assert cents[:lines] == [line.amount for line in price.lines]
    assert cents[lines:] == [price.firm, price.contingency, price.tax, price.total]
    assert sum(cents[:lines]) == price.firm
    assert price.firm + price.contingency + price.tax == price.total


def three_offers(name: str) -> tuple[Offer, ...]:
    plan = plan_of(name)
    least = least_cost(shipped(name).job, plan)
    more = replace(least.price, firm=least.price.firm + 50_000, total=least.price.total + 60_000)
    most = replace(least.price, firm=least.price.firm + 90_000, total=least.price.total + 99_000)
    return (
        Offer("As new", plan, most, ("everything new",)),
        Offer("Best value", plan, more, ("new pistons", "longer life"), chosen=True),
        least,
    )


def test_up_to_three_offers_stand_side_by_side_cheapest_first() -> None:
    offers = three_offers("workboat_four")
    data = findings_sheet(shipped("workboat_four"), offers).data
    columns = data["offers"]["columns"]
    assert [c["name"] for c in columns] == ["Least cost within all limits", "Best value", "As new"]
    assert [c["chosen"] for c in columns] == [False, True, False]
    rows = data["offers"]["rows"]
    assert all(len(column["cells"]) == len(rows) for column in columns)
    more = rows.index("More than the first")
    assert [column["cells"][more] for column in columns] == ["–", "600.00 EUR", "990.00 EUR"]
    assert columns[1]["cells"][rows.index("What it buys")] == ["new pistons", "longer life"]
    assert data["total"] == ""  # which one is approved is to be ticked
    assert len(data["price"]) == 3
    assert "offers" in data["pictures"]
    assert len(offers_data((*offers, offers[0]), shipped("workboat_four").words)["columns"]) == MOST


def test_wear_left_is_what_the_limit_leaves() -> None:
    plan = plan_of("workboat_four")
    found = {m.finding.check.limit.name: m for m in margins(plan.after)}
    # Lobe E3 lifts 6.91; new at least 7.02, worn out below 6.85: 0.06 of 0.17 left.
    lobe = found["lobe lift"]
    assert lobe.finding.check.instance.feature == "lobe E3"
    assert (float(lobe.left), float(lobe.room)) == (0.06, 0.17)
    assert [m.share for m in margins(plan.after)] == sorted(m.share for m in found.values())
    assert all(m.finding.side == "service" for m in found.values())


def test_what_was_not_measured_says_what_that_may_change() -> None:
    rows = findings_sheet(shipped("workboat_four")).data["unknown"]
    assert [row[1] for row in rows] == ["seat crack test", "piston weight spread"]
    assert rows[0][0] == "Valve seats E1, E2, E4 and I1 to I4"
    assert all(row[2].endswith(".") for row in rows)


def test_an_engine_nobody_measured_gets_no_price_and_no_line_to_sign(tmp_path: Path) -> None:
    source = source_in(copied(tmp_path, "farm_single", log=False))
    data = findings_sheet(source).data
    assert data["offers"]["columns"] == []
    assert data["names"] == []
    assert data["price"] == []
    assert data["work"] == []
    assert "there is no offer" in " ".join(data["short"])
    assert data["frame"]["date"] == "2027-03-01"


def test_no_plan_is_said_with_what_cannot_be_met() -> None:
    source = shipped("farm_single")
    stuck = Stuck(plan_of("farm_single").compiled, ("a",), ("deck cut -0.2 mm is too deep",), ())
    data = findings_sheet(replace(source, plan=stuck)).data
    assert data["stuck"] == ["Deck cut −0.2 mm is too deep."]
    assert data["offers"]["columns"] == []
    assert "not every limit can be met" in " ".join(data["short"])


def test_limits_that_are_rules_of_thumb_say_so() -> None:
    source = shipped("farm_single")

    def thumbed(source: Source) -> Source:
        found = []
        for finding in source.job.findings:
            limit = replace(finding.check.limit, thumb="a tenth a thou")
            found.append(replace(finding, check=replace(finding.check, limit=limit)))
        return replace(source, job=replace(source.job, findings=tuple(found)))

    data = findings_sheet(thumbed(source)).data
    assert all("a rule of thumb: a tenth a thou" in row[3] for row in data["found"] if row[3]
               != "must pass")  # fmt: skip
    assert any("rule of thumb (a tenth a thou)" in text for text in data["cautions"])
    plain = findings_sheet(source).data["cautions"]
    assert not any("Limits marked" in text for text in plain)
    # its ratio was read with no gauge named
    assert any("rule of thumb" in text and "compression ratio" in text for text in plain)


def test_approvals_in_the_log_are_printed_with_what_was_declined(tmp_path: Path) -> None:
    (approval,) = findings_sheet(source_in(worked_on(tmp_path))).data["approvals"]
    assert approval["by"] == "P. Farmer"
    assert approval["amount"] == "1117.78 EUR"
    assert approval["declined"] == ["new exhaust valve"]


def test_heads_and_digest_are_those_of_the_log(tmp_path: Path) -> None:
    source = source_in(worked_on(tmp_path))
    proof = findings_sheet(source).data["proof"]
    heads = {row[0]: row for row in proof["heads"]}
    assert set(heads) == {"bench-1", "tablet", "office"}
    for device, row in heads.items():
        last = max((e for e in source.entries if e.device == device), key=lambda e: e.number)
        assert row[1] == str(last.number)
        assert row[3] == last.hash
    assert proof["digest"] == source.digest()
    fewer = replace(source, entries=source.entries[:-1])
    assert fewer.digest() != source.digest()
    other = replace(source.job.sheet, digest="0" * 64)
    assert replace(source, job=replace(source.job, sheet=other)).digest() != source.digest()
    # the day of the last entry, whatever order they stand in
    assert source.date == "2027-03-02"


def test_sizes_are_shown_in_the_unit_of_the_shop() -> None:
    data = findings_sheet(shipped("road_eight")).data
    rows = {row[0]["strong"]: row for row in data["found"]}
    size = shipped("road_eight").job.state.found[Key("bore 6", "bore score depth")]
    assert rows["Cylinder 6"][2] == f"{float(size.high.value) / 25.4:.4f} in"


def test_what_the_price_does_not_cover_stands_under_it() -> None:
    assert findings_sheet(shipped("road_eight")).data["missing"] == (
        "Not in this price: strip, wash, measuring, trial assembly, assembly and run-in."
    )

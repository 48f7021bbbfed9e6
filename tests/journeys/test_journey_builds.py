"""Parts of other jobs through commands alone: what mock-up finds out, parts left over."""

from __future__ import annotations

from pathlib import Path

import pytest
from shop_floor import Bench, begin, copied


@pytest.fixture(scope="module")
def boat(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return begin(tmp_path_factory.mktemp("shop") / "boat", "workboat_four", readings=True)


@pytest.fixture(scope="module")
def road(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return begin(tmp_path_factory.mktemp("shop") / "road", "road_eight", readings=True)


def test_mock_up_readings_are_findings_and_choose_the_gasket(boat: Bench, tmp_path: Path) -> None:
    bench = copied(boat, tmp_path / "boat")
    before = bench.sparkout("plan", status=bench.sparkout_status("plan")).words
    # piston protrusion belongs to a bore, as its limit does
    lines = bench.lines()
    bench.check("trial-pistons/piston protrusion", "piston 1", "0.46", "--gauge", "BI-1", status=2)
    assert bench.lines() == lines
    for bore, value in ((1, "0.44"), (2, "0.46"), (3, "0.45"), (4, "0.43")):
        bench.check("read-protrusion/piston protrusion", f"bore {bore}", value, "--gauge", "BI-1")
    check = next(c for c in bench.step("read-protrusion")["checks"] if c["check"] == "gasket grade")
    assert check["state"] == "in order"
    # the last piston stands higher: the gasket on the bench is the wrong grade, and the step fails
    bench.check("read-protrusion/piston protrusion", "bore 2", "0.55", "--gauge", "BI-1")
    told = bench.sparkout("assembly", "--step", "read-protrusion", status=1)
    assert "largest piston protrusion, for head gasket 1.30: 0.40 to 0.50 mm" in told.words
    assert "0.55 mm at bore 2 is outside" in told.words
    # what is being built stays what was decided, whatever was read since
    assert "part: 1 × head gasket 1.30" in told.words
    assert "head gasket 1.30" in before


def test_end_play_out_of_limits_holds_what_comes_after(boat: Bench, tmp_path: Path) -> None:
    bench = copied(boat, tmp_path / "boat")
    told = bench.check("trial-crankshaft/end play", "crankshaft", "0.45", "--gauge", "DI-1")
    assert "outside the service limit, 0.10 to 0.40 mm" in told.words
    assert "✕ end play: 0.45" in bench.sparkout("check", status=1).words
    assert bench.step("trial-crankshaft")["state"] == "failed"
    # thicker washers in: read again, the last reading counts
    bench.check("trial-crankshaft/end play", "crankshaft", "0.26", "--gauge", "DI-1")
    assert "✕ end play" not in bench.sparkout("check", status=1).words
    assert bench.step("trial-crankshaft")["state"] == "held"


def test_missing_and_spare_parts_stand_out(road: Bench, tmp_path: Path) -> None:
    bench = copied(road, tmp_path / "road")
    told = bench.sparkout("assembly")
    assert "not all received: main shells, standard (5 planned, 0 received, 0 used)" in told.words
    bench.fields("observation", "feature=circlip", "what=spare part left over",
                 "text=one, under the bench")  # fmt: skip
    told = bench.sparkout("assembly")
    assert "left over: circlip: left over (one, under the bench)" in told.words
    # a part nobody planned
    bench.check("fit-main-shells/used/main shells, 0.010 under", "5")
    told = bench.sparkout("assembly")
    assert "not in the plan: main shells, 0.010 under (0 planned, 0 received, 5 used)" in told.words

"""The assembly sheet of each shipped engine, whole."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from assembly_makers import NAMES, build, demo

from sparkout.assembly.build import AssemblySheet, assembly_sheet
from sparkout.assembly.step import CheckKind, PlanFacts, PlannedPart, Stage
from sparkout.cautions import SafetyMessage, shipped_messages
from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Key
from sparkout.engine.of_sheet import frame_of
from sparkout.sheet.assembly_model import AssemblySpec, LashValues, MakerStep, Retorque
from sparkout.sheet.model import Bounds, Side

BOAT = """
wash-parts fit-plugs lay-out-parts trial-crankshaft trial-pistons trial-valve-gear strip-trial
fit-camshaft tighten-cam-thrust-plate fit-liners fit-main-shells fit-crankshaft tighten-main-caps
check-crankshaft fit-idler-gear tighten-idler-pin gap-rings assemble-pistons fit-pistons
tighten-rod-caps-1 tighten-rod-caps-2 tighten-rod-caps-3 tighten-rod-caps-4 check-rods
read-protrusion time-cam build-heads fit-heads tighten-head fit-rockers tighten-rocker-stands
fit-injection-pump set-lash fit-oil-pump tighten-oil-pump fit-injectors tighten-injectors-1
tighten-injectors-2 tighten-injectors-3 tighten-injectors-4 fit-damper tighten-damper fit-flywheel
tighten-flywheel fit-covers tighten-sump account-for-parts prime-oil first-start warm-up
retighten-head reset-lash run-in recheck-lash release
"""

ROAD = """
wash-parts fit-plugs lay-out-parts trial-crankshaft trial-pistons trial-valve-gear strip-trial
fit-camshaft tighten-cam-thrust-plate fit-main-shells fit-crankshaft tighten-main-caps
check-crankshaft gap-rings assemble-pistons fit-pistons tighten-rod-caps-1 tighten-rod-caps-2
tighten-rod-caps-3 tighten-rod-caps-4 tighten-rod-caps-5 tighten-rod-caps-6 tighten-rod-caps-7
tighten-rod-caps-8 check-rods read-protrusion time-cam tighten-cam-sprocket build-heads fit-heads
tighten-head-left tighten-head-right fit-rockers set-preload fit-manifold tighten-manifold
fit-oil-pump tighten-oil-pump fit-damper tighten-damper fit-flywheel tighten-flywheel
fit-covers account-for-parts prime-oil first-start run-in release
"""

FARM = """
wash-parts fit-plugs lay-out-parts fit-crankcase tighten-crankcase trial-pistons trial-valve-gear
strip-trial gap-rings assemble-pistons fit-barrels check-rods build-heads fit-heads
tighten-head fit-cam-in-head tighten-cam-caps time-cam tighten-cam-sprocket set-lash fit-covers
account-for-parts prime-oil first-start warm-up retighten-head run-in recheck-lash release
"""


@pytest.mark.parametrize(("name", "ids"), list(zip(NAMES, (BOAT, ROAD, FARM), strict=True)))
def test_steps_of_each_engine(name: str, ids: str) -> None:
    """Hand-written from the engines: no shells or oil pump on the single with rollers, no injectors
    on petrol, liners on the boat alone, cam in the head on the single alone."""
    assert [step.id for step in build(name).steps] == ids.split()


@pytest.mark.parametrize("name", NAMES)
def test_no_step_waits_for_a_later_one(name: str) -> None:
    done: set[str] = set()
    for step in build(name).steps:
        assert set(step.after) <= done, step.id
        assert step.id not in done
        done.add(step.id)


@pytest.mark.parametrize("name", NAMES)
def test_everything_is_held_by_something_and_leads_to_the_end(name: str) -> None:
    """One way in and one way out: from the wash to the release, through every step."""
    steps = build(name).steps
    assert [step.id for step in steps if not step.after] == ["wash-parts"]
    waited = {after for step in steps for after in step.after}
    assert [step.id for step in steps if step.id not in waited] == ["release"]


@pytest.mark.parametrize("name", NAMES)
def test_checks_are_on_features_of_this_engine_with_limits_of_this_sheet(name: str) -> None:
    sheet, frame, _ = demo(name)
    for step in build(name).steps:
        for check in step.checks:
            if check.kind is not CheckKind.READING:
                continue
            feature = frame.feature(check.feature)
            assert feature is not None, check
            limit = sheet.limit_for(check.characteristic, feature.tags)
            known = BY_NAME[check.characteristic]
            assert known.feature == feature.kind
            if limit is None:  # lash may stand under `lash` alone
                assert check.characteristic == "valve lash"
                continue
            assert check.bounds == limit.side(check.side)
            assert check.source == limit.source


@pytest.mark.parametrize("name", NAMES)
def test_every_step_says_what_to_do_and_what_holds_the_next(name: str) -> None:
    for step in build(name).steps:
        assert step.do or step.checks, step.id
        assert step.gate
        assert step.title
        for feature in step.features:
            assert demo(name)[1].feature(feature) is not None


def held_by(sheet: AssemblySheet) -> dict[str, set[str]]:
    """Every step that has to be done before each."""
    above: dict[str, set[str]] = {}
    for step in sheet.steps:
        above[step.id] = set(step.after).union(*(above[name] for name in step.after))
    return above


@pytest.mark.parametrize("name", ["road_eight", "workboat_four"])
def test_a_cam_in_the_block_is_timed_before_a_valve_can_meet_a_piston(name: str) -> None:
    """Common practice: crank and pistons in, heads and rockers not yet on."""
    above = held_by(build(name))
    assert {"fit-camshaft", "check-crankshaft", "check-rods"} <= above["time-cam"]
    assert not {"fit-heads", "fit-rockers"} & above["time-cam"]
    assert "time-cam" in above["fit-heads"]


def test_an_overhead_cam_is_timed_after_its_head() -> None:
    above = held_by(build("farm_single"))
    assert {"tighten-head", "tighten-cam-caps"} <= above["time-cam"]
    assert "time-cam" in above["set-lash"]
    sheet, frame, _ = demo("workboat_four")
    over = replace(sheet, identity=replace(sheet.identity, camshaft="overhead"))
    made, _ = assembly_sheet(over, frame, PlanFacts(), ())
    assert "tighten-head" in held_by(made)["time-cam"]
    assert [step.id for step in made.steps].count("time-cam") == 1


def test_a_single_has_its_crankcase_together_before_the_trial() -> None:
    """Nothing can be tried on a shaft that lies on the bench; like the plugs it is in for good."""
    made = build("farm_single")
    above = held_by(made)
    assert "tighten-crankcase" in above["trial-pistons"]
    assert "lay-out-parts" in above["fit-crankcase"]
    step = made.step("tighten-crankcase")
    assert step is not None
    assert step.stage is Stage.READY


def test_one_way_of_holding_the_shaft_is_told() -> None:
    step = build("farm_single").step("fit-crankcase")
    assert step is not None
    (runout,) = [check for check in step.checks if check.characteristic == "crankshaft runout"]
    assert "between centres" in runout.how
    assert "V-blocks" not in runout.how


def test_preload_is_read_before_the_manifold_closes_the_valley() -> None:
    above = held_by(build("road_eight"))
    assert {"time-cam", "fit-rockers"} <= above["set-preload"]
    assert "set-preload" in above["fit-manifold"]
    assert "tighten-manifold" in above["fit-covers"]


def test_trade_precedence_holds() -> None:
    """The order a careful assembler keeps (common practice), as far as the boat has the steps."""
    above = held_by(build("workboat_four"))
    for earlier, later in [
        ("wash-parts", "trial-crankshaft"),
        ("trial-pistons", "strip-trial"),
        ("strip-trial", "fit-crankshaft"),
        ("fit-main-shells", "fit-crankshaft"),
        ("tighten-main-caps", "check-crankshaft"),
        ("check-crankshaft", "fit-pistons"),
        ("fit-liners", "gap-rings"),
        ("gap-rings", "assemble-pistons"),
        ("read-protrusion", "fit-heads"),
        ("build-heads", "fit-heads"),
        ("tighten-head", "fit-rockers"),
        ("time-cam", "fit-injection-pump"),
        ("time-cam", "set-lash"),
        ("account-for-parts", "first-start"),
        ("prime-oil", "first-start"),
        ("first-start", "warm-up"),
        ("warm-up", "retighten-head"),
        ("retighten-head", "reset-lash"),
        ("reset-lash", "run-in"),
        ("run-in", "recheck-lash"),
    ]:
        assert earlier in above[later], (earlier, later)


@pytest.mark.parametrize(
    ("kind", "seals", "trial"),
    [("wet liner", True, True), ("dry flanged liner", False, False), ("dry liner", False, False)],
)
def test_seals_are_for_wet_liners_alone(kind: str, seals: bool, trial: bool) -> None:
    sheet, _, _ = demo("workboat_four")
    own = tuple(step for step in sheet.assembly.steps if step.step != "fit-liners")
    other = replace(
        sheet,
        layout=replace(sheet.layout, cylinder_kind=kind),
        assembly=replace(sheet.assembly, steps=own),
    )
    made, _ = assembly_sheet(other, frame_of(other), PlanFacts(), shipped_messages())
    (step,) = [step for step in made.steps if step.id == "fit-liners"]
    text = " ".join((*step.do, step.lubricant))
    assert ("seals wet, never twisted" in text) == seals
    assert ("there are no seals" in text) != seals
    assert ("pressing" in step.cautions) == seals
    assert ("trial-liners" in {step.id for step in made.steps}) == trial


def with_head_again(when: str) -> AssemblySheet:
    """The boat with its head tightened again at another time."""
    sheet, frame, _ = demo("workboat_four")
    head = sheet.assembly.joints["head"]
    again = replace(head, retorque=Retorque(when, head.stages[-1:]))
    joints = {**sheet.assembly.joints, "head": again}
    other = replace(sheet, assembly=replace(sheet.assembly, joints=joints))
    made, faults = assembly_sheet(other, frame, PlanFacts(), shipped_messages())
    assert faults == ()
    return made


@pytest.mark.parametrize(
    "when", ["after the first warm-up, cooled to the touch", "warm, at idle", "cold next morning"]
)
def test_the_head_is_tightened_again_before_it_is_loaded(when: str) -> None:
    """Common practice: warm it up once, let it stand, tighten, only then run it in."""
    made = with_head_again(when)
    assert {"first-start", "warm-up", "retighten-head"} <= held_by(made)["run-in"]
    warm, run_in = made.step("warm-up"), made.step("run-in")
    assert warm is not None
    assert run_in is not None
    assert warm.do[0].startswith("warm up, 1000 rpm")
    assert not any(words.startswith("warm up") for words in run_in.do)
    assert any(words.startswith("light load") for words in run_in.do)
    assert "exhaust gas" in warm.cautions


@pytest.mark.parametrize("when", ["after 20 h, cold", "at 500 km", "after running in"])
def test_what_is_tightened_after_running_waits_for_it(when: str) -> None:
    made = with_head_again(when)
    assert "run-in" in held_by(made)["retighten-head"]
    assert "retighten-head" in held_by(made)["recheck-lash"]
    assert made.step("warm-up") is None
    assert made.step("reset-lash") is None
    run_in = made.step("run-in")
    assert run_in is not None
    assert any(words.startswith("warm up") for words in run_in.do)


def test_an_engine_whose_sheet_says_nothing_is_not_tightened_again() -> None:
    road = [step.id for step in build("road_eight").steps]
    assert not {"warm-up", "reset-lash"} & set(road)
    assert not any(step.startswith("retighten") for step in road)


def test_the_makers_word_goes_before_the_trades() -> None:
    steps = build("workboat_four")
    pistons = steps.step("assemble-pistons")
    assert pistons is not None
    assert pistons.orientation.startswith("bowl to the camshaft side")
    assert pistons.source == "invented; common practice"
    crank = steps.step("fit-crankshaft")
    assert crank is not None
    assert "drilled head" in crank.fasteners
    gear = steps.step("fit-idler-gear")
    assert gear is not None
    assert gear.after == ("check-crankshaft",)
    # what waited for the crankshaft waits for the idler as well
    flywheel = steps.step("fit-flywheel")
    assert flywheel is not None
    assert flywheel.after == ("tighten-idler-pin",)
    pump = steps.step("fit-injection-pump")
    assert pump is not None
    (timing,) = pump.checks
    assert timing.bounds is not None
    assert (timing.dimension, timing.bounds.low, timing.bounds.high) == ("angle", 13.5, 14.5)


def test_ring_gaps_are_spread_and_lash_is_told_position_by_position() -> None:
    boat = build("workboat_four")
    pistons, lash = boat.step("assemble-pistons"), boat.step("set-lash")
    assert pistons is not None
    assert any("3 ring gaps 120° apart" in words for words in pistons.do)
    assert lash is not None
    assert lash.do[:4] == (
        "Cylinder 1 at top dead centre, firing: I1, E1, I2, E3. [even firing assumed]",
        "Turn on 360°. Cylinder 4 at top dead centre, firing: E2, I3, I4, E4. "
        "[even firing assumed]",
        "intake 0.30 to 0.35 mm cold: 30 goes, 35 does not (hundredths).",
        "exhaust 0.40 to 0.45 mm cold: 40 goes, 45 does not (hundredths).",
    )
    assert len(lash.checks) == 8
    road = build("road_eight").step("set-preload")
    assert road is not None
    assert {check.characteristic for check in road.checks if check.characteristic} == {
        "hydraulic preload"
    }


def test_what_the_plan_makes_new_is_held_to_the_new_limits() -> None:
    """End play of the boat: new 0.10 to 0.30, in service to 0.40 mm. Washers and ring gaps made
    new by the plan move to the new limits; a fit does when all it is made of is new."""
    sheet, frame, shop = demo("workboat_four")
    ring = Key("top ring 1", "ring gap")
    facts = PlanFacts(as_new=frozenset({ring}))
    made, _ = assembly_sheet(sheet, frame, facts, (), shop.units)
    step = made.step("gap-rings")
    assert step is not None
    sides = {check.feature: (check.side, check.bounds) for check in step.checks}
    assert sides["top ring 1"][0] == Side.NEW
    assert sides["top ring 2"][0] == Side.SERVICE
    assert sides["top ring 1"][1] == sheet.limits["top ring gap"].new
    assert sides["top ring 2"][1] == sheet.limits["top ring gap"].service


def test_the_chosen_gasket_is_held_to_its_protrusion() -> None:
    facts = PlanFacts((PlannedPart("head gasket 1.30", "gasket", 1, ("head",)),
                       PlannedPart("main shells, standard", "main shells", 1)))  # fmt: skip
    boat = build("workboat_four", facts)
    step = boat.step("read-protrusion")
    assert step is not None
    (grade,) = step.checks
    assert grade.kind is CheckKind.LARGEST
    assert grade.words == "largest piston protrusion, for head gasket 1.30: 0.40 to 0.50 mm"
    shells = boat.step("fit-main-shells")
    heads = boat.step("fit-heads")
    assert shells is not None
    assert heads is not None
    assert [part.part for part in shells.parts] == ["main shells, standard"]
    assert [part.part for part in heads.parts] == ["head gasket 1.30"]


def test_a_joint_without_data_holds_the_build() -> None:
    """An engine whose sheet says nothing of assembly still gets its steps; the joints every engine
    has are asked for, not invented."""
    sheet, frame, _ = demo("workboat_four")
    bare = replace(sheet, assembly=AssemblySpec())
    made, faults = assembly_sheet(bare, frame, PlanFacts(), ())
    assert faults == ()
    for name in ("tighten-main-caps", "tighten-rod-caps", "tighten-head"):
        step = made.step(name)
        assert step is not None
        assert step.joint is None
        assert [check.needs_note for check in step.checks] == [True]
        assert "add them to the sheet" in step.do[0]
    assert made.step("tighten-flywheel") is None
    assert made.run.stages_source == "common practice"
    assert made.step("set-lash") is None  # no lash known: nothing is made up
    start = made.step("first-start")
    assert start is not None
    assert {check.kind for check in start.checks} == {CheckKind.SEEN}


def test_a_step_after_nothing_known_is_told() -> None:
    sheet, frame, _ = demo("farm_single")
    lost = MakerStep("fit-kick-start", after=("fit-crankcas",), source="invented")
    spec = replace(sheet.assembly, steps=(*sheet.assembly.steps, lost))
    made, faults = assembly_sheet(replace(sheet, assembly=spec), frame, PlanFacts(), ())
    (fault,) = faults
    assert (fault.found, fault.remedy) == ("'fit-crankcas'", "Did you mean 'fit-crankcase'?")
    assert made.step("fit-kick-start") is not None


def test_steps_that_wait_for_each_other_are_told() -> None:
    sheet, frame, _ = demo("farm_single")
    loop = MakerStep("strip-trial", after=("fit-heads",), source="invented")
    spec = replace(sheet.assembly, steps=(*sheet.assembly.steps, loop))
    made, faults = assembly_sheet(replace(sheet, assembly=spec), frame, PlanFacts(), ())
    (fault,) = faults
    assert fault.found.startswith("steps that wait for each other: strip-trial, ")
    assert len(made.steps) == len(build("farm_single").steps)


def test_a_joint_on_nothing_is_told() -> None:
    sheet, frame, _ = demo("farm_single")
    joints = {**sheet.assembly.joints, "injectors": replace(
        sheet.assembly.joints["cam sprocket"], name="injectors", each="injector")}  # fmt: skip
    spec = replace(sheet.assembly, joints=joints)
    made, faults = assembly_sheet(replace(sheet, assembly=spec), frame, PlanFacts(), ())
    (fault,) = faults
    assert (fault.found, fault.stops) == ("'injector', of which this engine has none", False)
    assert not any("injector" in step.id for step in made.steps)


def test_hot_lash_is_read_again_with_its_own_blades() -> None:
    sheet, frame, _ = demo("workboat_four")
    lash = sheet.assembly.lash
    assert lash is not None
    hot = LashValues(Bounds(Fraction("0.25"), Fraction("0.30"), "0.25 to 0.30 mm"), None)
    spec = replace(sheet.assembly, lash=replace(lash, hot=hot))
    made, _ = assembly_sheet(replace(sheet, assembly=spec), frame, PlanFacts(), ())
    step = made.step("recheck-lash")
    assert step is not None
    assert [(check.feature, check.bounds) for check in step.checks] == [
        (f"valve I{n}", hot.intake) for n in (1, 2, 3, 4)
    ]
    assert "intake 0.25 to 0.30 mm hot: 25 goes, 30 does not (hundredths)." in step.do


def test_a_two_stroke_is_told_and_keeps_its_other_steps() -> None:
    sheet, frame, _ = demo("workboat_four")
    two = replace(sheet, identity=replace(sheet.identity, cycle="two-stroke diesel"))
    made, faults = assembly_sheet(two, frame, PlanFacts(), ())
    assert made.lash is None
    assert [fault.expected for fault in faults] == ["a four-stroke engine"]
    assert made.step("tighten-head") is not None


def test_cautions_belong_to_the_work_and_the_shop_can_add_its_own() -> None:
    start = build("workboat_four").step("first-start")
    assert start is not None
    assert {"first start", "exhaust gas", "injector jet", "dry start"} <= set(start.cautions)
    own = SafetyMessage("our hoist", "WARNING", "It creeps.", "Crushing.", "Pin it.", ("lay in",))
    sheet, frame, _ = demo("workboat_four")
    made, _ = assembly_sheet(sheet, frame, PlanFacts(), (*shipped_messages(), own))
    crank = made.step("fit-crankshaft")
    assert crank is not None
    assert "our hoist" in crank.cautions
    assert "lifting" in crank.cautions


@pytest.mark.parametrize("name", NAMES)
def test_stages_of_the_build_follow_each_other(name: str) -> None:
    order = list(Stage)
    reached: dict[str, int] = {}
    for step in build(name).steps:
        for before in step.after:
            assert reached[before] <= order.index(step.stage), step.id
        reached[step.id] = order.index(step.stage)

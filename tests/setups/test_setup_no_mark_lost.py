"""Whatever a number hangs on, its marks stand beside it: found by changing each input in turn.

For every kind of set-up, each input is marked with its own name. Then each is changed a little; any
number that moves has to carry the mark of the input that moved it.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction as F
from typing import Any

import pytest

from sparkout.mechanics.materials import material
from sparkout.setups.balancing import bob_weights
from sparkout.setups.big_end import resize_big_end
from sparkout.setups.boring import bore_to_piston
from sparkout.setups.cam_bores import size_bore
from sparkout.setups.cam_timing import slot_sprocket
from sparkout.setups.centring import bore_centre, centre_from_readings
from sparkout.setups.crank_grind import grind_journal
from sparkout.setups.guides import check_guide, size_guide
from sparkout.setups.honing import cross_hatch_set_up, hone_to_piston
from sparkout.setups.injectors import choose_washer
from sparkout.setups.ledges import cut_ledge, ledge_for_protrusion
from sparkout.setups.line_hone import hone_housing
from sparkout.setups.liner_shell import bore_out_liner
from sparkout.setups.liners import fit_liner
from sparkout.setups.manifold import cut_manifold
from sparkout.setups.number import Given
from sparkout.setups.pressing import press_in
from sparkout.setups.record import SetUp
from sparkout.setups.seat_cones import cut_cones
from sparkout.setups.seat_inserts import cut_pocket
from sparkout.setups.sleeving import bore_for_sleeve
from sparkout.setups.small_end import bore_bush
from sparkout.setups.spring_shims import shim_spring
from sparkout.setups.stem_tips import grind_tip
from sparkout.setups.thrust import fit_washers
from sparkout.setups.valve_faces import reface_rocker, reface_valve
from sparkout.setups.valve_seats import cut_seat, spindle_depth
from sparkout.setups.valve_train import adjuster_range, follower_preload, lash_by_shim

IRON = material("grey iron G4000")
STEEL = material("steel 4140")

# Every argument that takes a size, with a value that can be changed a little without a refusal.
SAMPLES: list[tuple[Callable[..., SetUp], dict[str, Any]]] = [
    (bore_to_piston, {"piston": 72.452, "clearance": 0.048, "hone_stock": 0.06,
                      "present": 72.008, "clean_up": 72.308}),
    (bore_centre, {"unworn": 72.008, "wear": 0.15, "offset_limit": 0.04,
                   "true_centre_off": 0.02}),
    (bore_centre, {"unworn": 72.008, "wear": 0.15, "offset_limit": 0.04, "true_centre_off": 0.02,
                   "finish": 72.2}),
    (bore_centre, {"unworn": 72.008, "wear": 0.15, "offset_limit": 0.04, "true_centre_off": 0.02,
                   "finish": 72.5}),
    (centre_from_readings, {"right": 0.08, "left": 0.02, "front": 0.01, "rear": 0.03}),
    (hone_to_piston, {"piston": 72.452, "clearance": 0.048, "stock": 0.06, "temperature": 32,
                      "expansion": 11.4, "gauge_temperature": 24, "gauge_expansion": 11.5}),
    (cross_hatch_set_up, {"bore": 100, "rev_per_min": 150, "stroke": 130,
                          "double_strokes_per_min": 60}),
    (bore_out_liner, {"parent_bore": 104.006, "shell": 0.5, "off_centre": 0.1,
                      "liner_bore": 100.2, "liner_length": 190, "stop_short": 2}),
    (fit_liner, {"outside": 104.014, "parent_bore": 104.005, "outside_least": 104.012,
                 "parent_most": 104.009, "flange": 10.035, "shim": 0.02, "ledge": 9.99,
                 "inside": 100.016, "closing": 0.8}),
    (bore_for_sleeve, {"sleeve_outside": 106.4, "interference": 0.06, "present": 101.6,
                       "wall": 5.5, "wall_radius": 51.0, "finish": 102.1,
                       "sleeve_length": 140}),
    (press_in, {"part": 40.06, "hole": 40.0, "part_least": 40.055, "hole_most": 40.003,
                "length": 20, "part_inside": 34, "wall_outside": 60, "part_grade": STEEL,
                "wall_grade": IRON, "gap": 0.02}),
    (size_guide, {"stem": 8.961, "clearance": 0.045, "hone_stock": 0.02, "projection": 14}),
    (check_guide, {"stem": 8.961, "bore_least": 9.005, "bore_most": 9.02, "clearance": 0.045,
                   "least_clearance": 0.03, "most_clearance": 0.062, "projection": 14}),
    (cut_pocket, {"insert_outside": 40.08, "interference": 0.08, "insert_height": 7,
                  "below_face": 0.2}),
    (ledge_for_protrusion, {"flange": 10.035, "shim": 0.02, "protrusion": 0.05,
                            "deck_cut": 0.13}),
    (cut_ledge, {"final_depth": 9.99, "deck_cut": 0.13, "shallowest": 10.06, "deepest": 10.065,
                 "flange": 10.04, "shim": 0.02}),
    (hone_housing, {"largest": 80.026, "target": 80.01, "cap_cut": 0.03, "lift_most": 0.007,
                    "shell_wall": 2.478, "journal": 74.962}),
    (grind_journal, {"largest": 64.988, "target": 64.74, "clean_up": 64.902,
                     "polish_stock": 0.008, "stroke": 120, "width": 38, "housing": 69.01,
                     "shell_wall": 2.1, "index": 120}),
    (resize_big_end, {"largest": 69.028, "target": 69.01, "rod_face": 0.02, "cap_face": 0.02,
                      "length": 205}),
    (bore_bush, {"pin": 34.996, "clearance": 0.028, "hone_stock": 0.01, "length": 204.97,
                 "length_wanted": 205}),
    (fit_washers, {"gap": 5.24, "washer": 2.5, "other_washer": 2.49, "grind": 0.02}),
    (cut_cones, {"valve_diameter": 40, "margin": 1.5, "recession": 0.95, "seat_outer": 39,
                 "width": 1.6, "seat_angle": 45, "top_angle": 30, "throat_angle": 60,
                 "face_width": 3, "outer_now": 39.6, "inner_now": 36.2}),
    (cut_cones, {"valve_diameter": 40, "margin": 1.5, "recession": 0.95, "seat_outer": 39,
                 "width": 1.6, "seat_angle": 45, "face_angle": 44, "face_width": 3}),
    (cut_cones, {"valve_diameter": 40, "margin": 1.5, "recession": 0.95, "seat_outer": 39,
                 "width": 1.6, "seat_angle": 45, "face_angle": 46}),
    (spindle_depth, {"trial_spindle": 4.2, "trial_recession": 0.88, "recession": 0.95}),
    (cut_seat, {"recession_now": 1.08, "sink": 0.06, "head_cut": 0.14, "seat_angle": 45,
                "trial_spindle": 4.2, "trial_recession": 0.95, "tip_height": 38.1}),
    (reface_valve, {"margin": 1.6, "normal_cut": 0.07, "face_angle": 45, "recession": 0.95,
                    "lash": 0.3}),
    (reface_rocker, {"stock": 0.15, "ratio": 1.5, "pad_radius": 12, "sweep": 20, "lash": 0.3}),
    (grind_tip, {"off": 0.1, "tip_height": 38.1, "lash": 0.3, "preload": 1.2, "ratio": 1.5}),
    (size_bore, {"shaft": 49.944, "clearance": 0.062, "finish_stock": 0.01, "present": 49.9}),
    (shim_spring, {"height": 42.1, "wanted": 42.0, "sink": 0.06, "face_grind": 0.05,
                   "test_load": 275, "test_height": 42, "rate": 20, "lift": 10, "solid": 28}),
    (shim_spring, {"height": 41.8, "wanted": 42.0, "sink": 0.06, "face_grind": 0.05,
                   "test_load": 275, "test_height": 42, "rate": 20, "lift": 10, "solid": 28}),
    (cut_manifold, {"deck_cut": 0.2, "head_cut": 0.15, "gasket_increase": 0.05,
                    "bank_angle": 90, "face_angle": 40}),
    (adjuster_range, {"pivot_drop": 0.37, "ratio": 1.5, "tip_rise": 0.06, "lash": 0.9,
                      "travel": 2}),
    (follower_preload, {"preload": 1.0, "pivot_drop": 0.36, "tip_rise": 0.38, "ratio": 1.5}),
    (lash_by_shim, {"lash": 0.13, "old_shim": 2.6, "wanted": 0.125, "tip_rise": 0.22}),
    (choose_washer, {"projection": 2.51, "old_washer": 1.5, "head_cut": 0.14,
                     "washers": (1.5, Given(F(2), "new washer", marks=("new washer",))),
                     "least": F(2), "most": F("2.6")}),
    (slot_sprocket, {"distance_change": -0.35, "pitch_radius": 36.4, "error_before": 0.2,
                     "bolt_radius": 25}),
    (bob_weights, {"big_end": 480, "small_end": 160, "piston": 430, "pin_and_rings": 110,
                   "shells": 35, "oil": 5, "reciprocating_share": 0.5, "grade": 6.3,
                   "crank_mass_kg": 20, "rev_per_min": 6000}),
]  # fmt: skip

KINDS = {"temperature": "temperature", "gauge_temperature": "temperature",
         "expansion": "expansion", "gauge_expansion": "expansion"}  # fmt: skip


def marked(name: str, value: float) -> Given:
    kind = KINDS.get(name, "angle" if "angle" in name or name in ("index", "sweep") else "length")
    return Given(F(repr(value)), name, kind, marks=(name,))


@pytest.mark.parametrize(
    ("make", "sample"), SAMPLES, ids=[f"{f.__name__}-{i}" for i, (f, _) in enumerate(SAMPLES)]
)
def test_every_number_carries_the_marks_of_what_moves_it(
    make: Callable[..., SetUp], sample: dict[str, Any]
) -> None:
    sizes = {k: marked(k, v) for k, v in sample.items() if isinstance(v, int | float)}
    rest = {k: v for k, v in sample.items() if k not in sizes}
    before = make(**sizes, **rest)
    assert not before.refused
    moved = 0
    for name, size in sizes.items():
        # far more than figures are rounded to, far less than what would change the set-up's course
        nudge = Given(size.value + F(1, 500), size.words, size.kind, size.step, size.marks)
        after = make(**{**sizes, name: nudge}, **rest)
        by_label = {number.label: number.value for number in after.numbers}
        for number in before.numbers:
            if by_label.get(number.label, number.value) != number.value:
                assert name in number.marks, f"{number.label} hangs on {name} and does not say so"
                moved += 1
    assert moved >= len(sizes) - 2


def test_the_washer_that_is_chosen_brings_its_own_mark() -> None:
    made = choose_washer(2.51, 1.5, 0.14, (1.5, Given(F(2), "x", marks=("as sold",))), 2, F("2.6"))
    assert made.number("fit a washer of").marks == ("as sold",)
    assert made.number("projection then").marks == ("as sold",)

"""Operation × affected quantity: every sign of the trade that the declarations cover.

The signs are common practice, as they stand in the trade's own tables; sizes are the geometry
written beside them.
"""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from sparkout.engine.frame import Bank, CylinderKind, Frame, Layout, build_frame
from sparkout.setups.moves_table import MovesRow, moves_table

# Pushrod diesel with flanged liners and gears; overhead cam single with a base gasket; pushrod V8.
DIESEL = build_frame(
    Layout.INLINE, (Bank("", (1, 2, 3, 4)),), main_bearings=5,
    cylinder_kind=CylinderKind.DRY_FLANGED_LINER, firing_order=(1, 3, 4, 2),
    gear_meshes=("crank-idler",),
)  # fmt: skip
SINGLE = build_frame(
    Layout.SINGLE, (Bank("", (1,)),), main_bearings=2, cylinder_kind=CylinderKind.PARENT_BORE,
    firing_order=(1,), without=("pushrod", "rocker", "follower", "injector"),
)  # fmt: skip
EIGHT = build_frame(
    Layout.V, (Bank("left", (1, 3, 5, 7)), Bank("right", (2, 4, 6, 8))), main_bearings=5,
    cylinder_kind=CylinderKind.PARENT_BORE, firing_order=(1, 8, 4, 3, 6, 5, 7, 2),
)  # fmt: skip
FIGURES = {
    "rocker ratio": F(3, 2),
    "bore": F(100),
    "stroke": F(120),
    "cam sprocket pitch radius": F("36.4"),
    "chamber volume per mm": F(3000),
    "gear pressure angle": F(20),
}


def row(frame: Frame, operation: str) -> MovesRow:
    return next(r for r in moves_table(frame, FIGURES) if r.operation == operation)


def sign(frame: Frame, operation: str, quantity: str) -> int:
    found = row(frame, operation).of(quantity)
    return 0 if found is None else found.sign


# operation: quantity → sign; R the rocker ratio. Zero is a blank of the trade's table.
DIESEL_SIGNS = {
    "surface deck": {
        "deck height": -1, "piston protrusion": 1, "piston to head": -1, "compression ratio": 1,
        "liner protrusion": 1, "valve recession": 0, "spring installed height": 0,
        "valve lash": -1, "valve to piston": -1, "main oil clearance": 0, "end play": 0,
        "piston clearance": 0, "gear backlash": 0,
    },
    "recut ledge": {"liner protrusion": -1, "deck height": 0, "piston protrusion": 0},
    "shim under the liner flange": {"liner protrusion": 1},
    "align-hone mains": {
        "deck height": -1, "piston protrusion": 1, "piston to head": -1, "compression ratio": 1,
        "valve lash": 0, "valve to piston": -1, "gear backlash": -1, "liner protrusion": 0,
        "hydraulic preload": 0,
    },
    "polish main journals": {"main oil clearance": 1, "rod oil clearance": 0},
    "polish rod journals": {"rod oil clearance": 1, "main oil clearance": 0},
    "grind thrust face": {"end play": 1},
    "thicker thrust washers": {"end play": -1},
    "resize big end": {
        "piston protrusion": -1, "piston to head": 1, "compression ratio": -1,
        "valve to piston": 1,
    },
    "re-bush rod, bored longer": {
        "piston protrusion": 1, "piston to head": -1, "compression ratio": 1,
        "valve to piston": -1,
    },
    "lower or skimmed crown": {
        "piston protrusion": -1, "piston to head": 1, "compression ratio": -1,
        "valve to piston": 1,
    },
    "thicker head gasket": {
        "piston to head": 1, "compression ratio": -1, "valve lash": 1, "valve to piston": 1,
        "piston protrusion": 0,
    },
    "surface head": {
        "piston to head": 0, "compression ratio": 1, "valve recession": -1, "valve lash": -1,
        "valve to piston": -1, "injector projection": 1, "piston protrusion": 0,
    },
    "cut seat": {
        "valve recession": 1, "spring installed height": 1, "valve lash": -1,
        "valve to piston": 1, "tip height": 1,
    },
    "reface valve": {
        "valve recession": 1, "spring installed height": 1, "valve lash": -1,
        "valve to piston": 1,
    },
    "new insert or new valve": {
        "valve recession": -1, "spring installed height": -1, "valve lash": 1,
        "valve to piston": -1,
    },
    "grind stem tips": {"valve lash": 1, "valve recession": 0, "spring installed height": 0},
    "shim spring": {"spring installed height": -1, "valve lash": 0},
    "bore and hone cylinder": {"compression ratio": 1, "piston clearance": 1, "ring gap": 1},
    "thicker injector washer": {"injector projection": -1},
}  # fmt: skip
SINGLE_SIGNS = {
    # cam and valve sit in the head: deck and head cuts do not enter the lash, the cam retards
    "surface deck": {
        "squish": -1, "piston protrusion": 1, "compression ratio": 1, "cam timing error": -1,
        "valve lash": 0, "valve to piston": -1,
    },
    "surface head": {
        "squish": 0, "compression ratio": 1, "cam timing error": -1, "valve lash": 0,
        "valve recession": -1, "valve to piston": -1,
    },
    "thicker head gasket": {"squish": 1, "cam timing error": 1, "valve lash": 0},
    "thicker base gasket": {
        "squish": 1, "cam timing error": 1, "compression ratio": -1, "valve to piston": 1,
    },
    "align-hone mains": {"cam timing error": -1, "squish": -1},
    "cut seat": {"valve lash": -1},
    "grind stem tips": {"valve lash": 1},
    "thicker lash shim": {"valve lash": -1},
}  # fmt: skip
EIGHT_SIGNS = {
    "surface deck": {"manifold misfit": 1, "hydraulic preload": 1, "valve lash": -1},
    "surface head": {"manifold misfit": 1, "hydraulic preload": 1},
    "thicker head gasket": {"manifold misfit": -1, "hydraulic preload": -1},
    "align-hone mains": {"manifold misfit": 0, "hydraulic preload": 0},
    "cut seat": {"hydraulic preload": 1, "manifold misfit": 0},
    "grind stem tips": {"hydraulic preload": -1},
}

CASES = [
    (name, frame, operation, quantity, wanted)
    for name, frame, table in (
        ("diesel", DIESEL, DIESEL_SIGNS),
        ("single", SINGLE, SINGLE_SIGNS),
        ("eight", EIGHT, EIGHT_SIGNS),
    )
    for operation, cells in table.items()
    for quantity, wanted in cells.items()
]


@pytest.mark.parametrize(
    ("frame", "operation", "quantity", "wanted"),
    [case[1:] for case in CASES],
    ids=[f"{case[0]}, {case[2]}: {case[3]}" for case in CASES],
)
def test_signs(frame: Frame, operation: str, quantity: str, wanted: int) -> None:
    assert sign(frame, operation, quantity) == wanted


@pytest.mark.parametrize(
    ("frame", "operation", "quantity", "size"),
    [
        (DIESEL, "surface deck", "deck height", -1),
        (DIESEL, "surface deck", "liner protrusion", 1),
        (DIESEL, "surface deck", "valve lash", -1.5),  # −R·c
        (DIESEL, "thicker head gasket", "valve lash", 1.5),  # +R·g
        (DIESEL, "cut seat", "valve lash", -1),
        (DIESEL, "cut seat", "hydraulic preload", 1 / 1.5),  # s ÷ R
        (DIESEL, "thicker thrust washers", "end play", -2),  # both washers
        (DIESEL, "bore and hone cylinder", "ring gap", math.pi),
        # 2·tan 20°, the centres nearer by what the crank rises
        (DIESEL, "align-hone mains", "gear backlash", -2 * math.tan(math.radians(20))),
        # both sides of a shaft: clearance grows by what the diameter loses
        (DIESEL, "polish main journals", "main oil clearance", 1),
        # Δ ÷ r in degrees, twice that at the crank
        (SINGLE, "surface head", "cam timing error", -2 * math.degrees(1 / 36.4)),
        # π/4 · 100²
        (DIESEL, "surface deck", "clearance volume", -math.pi / 4 * 100**2),
        (EIGHT, "surface head", "manifold misfit", 1),
    ],
)
def test_sizes(frame: Frame, operation: str, quantity: str, size: float) -> None:
    found = row(frame, operation).of(quantity)
    assert found is not None
    assert found.per is not None
    assert float(found.per) == pytest.approx(size, rel=1e-6)


def test_of_the_ratio_only_the_way_is_said() -> None:
    ratio = row(DIESEL, "surface deck").of("compression ratio")
    assert ratio is not None
    assert ratio.per is None
    assert ratio.sign == 1


def test_what_an_engine_does_not_have_is_not_in_its_table() -> None:
    names = {r.operation for r in moves_table(SINGLE, FIGURES)}
    assert "recut ledge" not in names
    assert "thicker injector washer" not in names
    quantities = {m.quantity for r in moves_table(SINGLE, FIGURES) for m in r.moved}
    assert "liner protrusion" not in quantities
    assert "hydraulic preload" not in quantities
    assert "thicker lash shim" not in {r.operation for r in moves_table(DIESEL, FIGURES)}


def test_without_figures_what_needs_them_is_left_out_or_only_its_way_is_said() -> None:
    bare = {r.operation: r for r in moves_table(DIESEL)}
    assert bare["surface deck"].of("valve lash") is None
    assert bare["surface deck"].of("compression ratio") is None
    backlash = bare["align-hone mains"].of("gear backlash")
    assert backlash is not None
    assert (backlash.per, backlash.sign) == (None, -1)

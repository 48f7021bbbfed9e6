"""The frame that a data sheet's layout describes."""

from __future__ import annotations

from sparkout.engine.frame import Bank, CylinderKind, Frame, Layout, build_frame
from sparkout.sheet.model import DataSheet

__all__ = ["frame_of"]


def frame_of(sheet: DataSheet) -> Frame:
    """All features of the engine on a data sheet."""
    spec = sheet.layout
    kinds = {part.kind for part in sheet.parts}
    return build_frame(
        Layout(spec.layout),
        tuple(Bank(name, cylinders) for name, cylinders in spec.banks),
        main_bearings=spec.main_bearings,
        cylinder_kind=CylinderKind(spec.cylinder_kind),
        firing_order=spec.firing_order,
        intakes=spec.intakes,
        exhausts=spec.exhausts,
        rods_on_pin=spec.rods_on_pin,
        heads=spec.heads,
        gear_meshes=spec.gears,
        cam_bearings=spec.cam_bearings,
        rings=spec.rings,
        without=spec.without,
        with_=("base gasket",) if "base gasket" in kinds else (),
        notes={
            "cylinder 1": sheet.identity.cylinder_one,
            "rotation": sheet.identity.rotation,
            "thrust side": sheet.identity.thrust_side,
        },
    )

"""Before anything is fitted: washed, plugged, laid out. All common practice."""

from __future__ import annotations

from sparkout.assembly.step import Stage
from sparkout.assembly.trade.row import Row

__all__ = ["READY"]

READY: tuple[Row, ...] = (
    Row(
        "wash-parts",
        "Wash every part after the last abrasive work",
        Stage.READY,
        (
            "Hot soap and water with a brush, then rinse and dry; oil at once what rusts.",
            "Brush every oil gallery through from end to end, plugs out.",
            "Wipe each bore with an oiled white cloth until it stays white: a dry towel looks "
            "clean while grit is left in the pores.",
        ),
        on=("block",),
        seen=(
            ("galleries", "every gallery brushed through, drillings of crank and rods too"),
            ("white cloth", "an oiled white cloth stays white in every bore"),
        ),
        operations=("wash block", "compressed air"),
        second_person=True,
    ),
    Row(
        "fit-plugs",
        "Fit gallery and core plugs",
        Stage.READY,
        (
            "Count the plugs against the list made when they came out.",
            "Gallery plugs below the surface and staked or sealed as they were; core plugs square "
            "to the same depth.",
        ),
        on=("block",),
        sealant="plug sealant on core plugs; thread sealant on taper plugs",
        seen=(("plugs", "every plug on the list is in, none left over"),),
        operations=("press",),
        after=("wash-parts",),
    ),
    Row(
        "lay-out-parts",
        "Lay out the parts against the plan",
        Stage.READY,
        (
            "Read the size mark on each part and hold it against the plan before it is unpacked.",
            "Put followers, caps, rods, rockers and shims back into the places they came from.",
        ),
        seen=(("laid out", "every part of the plan is on the bench, marked with its place"),),
        after=("fit-plugs",),
    ),
)

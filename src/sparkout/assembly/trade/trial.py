"""Trial assembly: everything that decides a shim, a gasket or a trip back to the machine.

Dry threads, other fasteners or a gasket of unknown thickness make these readings worthless. All
common practice.
"""

from __future__ import annotations

from sparkout.assembly.step import Stage
from sparkout.assembly.trade.row import Row

__all__ = ["TRIAL"]

_AS_BUILT = "Same fasteners, lubricant, stages and order as in the final assembly."

TRIAL: tuple[Row, ...] = (
    Row(
        "trial-crankshaft",
        "Try the crankshaft in its shells",
        Stage.TRIAL,
        (
            "Shells in, crankshaft laid in, caps on. " + _AS_BUILT,
            "Read the clearance as housing bore with shells less journal, or confirm it with a "
            "plastic strip: dry, shaft not turned, at the widest place.",
            "Push the shaft to and fro before reading end play, pry both ways, no hammer.",
        ),
        on=("main journal",),
        needs=("main shell", "main housing"),
        lubricant="light oil on journals; none on the backs of shells",
        parts=("main shells", "thrust washers"),
        reads=("main oil clearance", "end play"),
        operations=("lift", "turn crank", "bearing"),
        after=("lay-out-parts",),
    ),
    Row(
        "trial-liners",
        "Try the liners without seals",
        Stage.TRIAL,
        (
            "Each liner into its own bore, dry and clean, without O-rings, clamped at the stated "
            "load.",
            "Read its protrusion at four points; a liner that is out is turned 90° and read again "
            "before anything is cut.",
        ),
        on=("liner",),
        needs=("ledge",),
        when=("wet liners",),
        parts=("liner", "liner shim"),
        reads=("liner protrusion", "liner protrusion spread", "liner protrusion step"),
        operations=("fit liner",),
        after=("lay-out-parts",),
    ),
    Row(
        "trial-pistons",
        "Try one piston height after another",
        Stage.TRIAL,
        (
            "Pistons and rods in without rings, each in its own cylinder.",
            "Read protrusion over the pin axis at two points, turning through top dead centre both "
            "ways.",
            "Lead wire or modelling clay on the crown, used gasket of known thickness, head "
            "tightened, one turn by hand: read the thinnest place.",
        ),
        on=("bore",),
        needs=("piston", "rod"),
        lubricant="light oil",
        parts=("piston", "rod shells"),
        reads=("rod oil clearance", "piston protrusion", "piston to head", "squish"),
        operations=("turn crank",),
        after=("trial-crankshaft", "trial-liners", "lay-out-parts"),
    ),
    Row(
        "trial-valve-gear",
        "Try the valve gear and the gears",
        Stage.TRIAL,
        (
            "Cam timed, light springs on one cylinder: read the gap of valve to piston ten degrees "
            "either side of overlap top dead centre.",
            "Backlash at four meshes or more: the least counts for tight, the largest for the "
            "limit.",
            "Adjusters in the middle of their range, or the plunger pressed as deep as it should "
            "be, on the base circle.",
        ),
        on=("camshaft",),
        lubricant="light oil",
        reads=("gear backlash", "valve to piston", "hydraulic preload"),
        operations=("timing", "springs"),
        after=("trial-pistons",),
    ),
    Row(
        "strip-trial",
        "Take the trial apart and wash again",
        Stage.TRIAL,
        (
            "Write on the sheet which shim, washer, gasket and shell stays where.",
            "Lead, clay, strip and marking-out colour off every part; wash and dry.",
        ),
        needs=("bore",),
        on=("block",),
        seen=(("stripped", "all trial material is off, parts are washed and in their places"),),
        operations=("wash", "compressed air"),
        after=("trial-valve-gear", "trial-pistons"),
    ),
)

"""What is measured beside the usual, in plain words."""

from __future__ import annotations

from sparkout.report.documents.plain.form import Plain as P

__all__ = ["MORE"]

_SEAL = "the joint leaks"
_OIL = "oil pressure drops"
_NOISE = "it clatters and wears faster"
_BEARINGS = "its bearings wear out early"
_BURN = "the valve leaks and burns"

MORE: tuple[P, ...] = (
    P("deck surface height", "top of the engine block", "uneven", _SEAL),
    P("block threads", "threads in the engine block", "damaged", "bolts do not hold"),
    P("main line height", "bearing seat of the crankshaft", "out of line", _BEARINGS),
    P("main journal trace", "crankshaft journal", "not true", _BEARINGS),
    P("main journal roundness", "crankshaft journal", "not round", _BEARINGS),
    P("main journal eccentricity", "crankshaft journal", "off its centre", _BEARINGS),
    P("crankshaft bend", "crankshaft", "bent", _BEARINGS),
    P("crankshaft neighbour bend", "crankshaft", "bent between two bearings", _BEARINGS),
    P("throw spread", "crankshaft", "ground unevenly", "the engine runs rough"),
    P("throw index", "crankshaft", "twisted", "the engine runs rough", "twisted"),
    P("crankshaft nose runout", "front end of the crankshaft", "not true", "the seal leaks"),
    P("seal track wear", "track of the oil seal", "worn in", "oil leaks out"),
    P("rod bolt stretch", "bolt of the rod", "stretched too far", "it can break",
      "not tight enough"),
    P("rod shell spread", "bearing shell of the rod", "too wide", "it does not sit",
      "too narrow: it falls out"),
    P("main shell spread", "bearing shell of the crankshaft", "too wide", "it does not sit",
      "too narrow: it falls out"),
    P("ring radial clearance", "piston ring", "too much room behind it", "it flutters",
      "no room behind it: it seizes"),
    P("ring tension", "piston ring", "too stiff", "it burns oil or drags", "gone weak"),
    P("piston crown", "piston", "burnt or cracked on top", "it breaks"),
    P("piston bowl volume", "bowl in the piston", "too large", "compression is off", "too small"),
    P("head surface height", "face of the cylinder head", "uneven", _SEAL),
    P("valve stem runout", "valve", "bent", _BURN),
    P("valve tip", "end of the valve", "worn or chipped", _NOISE),
    P("seat angle", "valve seat", "cut to the wrong angle", _BURN, "cut to the wrong angle"),
    P("seat contact", "valve seat", "does not touch all round", _BURN),
    P("coil bind margin", "valve spring", "has much room", "nothing breaks",
      "pressed solid at full lift: it breaks"),
    P("vacuum level", "valve seat", "holds", "it is tight", "leaks"),
    P("cam base circle runout", "cam", "not true on its back", "the valve does not shut"),
    P("follower leak-down", "hydraulic cam follower", "does not hold its oil", _NOISE),
    P("pushrod length", "pushrod", "too long", "the valve stays open", "too short"),
    P("rocker bush diameter", "bush of the rocker", "worn wide", _NOISE, "too tight"),
    P("rocker shaft diameter", "shaft of the rockers", "too thick", _NOISE, "worn too thin"),
    P("rocker contact", "rocker", "touches the valve off its middle", "the guide wears out"),
    P("rocker pad", "rocker", "worn hollow where it presses the valve", _NOISE),
    P("pump timing error", "fuel pump", "set too early", "it knocks", "set too late: it smokes"),
    P("oil pump tip clearance", "oil pump", "worn inside", _OIL),
    P("oil pump shaft clearance", "shaft of the oil pump", "worn loose", _OIL),
    P("oil pump relief pressure", "relief valve of the oil pump", "opens too late",
      "seals can burst", "opens too early: oil pressure drops"),
    P("idler bush clearance", "bush of the idler gear", "worn loose", _NOISE, "too tight"),
    P("tensioner stroke", "chain tensioner", "nearly at its end", "the chain is worn",
      "does not reach the chain"),
    P("damper check", "vibration damper", "damaged", "the crankshaft can break"),
    P("flywheel bore runout", "flywheel", "sits off its centre", "the gearbox shaft wears"),
    P("head stud projection", "stud of the cylinder head", "stands out too far",
      "the nut cannot hold", "does not stand out enough"),
)  # fmt: skip

"""Block, deck, liners, bores and housings, in plain words."""

from __future__ import annotations

from sparkout.report.documents.plain.form import Plain as P

__all__ = ["BLOCK"]

_LEAK = "gas and water get past the head gasket"
_BURN = "oil is burned and power lost"
_BEARING = "bearings run hot and wear out early"

BLOCK: tuple[P, ...] = (
    P("deck flatness", "top face of the block", "not flat", _LEAK),
    P("deck local step", "top face of the block", "has a step where the gasket seals", _LEAK),
    P("deck height", "top face of the block", "stands too high over the crankshaft",
      "pistons stop at the wrong height", "has been cut down too far"),
    P("deck parallelism", "top face of the block", "slopes against the crankshaft",
      "compression differs from cylinder to cylinder"),
    P("deck texture", "top face of the block", "too rough", _LEAK),
    P("block leak test", "block", "leaks under pressure", "water is lost or gets into the oil"),
    P("block crack test", "block", "cracked", "the crack grows until the block fails"),
    P("bore diameter", "cylinder", "worn too wide", _BURN, "too narrow for its piston"),
    P("bore out-of-round", "cylinder", "worn oval", "rings cannot seal all round"),
    P("bore taper", "cylinder", "wider at one end than at the other", "rings work in and out"),
    P("bore score depth", "cylinder", "wall is scored", _BURN),
    P("bore texture", "cylinder", "wall too rough", "rings wear out early",
      "wall too smooth to hold oil"),
    P("bore crosshatch", "cylinder", "honing marks at the wrong angle", "oil is not held right"),
    P("bore squareness", "cylinder", "not square to the crankshaft", "pistons wear on one side"),
    P("bore wall", "cylinder", "wall thickness is not as it should be",
      "a thin wall bends or breaks through", "wall too thin"),
    P("bore wall thrust side", "cylinder", "wall thickness is not as it should be",
      "a thin wall bends or breaks through", "wall too thin where the piston presses hardest"),
    P("parent bore diameter", "liner seat", "too wide for the liner",
      "the liner works loose and runs hot", "too narrow for the liner"),
    P("parent bore out-of-round", "liner seat", "oval",
      "the liner is squeezed out of round"),
    P("liner outside diameter", "cylinder liner", "too thick outside", "it does not fit the block",
      "too thin outside"),
    P("liner inside diameter", "cylinder liner", "too wide inside", _BURN, "too narrow inside"),
    P("liner fit", "cylinder liner", "too tight in the block", "it is squeezed out of round",
      "too loose in the block"),
    P("fitted bore diameter", "cylinder liner", "too wide once fitted", _BURN,
      "too narrow once fitted"),
    P("ledge depth", "liner ledge", "too deep", "the liner stands too low to seal",
      "not deep enough"),
    P("ledge spread", "liner ledge", "uneven round the liner",
      "the liner's rim cracks or does not seal"),
    P("ledge cupping", "liner ledge", "hollow", "the liner's rim cracks"),
    P("liner flange thickness", "rim of the liner", "too thick", "the liner stands too high",
      "too thin"),
    P("liner protrusion", "cylinder liner", "stands too high above the block",
      "the head gasket does not seal", "sunk too low in the block"),
    P("liner protrusion spread", "cylinder liner", "does not stand level", "gasket seals unevenly"),
    P("liner protrusion step", "neighbouring liners", "stand at different heights",
      "the head gasket does not seal between them"),
    P("liner lower clearance", "foot of the liner", "too loose", "the liner shakes and pits",
      "too tight"),
    P("liner pit depth", "cylinder liner", "pitted by the water", "water breaks through"),
    P("main housing diameter", "main bearing seat", "worn too wide",
      "the bearing shell works loose", "too narrow"),
    P("main housing out-of-round", "main bearing seat", "oval", _BEARING),
    P("main line straightness", "line of the crankshaft bearings", "not straight", _BEARING),
    P("main line step", "line of the crankshaft bearings", "stepped from one to the next",
      _BEARING),
    P("cap register fit", "bearing cap", "too tight in the block", "the cap moves or distorts",
      "too loose in the block"),
    P("cam bush diameter", "camshaft bearing", "worn too wide", "oil pressure drops"),
    P("follower bore diameter", "cam follower guide", "worn too wide", "valve gear clatters"),
)  # fmt: skip

"""Connecting rods, pistons, pins and rings, in plain words."""

from __future__ import annotations

from sparkout.report.documents.plain.form import Plain as P

__all__ = ["RODS"]

_ROD, _PIN = "connecting rod", "piston pin"
_KNOCK = "it knocks and wears faster"
_BALANCE = "the engine shakes"

RODS: tuple[P, ...] = (
    P("rod housing diameter", _ROD, "bearing seat worn too wide", "the bearing shell works loose",
      "bearing seat too narrow"),
    P("rod housing out-of-round", _ROD, "bearing seat oval", "the bearing runs hot"),
    P("rod bush diameter", _ROD, "bush of the piston pin worn too wide", _KNOCK,
      "bush of the piston pin too narrow"),
    P("rod bush fit", _ROD, "bush too tight in the rod", "the bush turns or distorts",
      "bush loose in the rod"),
    P("rod length", _ROD, "too long", "pistons reach different heights", "too short"),
    P("rod length spread", "connecting rods", "differ in length",
      "pistons reach different heights"),
    P("rod bend", _ROD, "bent", "the piston wears on one side"),
    P("rod twist", _ROD, "twisted", "the piston wears on one side"),
    P("rod side clearance", _ROD, "too loose sideways", "too much oil is thrown up the cylinder",
      "too tight sideways"),
    P("rod weight", _ROD, "too heavy", _BALANCE, "too light"),
    P("rod weight spread", "connecting rods", "differ in weight", _BALANCE),
    P("rod bolt length", "rod bolt", "stretched for good", "the bolt breaks and the rod comes off"),
    P("rod shell wall", "rod bearing shell", "too thick", "the shaft is pinched", "worn too thin"),
    P("bearing crush", "rod bearing shell", "stands too proud of its seat",
      "the shell buckles or turns", "does not grip its seat"),
    P("rod crack test", _ROD, "cracked", "the rod breaks"),
    P("piston skirt diameter", "piston", "too wide", "the piston seizes or knocks",
      "worn too narrow"),
    P("piston clearance", "piston", "too loose in its cylinder", "it knocks and oil is burned",
      "too tight in its cylinder: it seizes"),
    P("compression height", "piston", "too tall", "the piston stops at the wrong height",
      "too short"),
    P("piston pin diameter", _PIN, "too thick", _KNOCK, "worn too thin"),
    P("piston pin bore diameter", "piston", "pin hole worn too wide", _KNOCK,
      "pin hole too narrow"),
    P("piston pin clearance", _PIN, "loose in the piston", _KNOCK, "too tight in the piston"),
    P("small end clearance", _PIN, "loose in its rod", _KNOCK, "too tight in its rod"),
    P("ring groove clearance", "piston ring groove", "worn too wide",
      "rings flutter, oil is pumped up and burned", "too tight"),
    P("ring gap", "piston ring", "gap worn too wide", "gas blows by and power is lost",
      "gap too small: the ring jams when hot"),
    P("piston protrusion", "piston", "stops too high", "it touches the head", "stops too low"),
    P("piston weight", "piston", "too heavy", _BALANCE, "too light"),
    P("piston weight spread", "pistons", "differ in weight", _BALANCE),
    P("piston to head", "piston", "stops too far from the head", "the engine starts badly",
      "comes too close to the head: it can strike it"),
    P("squish", "piston", "stops too far from the head", "power is lost",
      "comes too close to the head: it can strike it"),
    P("compression ratio", "cylinder compression", "too high", "starting and power suffer",
      "too low"),
)  # fmt: skip

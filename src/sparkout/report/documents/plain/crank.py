"""Crankshaft and its bearings, in plain words."""

from __future__ import annotations

from sparkout.report.documents.plain.form import Plain as P

__all__ = ["CRANK"]

_OIL = "oil pressure drops and bearings knock"
_MAIN, _ROD = "main bearing journal", "rod bearing journal"

CRANK: tuple[P, ...] = (
    P("main journal diameter", _MAIN, "too thick", _OIL, "worn too thin"),
    P("main journal out-of-round", _MAIN, "worn oval", "bearings wear out early"),
    P("main journal taper", _MAIN, "worn to a cone", "bearings wear on one side"),
    P("rod journal diameter", _ROD, "too thick", _OIL, "worn too thin"),
    P("rod journal out-of-round", _ROD, "worn oval", "bearings wear out early"),
    P("rod journal taper", _ROD, "worn to a cone", "bearings wear on one side"),
    P("rod journal width", _ROD, "worn too wide", "rods slide from side to side"),
    P("fillet radius", "crankshaft", "too large a radius at the journals", "bearings ride on it",
      "too small a radius at the journals, where cracks begin"),
    P("thrust face width", "crankshaft", "thrust face worn", "the shaft slides to and fro"),
    P("crankshaft runout", "crankshaft", "bent", "bearings run hot and wear out early"),
    P("throw", "crankshaft throw", "too long", "pistons reach different heights", "too short"),
    P("journal texture", "crankshaft", "journals too rough", "bearings wear out early"),
    P("journal hardness", "crankshaft", "too hard", "journals wear fast or crack",
      "journals too soft"),
    P("crankshaft crack test", "crankshaft", "cracked", "the shaft breaks"),
    P("main shell wall", "main bearing shell", "too thick", "the shaft is pinched",
      "worn too thin"),
    P("main oil clearance", "main bearing", "too loose", _OIL, "too tight: it runs hot"),
    P("rod oil clearance", "rod bearing", "too loose", _OIL, "too tight: it runs hot"),
    P("end play", "crankshaft", "slides too far to and fro", "the clutch or pump is damaged",
      "cannot move endways: it runs hot"),
    P("thrust washer thickness", "thrust washer", "too thick",
      "the shaft slides to and fro", "worn too thin"),
    P("crankshaft flange runout", "crankshaft flange", "wobbles", "the flywheel shakes"),
    P("crankshaft unbalance", "crankshaft", "out of balance", "the engine shakes"),
    P("web deflection", "crankshaft", "bends as it turns", "the shaft breaks from fatigue"),
)  # fmt: skip

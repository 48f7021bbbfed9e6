"""Cylinder head, guides, valves, seats, springs and injectors, in plain words."""

from __future__ import annotations

from sparkout.report.documents.plain.form import Plain as P

__all__ = ["HEAD"]

_LEAK = "the valve leaks, compression and power are lost"
_OIL = "oil is burned and the valve wears"
_SPRING = "the valve does not close as fast as it must"

HEAD: tuple[P, ...] = (
    P("head flatness", "cylinder head", "not flat", "gas and water get past the head gasket"),
    P("head height", "cylinder head", "too tall", "valves or injectors stand wrong",
      "cut down too far"),
    P("head crack test", "cylinder head", "cracked", "water is lost or gets into the cylinder"),
    P("head leak test", "cylinder head", "leaks under pressure",
      "water is lost or gets into the oil"),
    P("guide diameter", "valve guide", "worn too wide", _OIL, "too narrow"),
    P("stem diameter", "valve stem", "too thick", _OIL, "worn too thin"),
    P("stem clearance", "valve", "too loose in its guide", _OIL,
      "too tight in its guide: it sticks"),
    P("guide fit", "valve guide", "too tight in the head", "the guide moves or cracks the head",
      "loose in the head"),
    P("guide projection", "valve guide", "stands too high", "it touches the seal or the spring",
      "stands too low"),
    P("valve face runout", "valve", "bent", _LEAK),
    P("valve margin", "valve", "edge too thick", "the edge burns away", "edge too thin"),
    P("seat insert fit", "valve seat ring", "too tight in the head", "it cracks the head",
      "loose in the head: it can fall out"),
    P("seat width", "valve seat", "worn too broad", _LEAK, "too narrow: the valve runs hot"),
    P("seat runout", "valve seat", "not true to its guide", _LEAK),
    P("valve recession", "valve", "sunk too deep in the head", "compression is lost",
      "stands too high: the piston can touch it"),
    P("tip height", "valve", "stands too high on the rocker side", "valve play cannot be set",
      "stands too low on the rocker side"),
    P("spring installed height", "valve spring", "has too much room", _SPRING,
      "has too little room"),
    P("spring free length", "valve spring", "too long", _SPRING, "tired: it has become short"),
    P("spring load", "valve spring", "too strong", _SPRING, "too weak"),
    P("spring squareness", "valve spring", "leans", "the valve wears on one side"),
    P("vacuum drop", "valve", "does not seal on its seat", _LEAK),
    P("seat crack test", "valve seat", "cracked", _LEAK),
    P("chamber volume", "combustion chamber", "too large", "compression is off", "too small"),
    P("chamber volume spread", "combustion chambers", "differ in size",
      "cylinders work unevenly"),
    P("injector projection", "injector", "stands too far into the cylinder",
      "fuel is not sprayed where it burns best", "does not stand far enough into the cylinder"),
    P("cam line straightness", "line of the camshaft bearings", "not straight",
      "the camshaft binds"),
    P("manifold face flatness", "manifold face of the head", "not flat", "exhaust or air leaks"),
    P("valve to piston", "valve", "too far from the piston", "they can strike each other",
      "too near to the piston"),
)  # fmt: skip

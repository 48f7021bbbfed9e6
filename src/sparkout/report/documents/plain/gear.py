"""Camshaft, valve gear, gears, pump and what is bolted on, in plain words."""

from __future__ import annotations

from sparkout.report.documents.plain.form import Plain as P

__all__ = ["GEAR"]

_NOISE = "it clatters and wears faster"
_LIFT = "the valve does not open as far as it must"
_SHAKE = "the engine shakes"

GEAR: tuple[P, ...] = (
    P("cam journal diameter", "camshaft journal", "too thick", "oil pressure drops",
      "worn too thin"),
    P("cam clearance", "camshaft bearing", "too loose", "oil pressure drops", "too tight"),
    P("lobe lift", "cam", "lifts too far", _LIFT, "worn down"),
    P("camshaft runout", "camshaft", "bent", "its bearings wear out early"),
    P("cam end float", "camshaft", "slides too far to and fro", _NOISE, "cannot move endways"),
    P("follower diameter", "cam follower", "too thick", _NOISE, "worn too thin"),
    P("follower clearance", "cam follower", "too loose in its guide", _NOISE,
      "too tight in its guide"),
    P("follower foot", "cam follower", "foot worn hollow", "it wears the cam down"),
    P("pushrod runout", "pushrod", "bent", "it breaks or lets the valve stay shut"),
    P("rocker clearance", "rocker", "worn loose", _NOISE, "too tight"),
    P("valve lash", "valve", "too much play", _NOISE, "too little play: the valve burns"),
    P("injector washer thickness", "injector washer", "too thick", "the injector stands wrong",
      "too thin"),
    P("gasket thickness", "head gasket", "too thick", "compression is off", "too thin"),
    P("base gasket thickness", "base gasket", "too thick", "compression is off", "too thin"),
    P("clearance volume", "combustion space", "too large", "compression is off", "too small"),
    P("chamber depth", "combustion chamber", "too deep", "compression is off", "too shallow"),
    P("seat pit depth", "valve seat", "pitted", "the valve leaks and burns"),
    P("wall behind sleeve", "cylinder wall behind the sleeve", "too thick", "the wall cracks",
      "too thin"),
    P("rod big end radial play", "rod bearing", "too loose", "it knocks", "too tight"),
    P("liner shim thickness", "shim under the liner", "too thick", "the liner stands wrong",
      "too thin"),
    P("lash shim", "shim of the valve", "too thick", "valve play is off", "too thin"),
    P("hydraulic preload", "hydraulic cam follower", "pressed in too far", "the valve stays open",
      "not pressed in far enough: it clatters"),
    P("cam timing error", "timing of the camshaft", "off", "power is lost, valves may touch"),
    P("oil pump end clearance", "oil pump", "worn loose", "oil pressure drops", "too tight"),
    P("oil pump radial clearance", "oil pump", "worn loose", "oil pressure drops", "too tight"),
    P("gear backlash", "timing gears", "worn loose", _NOISE, "too tight"),
    P("gear runout", "timing gear", "wobbles", _NOISE),
    P("idler end float", "idler gear", "slides too far to and fro", _NOISE, "too tight"),
    P("chain stretch", "timing chain", "stretched", "timing is late and the chain can jump"),
    P("damper mark offset", "vibration damper", "has slipped", "the crankshaft can break"),
    P("damper runout", "vibration damper", "wobbles", _SHAKE),
    P("damper hub fit", "vibration damper", "too tight on its hub", "it works loose",
      "loose on its hub"),
    P("flywheel runout", "flywheel", "wobbles", "the clutch judders"),
    P("flywheel step", "flywheel", "step too high", "the clutch does not grip", "step too low"),
    P("ring gear", "starter ring", "teeth damaged", "the starter does not engage"),
    P("head bolt length", "head bolt", "stretched for good", "the head gasket lets go"),
    P("main bolt length", "main bearing bolt", "stretched for good", "the bearing cap works loose"),
)  # fmt: skip

"""Camshaft and valve gear, oil pump, gears, damper, flywheel, fasteners."""

from __future__ import annotations

from sparkout.engine.characteristics.kinds import Characteristic as C
from sparkout.engine.characteristics.kinds import Derive as D
from sparkout.engine.characteristics.kinds import Sense as S

__all__ = ["GEAR"]

GEAR: tuple[C, ...] = (
    C("cam journal diameter", "cam journal", "C01", D.SIZE, sense=S.DIAMETRAL, wears=-1,
      step="0.005"),
    C("cam clearance", "cam journal", "C01", D.FIT, sense=S.DIAMETRAL, wears=1, step="0.005"),
    C("lobe lift", "lobe", "C02", D.VALUE, wears=-1, gauge="indicator, or nose less heel"),
    C("cam base circle runout", "lobe", "C03", D.GAP, wears=1),
    C("camshaft runout", "camshaft", "C03", D.GAP, wears=1, step="0.005"),
    C("cam end float", "camshaft", "C04", D.VALUE, sense=S.AXIAL, wears=1),
    C("follower diameter", "follower", "C05", D.SIZE, sense=S.DIAMETRAL, wears=-1, step="0.005"),
    C("follower clearance", "follower", "C05", D.FIT, sense=S.DIAMETRAL, wears=1, step="0.005"),
    C("follower foot", "follower", "C05", D.TEST, dimension="test", places="flat or crowned, "
      "never concave"),
    C("follower leak-down", "follower", "C05", D.TEST, dimension="test"),
    C("pushrod length", "pushrod", "C06", D.VALUE, step="0.1"),
    C("pushrod runout", "pushrod", "C06", D.GAP, wears=1, gauge="roll test", step="0.05"),
    C("rocker clearance", "rocker", "C07", D.VALUE, sense=S.DIAMETRAL, wears=1,
      places="two × two on the loaded side"),
    C("rocker pad", "rocker", "C07", D.TEST, dimension="test", places="no hollow worn in, no chill "
      "broken through"),
    C("rocker bush diameter", "rocker", "C07", D.SIZE, sense=S.DIAMETRAL, wears=1, step="0.005"),
    C("rocker shaft diameter", "rocker", "C07", D.SIZE, sense=S.DIAMETRAL, wears=-1, step="0.005"),
    C("rocker contact", "rocker", "C08", D.TEST, dimension="test"),
    C("valve lash", "valve", "C09", D.VALUE, gauge="feeler or indicator, cold"),
    C("injector washer thickness", "injector", "H19", D.VALUE, sense=S.AXIAL),
    C("gasket thickness", "head gasket", "P09", D.VALUE, sense=S.AXIAL, places="compressed"),
    C("base gasket thickness", "base gasket", "P09", D.VALUE, sense=S.AXIAL, places="compressed"),
    C("clearance volume", "bore", "P08", D.VALUE, dimension="volume", step="0.1"),
    C("chamber depth", "chamber", "H18", D.VALUE, sense=S.AXIAL),
    C("seat pit depth", "seat", "H11", D.GAP, wears=1, places="square to the seat face"),
    C("wall behind sleeve", "bore", "B11", D.SMALLEST, sense=S.RADIAL, step="0.1"),
    C("rod big end radial play", "rod", "K12", D.VALUE, sense=S.RADIAL, wears=1),
    C("liner shim thickness", "liner", "B16", D.VALUE, sense=S.AXIAL),
    C("lash shim", "valve", "C09", D.VALUE, sense=S.AXIAL),
    C("hydraulic preload", "follower", "C10", D.FIT, sense=S.AXIAL, step="0.05"),
    C("cam timing error", "camshaft", "C11", D.FIT, dimension="angle", step="0.1"),
    C("pump timing error", "camshaft", "C11", D.VALUE, dimension="angle", step="0.1"),
    C("oil pump end clearance", "oil pump", "O01", D.GAP, sense=S.AXIAL, wears=1,
      gauge="feeler and straightedge", places="each gear"),
    C("oil pump radial clearance", "oil pump", "O02", D.GAP, sense=S.RADIAL, wears=1),
    C("oil pump tip clearance", "oil pump", "O02", D.GAP, wears=1),
    C("oil pump shaft clearance", "oil pump", "O02", D.GAP, sense=S.DIAMETRAL, wears=1),
    C("oil pump relief pressure", "oil pump", "O03", D.VALUE, dimension="pressure", step="1"),
    C("gear backlash", "gear mesh", "G01", D.VALUE, wears=1, gauge="indicator on the tooth, mate "
      "locked", places="four meshes or more"),
    C("gear runout", "gear mesh", "G02", D.GAP, wears=1),
    C("idler bush clearance", "gear mesh", "G02", D.VALUE, sense=S.DIAMETRAL, wears=1),
    C("idler end float", "gear mesh", "G02", D.VALUE, sense=S.AXIAL, wears=1),
    C("chain stretch", "timing chain", "G03", D.GAP, dimension="percent", wears=1, step="0.1"),
    C("tensioner stroke", "timing chain", "G03", D.VALUE, wears=1, step="0.1"),
    C("damper check", "damper", "D01", D.TEST, dimension="test"),
    C("damper mark offset", "damper", "D01", D.GAP, wears=1, step="0.1"),
    C("damper runout", "damper", "D01", D.GAP, wears=1),
    C("damper hub fit", "damper", "D02", D.VALUE, sense=S.DIAMETRAL, step="0.001"),
    C("flywheel runout", "flywheel", "W01", D.GAP, wears=1, places="face, end play taken out one "
      "way"),
    C("flywheel bore runout", "flywheel", "W01", D.GAP, wears=1),
    C("flywheel step", "flywheel", "W01", D.VALUE, sense=S.AXIAL),
    C("ring gear", "flywheel", "W02", D.TEST, dimension="test"),
    C("head stud projection", "head bolt", "X01", D.VALUE, sense=S.AXIAL, step="0.1"),
    C("head bolt length", "head bolt", "X01", D.VALUE, wears=1, step="0.1"),
    C("main bolt length", "main bolt", "X01", D.VALUE, wears=1, step="0.1"),
)  # fmt: skip

"""Cylinder head: face, guides, valves, seats, springs, injectors."""

from __future__ import annotations

from sparkout.engine.characteristics.kinds import Characteristic as C
from sparkout.engine.characteristics.kinds import Derive as D
from sparkout.engine.characteristics.kinds import Sense as S

__all__ = ["HEAD"]

HEAD: tuple[C, ...] = (
    C("head flatness", "head", "H01", D.GAP, wears=1, gauge="straightedge and feeler",
      places="two long, two diagonal, across every chamber"),
    C("head surface height", "head", "H01", D.VALUE, gauge="bridge indicator or height gauge",
      places="a grid: how far along as the level, how far across as the direction"),
    C("head height", "head", "H02", D.VALUE, wears=-1, places="four corners"),
    C("head crack test", "head", "H03", D.TEST, dimension="test",
      places="between seats, to the injector, ports"),
    C("head leak test", "head", "H04", D.TEST, dimension="test", places="plates on, hot"),
    C("guide diameter", "guide", "H05", D.SIZE, sense=S.DIAMETRAL, wears=1,
      gauge="small bore gauge", places="three levels × two directions", step="0.001"),
    C("stem diameter", "valve", "H08", D.SIZE, sense=S.DIAMETRAL, wears=-1,
      places="three levels", step="0.001"),
    C("stem clearance", "guide", "H06", D.FIT, sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("guide fit", "guide", "H07", D.VALUE, sense=S.DIAMETRAL, step="0.001"),
    C("guide projection", "guide", "H07", D.VALUE, sense=S.AXIAL, step="0.1"),
    C("valve face runout", "valve", "H08", D.GAP, wears=1),
    C("valve stem runout", "valve", "H08", D.GAP, wears=1),
    C("valve tip", "valve", "H08", D.TEST, dimension="test"),
    C("valve margin", "valve", "H09", D.SMALLEST, wears=-1, step="0.1"),
    C("seat insert fit", "seat", "H10", D.VALUE, sense=S.DIAMETRAL, step="0.001"),
    C("seat width", "seat", "H11", D.GAP, wears=1, gauge="blue or pencil", step="0.1"),
    C("seat angle", "seat", "H11", D.VALUE, dimension="angle", step="0.1"),
    C("seat contact", "seat", "H11", D.TEST, dimension="test"),
    C("seat runout", "seat", "H12", D.GAP, wears=1, gauge="seat indicator on a pilot"),
    C("valve recession", "seat", "H13", D.VALUE, sense=S.AXIAL, wears=1, gauge="depth gauge"),
    C("tip height", "valve", "H14", D.VALUE, sense=S.AXIAL, wears=1),
    C("spring installed height", "spring", "H15", D.VALUE, sense=S.AXIAL, wears=1, step="0.1"),
    C("spring free length", "spring", "H16", D.VALUE, wears=-1, step="0.1"),
    C("spring load", "spring", "H16", D.VALUE, dimension="force", wears=-1, gauge="spring tester "
      "at the stated height", step="1"),
    C("spring squareness", "spring", "H16", D.GAP, wears=1, step="0.1"),
    C("coil bind margin", "spring", "H16", D.SMALLEST, wears=-1, step="0.1"),
    C("vacuum level", "seat", "H17", D.VALUE, dimension="pressure", gauge="vacuum tester",
      places="each port: start and end as the level", step="1"),
    C("vacuum drop", "seat", "H17", D.GAP, dimension="pressure", wears=1, gauge="vacuum tester",
      places="each port, start, end and time", step="1"),
    C("seat crack test", "seat", "H03", D.TEST, dimension="test"),
    C("chamber volume", "chamber", "H18", D.VALUE, dimension="volume", gauge="burette and plate",
      step="0.1"),
    C("chamber volume spread", "chambers", "H18", D.ACROSS, basis="chamber volume",
      dimension="volume", step="0.1"),
    C("injector projection", "injector", "H19", D.VALUE, sense=S.AXIAL),
    C("cam line straightness", "head", "H20", D.GAP, wears=1),
    C("manifold face flatness", "head", "H20", D.GAP, wears=1),
    C("valve to piston", "valve", "C08", D.FIT, sense=S.AXIAL, step="0.05"),
)  # fmt: skip

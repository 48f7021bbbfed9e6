"""Crankshaft and its bearings."""

from __future__ import annotations

from sparkout.engine.characteristics.kinds import Characteristic as C
from sparkout.engine.characteristics.kinds import Derive as D
from sparkout.engine.characteristics.kinds import Sense as S

__all__ = ["CRANK"]

_JOURNAL = "two planes near each fillet × two directions at 90°"

CRANK: tuple[C, ...] = (
    C("main journal diameter", "main journal", "K01", D.SIZE, sense=S.DIAMETRAL, wears=-1,
      gauge="micrometer set to a standard", places=_JOURNAL, step="0.001"),
    C("main journal out-of-round", "main journal", "K03", D.OUT_OF_ROUND,
      basis="main journal diameter", sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("main journal taper", "main journal", "K04", D.TAPER, basis="main journal diameter",
      sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("main journal trace", "main journal", "K07", D.VALUE, sense=S.RADIAL, gauge="V-blocks and "
      "indicator", places="eight directions or more, the angle as the direction", step="0.001"),
    C("main journal roundness", "main journal", "K07", D.FORM, sense=S.RADIAL, wears=1,
      step="0.001"),
    C("main journal eccentricity", "main journal", "K07", D.FORM, sense=S.RADIAL, wears=1,
      step="0.001"),
    C("rod journal diameter", "rod journal", "K02", D.SIZE, sense=S.DIAMETRAL, wears=-1,
      gauge="micrometer set to a standard",
      places="two planes near each fillet, in line with and across the throw", step="0.001"),
    C("rod journal out-of-round", "rod journal", "K03", D.OUT_OF_ROUND,
      basis="rod journal diameter", sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("rod journal taper", "rod journal", "K04", D.TAPER, basis="rod journal diameter",
      sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("rod journal width", "rod journal", "K05", D.VALUE, sense=S.AXIAL, wears=1),
    C("fillet radius", "crankshaft", "K05", D.VALUE, sense=S.RADIAL, gauge="radius gauges",
      places="each journal, both sides", step="0.1"),
    C("thrust face width", "crankshaft", "K06", D.VALUE, sense=S.AXIAL, wears=1),
    C("crankshaft runout", "crankshaft", "K07", D.GAP, wears=1, gauge="V-blocks and indicator",
      places="each main: total indicator reading and the angle of the high spot", step="0.005"),
    C("crankshaft bend", "crankshaft", "K07", D.FORM, sense=S.RADIAL, wears=1, step="0.005"),
    C("crankshaft neighbour bend", "crankshaft", "K07", D.FORM, sense=S.RADIAL, wears=1,
      step="0.005"),
    C("throw", "rod journal", "K08", D.VALUE, sense=S.RADIAL, gauge="throw block and indicator",
      places="each pin"),
    C("throw spread", "crankshaft", "K08", D.ACROSS, basis="throw", sense=S.RADIAL,
      places="any two pins"),
    C("throw index", "rod journal", "K08", D.VALUE, dimension="angle", step="0.1"),
    C("journal texture", "crankshaft", "K09", D.GAP, dimension="roughness", step="0.05"),
    C("journal hardness", "crankshaft", "K10", D.SMALLEST, dimension="hardness", wears=-1,
      step="1"),
    C("crankshaft crack test", "crankshaft", "K10", D.TEST, dimension="test",
      places="all fillets and oil holes, before and after grinding"),
    C("main shell wall", "main shell", "R11", D.VALUE, sense=S.RADIAL, wears=-1,
      gauge="ball-anvil micrometer at the crown", step="0.001"),
    C("main oil clearance", "main journal", "K11", D.FIT, sense=S.DIAMETRAL, wears=1,
      step="0.001"),
    C("rod oil clearance", "rod", "K12", D.FIT, sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("end play", "crankshaft", "K13", D.FIT, sense=S.AXIAL, wears=1, gauge="indicator on the "
      "nose, pry both ways", places="three repeats"),
    C("thrust washer thickness", "crankshaft", "K13", D.VALUE, sense=S.AXIAL, wears=-1,
      gauge="micrometer", places="each washer"),
    C("crankshaft flange runout", "crankshaft", "K14", D.GAP, wears=1),
    C("crankshaft nose runout", "crankshaft", "K14", D.GAP, wears=1),
    C("seal track wear", "crankshaft", "K14", D.GAP, sense=S.RADIAL, wears=1),
    C("crankshaft unbalance", "crankshaft", "K15", D.VALUE, dimension="unbalance", step="1"),
    C("web deflection", "crankshaft", "K16", D.GAP, places="four or five crank positions"),
)  # fmt: skip

"""Block, deck, liners, bores and housings."""

from __future__ import annotations

from sparkout.engine.characteristics.kinds import Characteristic as C
from sparkout.engine.characteristics.kinds import Derive as D
from sparkout.engine.characteristics.kinds import Sense as S

__all__ = ["BLOCK"]

_LINES = "two long, two diagonal, one across each land; local at the fire rings"
_BORE = "three levels or more × two directions or more: below top-ring reversal, middle, bottom"

BLOCK: tuple[C, ...] = (
    C("deck flatness", "deck", "B01", D.GAP, wears=1, gauge="straightedge and feeler, or a bridge "
      "indicator", places=_LINES),
    C("deck surface height", "deck", "B01", D.VALUE, gauge="bridge indicator or height gauge",
      places="a grid: how far along as the level, how far across as the direction"),
    C("deck local step", "deck", "B01", D.GAP, wears=1, gauge="straightedge and feeler",
      places="at each fire ring"),
    C("deck height", "deck", "B02", D.ENDS, wears=-1, gauge="arbor in the main bores and height "
      "gauge", places="front and rear of each bank"),
    C("deck parallelism", "deck", "B03", D.SPREAD, basis="deck height", wears=1,
      places="the four corners"),
    C("deck texture", "deck", "B04", D.GAP, dimension="roughness", gauge="stylus or comparison "
      "plate", places="two or three along the feed", step="0.1"),
    C("block leak test", "block", "B25", D.TEST, dimension="test", places="the whole casting, hot"),
    C("block crack test", "block", "B25", D.TEST, dimension="test", places="the whole casting"),
    C("block threads", "block", "B24", D.TEST, dimension="test", places="threads, dowels, plugs, "
      "galleries, gasket grooves"),
    C("bore diameter", "bore", "B05", D.SIZE, sense=S.DIAMETRAL, wears=1, gauge="dial bore gauge "
      "set from a ring or micrometer", places=_BORE, step="0.001"),
    C("bore out-of-round", "bore", "B06", D.OUT_OF_ROUND, basis="bore diameter",
      sense=S.DIAMETRAL, wears=1, places="each level, two directions or more", step="0.001"),
    C("bore taper", "bore", "B07", D.TAPER, basis="bore diameter", sense=S.DIAMETRAL, wears=1,
      places="top to bottom along one direction", step="0.001"),
    C("bore score depth", "bore", "B08", D.GAP, sense=S.RADIAL, wears=1, gauge="depth indicator "
      "or replica", places="the deepest place; which wall"),
    C("bore texture", "bore", "B09", D.VALUE, dimension="roughness", gauge="stylus",
      places="two places", step="0.1"),
    C("bore crosshatch", "bore", "B09", D.VALUE, dimension="angle", places="two places", step="1"),
    C("bore squareness", "bore", "B10", D.GAP, wears=1, gauge="bore fixture", places="each bore"),
    C("bore wall", "bore", "B11", D.SMALLEST, sense=S.RADIAL, wears=-1, gauge="ultrasonic gauge",
      places="four sides × three levels, thrust sides named", step="0.1"),
    C("bore wall thrust side", "bore", "B11", D.SMALLEST, sense=S.RADIAL, wears=-1,
      gauge="ultrasonic gauge", places="thrust and opposite side, three levels", step="0.1"),
    C("parent bore diameter", "parent bore", "B12", D.SIZE, sense=S.DIAMETRAL, wears=1,
      gauge="dial bore gauge", places="three levels × two directions", step="0.001"),
    C("parent bore out-of-round", "parent bore", "B12", D.OUT_OF_ROUND,
      basis="parent bore diameter", sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("liner outside diameter", "liner", "B13", D.SIZE, sense=S.DIAMETRAL, gauge="micrometer",
      places="three levels × two directions", step="0.001"),
    C("liner inside diameter", "liner", "B13", D.SIZE, sense=S.DIAMETRAL, gauge="dial bore gauge",
      places="free, three levels × two directions", step="0.001"),
    C("liner fit", "liner", "B13", D.FIT, sense=S.DIAMETRAL, places="outside diameter less parent "
      "bore: + is interference", step="0.001"),
    C("fitted bore diameter", "bore", "B13", D.FIT, sense=S.DIAMETRAL, step="0.001"),
    C("ledge depth", "ledge", "B14", D.VALUE, sense=S.AXIAL, gauge="depth micrometer or bridge "
      "indicator on the ledge", places="four points, outer edge", step="0.005"),
    C("ledge spread", "ledge", "B14", D.SPREAD, basis="ledge depth", sense=S.AXIAL, wears=1,
      step="0.005"),
    C("ledge cupping", "ledge", "B14", D.GAP, sense=S.AXIAL, wears=1, places="inner less outer "
      "edge, four points", step="0.005"),
    C("liner flange thickness", "liner", "B15", D.VALUE, sense=S.AXIAL, gauge="micrometer, off "
      "the bead", places="four points", step="0.005"),
    C("liner protrusion", "liner", "B16", D.FIT, sense=S.AXIAL, gauge="bridge indicator, liner "
      "clamped, a wet one without seals", places="four points on each liner", step="0.005"),
    C("liner protrusion spread", "liner", "B16", D.SPREAD, basis="liner protrusion", wears=1,
      step="0.005"),
    C("liner protrusion step", "liner", "B16", D.NEIGHBOUR, basis="liner protrusion",
      step="0.005"),
    C("liner lower clearance", "liner", "B17", D.VALUE, sense=S.DIAMETRAL, wears=1),
    C("liner pit depth", "liner", "B17", D.GAP, sense=S.RADIAL, wears=1),
    C("main housing diameter", "main housing", "B18", D.SIZE, sense=S.DIAMETRAL,
      gauge="dial bore gauge, caps torqued, no shells",
      places="vertical and two at 45° to 60°, front and rear", step="0.001"),
    C("main housing out-of-round", "main housing", "B19", D.OUT_OF_ROUND,
      basis="main housing diameter", sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("main line height", "main housing", "B20", D.VALUE, gauge="indicated arbor, or bar and "
      "feeler", places="each saddle over one bar; sideways said as the direction"),
    C("main line straightness", "block", "B20", D.GAP, wears=1, gauge="bar and feeler, or an "
      "indicated arbor", places="all saddles against the end bores"),
    C("main line step", "block", "B20", D.GAP, wears=1, places="neighbouring saddles"),
    C("cap register fit", "main housing", "B21", D.VALUE, places="width of both", step="0.005"),
    C("cam bush diameter", "cam bush", "B22", D.SIZE, sense=S.DIAMETRAL, wears=1,
      places="two levels × two directions, installed", step="0.005"),
    C("follower bore diameter", "follower", "B23", D.SIZE, sense=S.DIAMETRAL, wears=1,
      gauge="small bore gauge", places="two levels × two directions", step="0.005"),
)  # fmt: skip

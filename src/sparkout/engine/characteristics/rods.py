"""Connecting rods, pistons, pins and rings."""

from __future__ import annotations

from sparkout.engine.characteristics.kinds import Characteristic as C
from sparkout.engine.characteristics.kinds import Derive as D
from sparkout.engine.characteristics.kinds import Sense as S

__all__ = ["RODS"]

RODS: tuple[C, ...] = (
    C("rod housing diameter", "rod", "R01", D.SIZE, sense=S.DIAMETRAL, gauge="bore gauge, bolts "
      "at torque, no shells", places="vertical and 45° either side, two depths", step="0.001"),
    C("rod housing out-of-round", "rod", "R02", D.OUT_OF_ROUND, basis="rod housing diameter",
      sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("rod bush diameter", "rod", "R03", D.SIZE, sense=S.DIAMETRAL, wears=1, gauge="pin gauge",
      places="two × two each end", step="0.001"),
    C("rod bush fit", "rod", "R04", D.VALUE, sense=S.DIAMETRAL, step="0.001"),
    C("rod length", "rod", "R05", D.VALUE, gauge="fixture, centre to centre", step="0.005"),
    C("rod length spread", "rods", "R05", D.ACROSS, basis="rod length", step="0.005"),
    C("rod bend", "rod", "R06", D.GAP, wears=1, gauge="fixture, reversed readings",
      places="per 100 mm between arbors"),
    C("rod twist", "rod", "R07", D.GAP, wears=1, gauge="fixture, reversed readings",
      places="per 100 mm between arbors"),
    C("rod side clearance", "rod", "R08", D.VALUE, sense=S.AXIAL, wears=1, gauge="feeler",
      places="each pin; on a V engine each pair"),
    C("rod weight", "rod", "R09", D.VALUE, dimension="mass", step="1"),
    C("rod weight spread", "rods", "R09", D.ACROSS, basis="rod weight", dimension="mass",
      step="1"),
    C("rod bolt length", "rod bolt", "R10", D.VALUE, wears=1, gauge="bolt micrometer",
      places="free, each bolt", step="0.005"),
    C("rod bolt stretch", "rod bolt", "R10", D.VALUE, step="0.005"),
    C("rod shell spread", "rod shell", "R11", D.VALUE, step="0.1"),
    C("main shell spread", "main shell", "R11", D.VALUE, step="0.1"),
    C("rod shell wall", "rod shell", "R11", D.VALUE, sense=S.RADIAL, wears=-1,
      gauge="ball-anvil micrometer at the crown", step="0.001"),
    C("bearing crush", "rod shell", "R11", D.VALUE, step="0.01"),
    C("rod crack test", "rod", "R06", D.TEST, dimension="test"),
    C("piston skirt diameter", "piston", "P01", D.VALUE, sense=S.DIAMETRAL, wears=-1,
      gauge="micrometer at the maker's gauge height, 90° to the pin", step="0.001"),
    C("piston clearance", "bore", "P02", D.FIT, sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("compression height", "piston", "P03", D.VALUE, gauge="height gauge from the pin"),
    C("piston pin diameter", "piston", "P04", D.SIZE, sense=S.DIAMETRAL, wears=-1, step="0.001"),
    C("piston pin bore diameter", "piston", "P04", D.SIZE, sense=S.DIAMETRAL, wears=1,
      step="0.001"),
    C("piston pin clearance", "piston", "P04", D.FIT, sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("small end clearance", "rod", "R03", D.FIT, sense=S.DIAMETRAL, wears=1, step="0.001"),
    C("ring groove clearance", "ring", "P05", D.GAP, sense=S.AXIAL, wears=1, gauge="new ring "
      "and feeler", places="three or four round"),
    C("ring radial clearance", "ring", "P07", D.VALUE, sense=S.RADIAL, step="0.1"),
    C("ring tension", "ring", "P07", D.VALUE, dimension="force", wears=-1, step="0.1"),
    C("piston crown", "piston", "P08", D.TEST, dimension="test"),
    C("piston bowl volume", "piston", "P08", D.VALUE, dimension="volume", step="0.1"),
    C("ring gap", "ring", "P06", D.GAP, wears=1, gauge="feeler, ring square in its own bore at "
      "the smallest diameter", places="each ring"),
    C("piston protrusion", "bore", "P09", D.FIT, sense=S.AXIAL, gauge="bridge indicator at top "
      "dead centre over the pin axis", places="two points, each cylinder"),
    C("piston weight", "piston", "P10", D.VALUE, dimension="mass", step="1"),
    C("piston weight spread", "pistons", "P10", D.ACROSS, basis="piston weight",
      dimension="mass", step="1"),
    C("piston to head", "bore", "P09", D.FIT, sense=S.AXIAL, gauge="lead wire at mock-up",
      places="each cylinder"),
    C("squish", "bore", "P09", D.FIT, sense=S.AXIAL, gauge="lead wire at mock-up"),
    C("compression ratio", "bore", "P08", D.FIT, dimension="ratio", step="0.1"),
)  # fmt: skip

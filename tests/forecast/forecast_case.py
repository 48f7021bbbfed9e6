"""A small invented engine to forecast: three bores, their pistons, one deck; all of it wears.

Wear is written into the sheet as priors, so that the tests know what the draws should look like.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

from sparkout.engine.names import known_names
from sparkout.engine.of_sheet import frame_of
from sparkout.engine.spots import Spot
from sparkout.forecast.case import Case, Found
from sparkout.judge.checks import checks
from sparkout.sheet.files import open_sheet, open_shop

SHEET = """\
sparkout sheet: 1
engine:
  name: Small engine for forecasts
  note: invented
  layout: inline
  cylinders: 3
  firing order: 1-3-2
  main bearings: 4
  cylinder kind: parent bore
  intake valves: 1
  exhaust valves: 1
  rings: top, second
geometry:
  bore: 80.00 mm
  stroke: 80.00 mm
sources:
  invented: Invented for these tests
limits:
  bore diameter:
    new: 80.000 to 80.020 mm
    service: at most 80.10 mm
    source: invented
  bore out-of-round:
    new: at most 0.012 mm
    service: at most 0.05 mm
    source: invented
  piston clearance:
    new: 0.04 to 0.07 mm
    service: at most 0.20 mm
    source: invented
  deck flatness:
    new: at most 0.03 mm
    service: at most 0.08 mm
    source: invented
  block crack test:
    source: invented
priors:
  bore diameter:
    found: 80.02 to 80.14 mm
    alike: 70 %
    source: invented
  deck flatness:
    found: 0.02 to 0.12 mm
    source: common practice
  block crack test:
    fails: 10 %
parts:
  - part: piston +0.25
    kind: piston
    for bore: 80.25 mm
    sizes:
      piston skirt diameter: 80.190 to 80.200 mm
  - part: piston +0.50
    kind: piston
    for bore: 80.50 mm
    sizes:
      piston skirt diameter: 80.440 to 80.450 mm
"""

SHOP = """\
sparkout shop: 1
shop:
  name: Invented
  currency: EUR
rates:
  machining: 80
operations:
  - operation: bore cylinder
    rate: machining
    set up: 0.8 h
    each: 0.5 h
  - operation: hone cylinder
    rate: machining
    set up: 0.4 h
    each: 0.5 h
    holds:
      bore diameter: ± 0.004 mm
      bore out-of-round: at most 0.006 mm
  - operation: surface deck
    rate: machining
    set up: 0.8 h
    each: 1.2 h
    step: 0.01 mm
    smallest cut: 0.03 mm
    holds:
      deck flatness: at most 0.02 mm
supply:
  - part: piston +0.25
    price: 90
    days: 2
  - part: piston +0.50
    price: 110
    on hand: 3
"""


@lru_cache
def small_case(history: tuple[Found, ...] = (), sheet: str = SHEET) -> Case:
    """The engine before anything is read."""
    names = known_names()
    with TemporaryDirectory() as where:
        (Path(where) / "engine.yaml").write_text(sheet, encoding="utf-8")
        (Path(where) / "shop.yaml").write_text(SHOP, encoding="utf-8")
        read, faults = open_sheet(Path(where) / "engine.yaml", names)
        shop, more = open_shop(Path(where) / "shop.yaml", names)
    stopping = [str(fault) for fault in (*faults, *more) if fault.stops]
    if read is None or shop is None:
        raise ValueError("\n".join(stopping))
    frame = frame_of(read)
    return Case(read, shop, frame, checks(read, frame), history=history)


def some_of(spots: tuple[Spot, ...], *features: str) -> tuple[Spot, ...]:
    """The readings of some features."""
    return tuple(spot for spot in spots if spot.key.feature in features)

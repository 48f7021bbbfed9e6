"""A small shop and readings on a one-cylinder frame, as logs bring them."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.frame import Bank, CylinderKind, Layout, build_frame
from sparkout.engine.names import known_names
from sparkout.engine.readings import Typed, read_typed
from sparkout.faults import Place
from sparkout.sheet.files import open_shop

FRAME = build_frame(
    Layout.SINGLE,
    (Bank("", (1,)),),
    main_bearings=2,
    cylinder_kind=CylinderKind.PARENT_BORE,
    firing_order=(1,),
)

SHOP = """\
sparkout shop: 1
shop:
  name: Test
  currency: EUR
rates:
  machining: 80
operations:
  - operation: surface deck
    rate: machining
gauges:
  - gauge: BG-1
    kind: dial bore gauge
    resolution: 0.001 mm
    certificate: U 0.002 mm
    number: C-1
    date: 2026-01-10
    until: 2027-01-09
    repeatability: 0.0008 mm from 30
    set by: RM-70, RM-100
  - gauge: OM-2
    kind: outside micrometer
    resolution: 0.001 mm
    certificate: U 0.003 mm, k = 3
  - gauge: TG-1
    kind: telescoping gauge
    resolution: 0.001 mm
    largest error: ± 0.003 mm
    beside: OM-2
  - gauge: OLD
    kind: outside micrometer
    resolution: 0.001 mm
    certificate: U 0.002 mm
    until: 2026-05-31
  - gauge: DROPPED
    kind: outside micrometer
    resolution: 0.001 mm
    certificate: U 0.002 mm
    held: dropped on the floor
  - gauge: FG-1
    kind: feeler
    resolution: 0.01 mm
    certificate: U 0.004 mm
masters:
  - master: RM-70
    size: 70.002 mm
    certificate: U 0.001 mm
  - master: RM-100
    size: 99.998 mm
    certificate: U 0.001 mm
"""
RULES = """\
without gauge:
  length: ± 0.05 mm
  bore diameter: ± 0.02 mm
  setting master: ± 0.003 mm
"""
BENCH = """\
bench:
  temperature: 20 ± 2 °C
  apart: 1 °C
  thermometer: 0.5 °C
"""


def shop_of(tmp_path, text=SHOP):
    path = tmp_path / "shop.yaml"
    path.write_text(text, encoding="utf-8")
    return open_shop(path, known_names())


def good_shop(tmp_path, text=SHOP):
    shop, faults = shop_of(tmp_path, text)
    assert faults == (), [str(fault) for fault in faults]
    assert shop is not None
    return shop


def read(shop, typed, characteristic="bore diameter", feature="bore 1", **more):
    """The spot of one reading, on a day when all but OLD are in date."""
    more.setdefault("at", "2026-06-15T08:00:00.000Z")
    spot, faults = read_typed(Typed(feature, characteristic, typed, Place(), **more), FRAME, shop)
    assert faults == (), faults
    return spot


def by_source(estimate):
    return {part.source: abs(part.u) for part in estimate.components}


def mm(text):
    return Fraction(text)

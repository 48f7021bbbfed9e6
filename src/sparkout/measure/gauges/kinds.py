"""Kinds of gauges: what each reads and what it needs beside it."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

__all__ = ["KINDS", "GaugeKind", "KindFacts", "Reads", "facts_of"]


class Reads(StrEnum):
    """What a gauge gives: a size, a deviation from a master, an interval, or another quantity."""

    SIZE = "size"
    DEVIATION = "deviation from a master"
    INTERVAL = "interval"
    FORM = "form"
    FORCE = "force"
    TORQUE = "torque"
    ANGLE = "angle"
    TEXTURE = "texture"
    TEMPERATURE = "temperature"


class GaugeKind(StrEnum):
    """Kinds known to the program, by the words of the trade."""

    OUTSIDE_MICROMETER = "outside micrometer"
    INSIDE_MICROMETER = "inside micrometer"
    DEPTH_MICROMETER = "depth micrometer"
    DIAL_BORE_GAUGE = "dial bore gauge"
    SMALL_BORE_GAUGE = "small bore gauge"
    TELESCOPING_GAUGE = "telescoping gauge"
    BRIDGE_INDICATOR = "bridge indicator"
    DIAL_INDICATOR = "dial indicator"
    HEIGHT_GAUGE = "height gauge"
    CALLIPER = "calliper"
    FEELER = "feeler"
    PLASTIC_STRIP = "plastic gauge strip"
    STRAIGHTEDGE_AND_FEELER = "straightedge and feeler"
    V_BLOCKS_AND_INDICATOR = "V-blocks and indicator"
    SPRING_TESTER = "spring tester"
    TORQUE_WRENCH = "torque wrench"
    ANGLE_GAUGE = "angle gauge"
    ULTRASONIC_WALL_GAUGE = "ultrasonic wall gauge"
    STYLUS = "stylus instrument"
    THERMOMETER = "thermometer"
    OTHER = "other"


class KindFacts(NamedTuple):
    """What a kind reads, whether it must be set by a master, and with what it is used.

    beside: the other gauge a reading needs, whose errors are added as a companion.
    """

    kind: GaugeKind
    reads: Reads
    needs_master: bool = False
    beside: str = ""


KINDS: tuple[KindFacts, ...] = (
    KindFacts(GaugeKind.OUTSIDE_MICROMETER, Reads.SIZE),
    KindFacts(GaugeKind.INSIDE_MICROMETER, Reads.SIZE),
    KindFacts(GaugeKind.DEPTH_MICROMETER, Reads.SIZE),
    KindFacts(GaugeKind.DIAL_BORE_GAUGE, Reads.DEVIATION, needs_master=True),
    KindFacts(GaugeKind.SMALL_BORE_GAUGE, Reads.SIZE, beside="the micrometer it is read by"),
    KindFacts(GaugeKind.TELESCOPING_GAUGE, Reads.SIZE, beside="the micrometer it is read by"),
    KindFacts(GaugeKind.BRIDGE_INDICATOR, Reads.DEVIATION, needs_master=True),
    KindFacts(GaugeKind.DIAL_INDICATOR, Reads.DEVIATION),
    KindFacts(GaugeKind.HEIGHT_GAUGE, Reads.SIZE),
    KindFacts(GaugeKind.CALLIPER, Reads.SIZE),
    KindFacts(GaugeKind.FEELER, Reads.INTERVAL),
    KindFacts(GaugeKind.PLASTIC_STRIP, Reads.INTERVAL),
    KindFacts(GaugeKind.STRAIGHTEDGE_AND_FEELER, Reads.INTERVAL, beside="the straightedge"),
    KindFacts(GaugeKind.V_BLOCKS_AND_INDICATOR, Reads.FORM, beside="the V-blocks"),
    KindFacts(GaugeKind.SPRING_TESTER, Reads.FORCE),
    KindFacts(GaugeKind.TORQUE_WRENCH, Reads.TORQUE),
    KindFacts(GaugeKind.ANGLE_GAUGE, Reads.ANGLE),
    KindFacts(GaugeKind.ULTRASONIC_WALL_GAUGE, Reads.SIZE),
    KindFacts(GaugeKind.STYLUS, Reads.TEXTURE),
    KindFacts(GaugeKind.THERMOMETER, Reads.TEMPERATURE),
    KindFacts(GaugeKind.OTHER, Reads.SIZE),
)


def facts_of(kind: GaugeKind) -> KindFacts:
    """What a kind of gauge reads and needs.

    A row of the table of kinds.

    kind: one of the kinds known [-].
    Returns its facts.
    Holds for every kind; the table is checked to be complete.
    Source: common practice.

    >>> facts_of(GaugeKind.DIAL_BORE_GAUGE).needs_master
    True
    """
    return next(row for row in KINDS if row.kind is kind)

"""What a gauge leaves uncertain in one reading, piece by piece.

Sources are named so that what is one error is one name: the calibration of a gauge is shared by all
its readings, that of a master by all readings set by it, resolution and repeatability belong to one
reading.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from sparkout.measure.estimate import Component, Estimate, Shape, combine
from sparkout.measure.gauges.records import Certificate, Gauge, Master
from sparkout.measure.temperature import Expansion, Temperature, corrected

__all__ = [
    "BenchReading",
    "calibration_component",
    "gap_estimate",
    "reading_components",
    "reading_estimate",
    "resolution_uncertainty",
]

_ROOT3 = math.sqrt(3.0)


@dataclass(frozen=True, slots=True)
class BenchReading:
    """One reading as it counts: its name, the size it gives, and at what temperatures.

    name: unlike that of any other reading ("bore 2 top thrust, first"). value: size, a deviation
    already added to its master. times: how many readings it is the mean of. setting: which zero
    setting it was taken from, where a master was used ("morning"). part: expansion of the part.
    """

    name: str
    value: Fraction
    times: int = 1
    setting: str = ""
    part: Expansion | None = None
    part_temperature: Temperature | None = None
    gauge_temperature: Temperature | None = None

    def __post_init__(self) -> None:
        if self.times < 1:
            raise ValueError(f"reading {self.name!r}: mean of {self.times} readings")
        given = (self.part, self.part_temperature, self.gauge_temperature)
        if any(given) and not all(given):
            raise ValueError(
                f"reading {self.name!r}: a correction to 20 °C needs the part's material and both"
                " temperatures"
            )


def resolution_uncertainty(resolution: float) -> float:
    """Standard uncertainty due to the smallest step a gauge shows.

    u = resolution/√12: any value inside one step is equally likely.

    resolution: one display step [mm], zero or more.
    Returns one standard deviation [mm].
    Holds for a digital step, not for reading between the lines of a dial.
    Source: JCGM 100:2008 (GUM), F.2.2.1.
    Raises ValueError naming the value when it is negative.

    >>> round(resolution_uncertainty(0.002), 6)
    0.000577
    """
    if not resolution >= 0.0:
        raise ValueError(f"resolution {resolution} is negative")
    return resolution / math.sqrt(12.0)


def calibration_component(
    name: str, certificate: Certificate | None, largest_error: Fraction | None
) -> Component:
    """Error of a gauge or master that all its readings share.

    u = U/k from a certificate, normal (Student where it states degrees of freedom); without one
    the maximum permissible error a, rectangular, u = a/√3.

    name: of the gauge or master [-].
    certificate: its certificate, or None [unit of the gauge].
    largest_error: maximum permissible error either way, or None [unit of the gauge].
    Returns the component, its source named after the gauge.
    Holds for a gauge whose known corrections were applied.
    Source: JCGM 100:2008 (GUM), 4.3.3 and 4.3.7.
    Raises ValueError when there is neither.

    >>> calibration_component("OM-2", None, Fraction("0.003"))
    Component(source='OM-2 calibration', u=0.0017320508075688774, \
shape=<Shape.RECTANGULAR: 'rectangular'>, dof=inf)
    """
    source = f"{name} calibration"
    if certificate is not None:
        shape = Shape.NORMAL if math.isinf(certificate.dof) else Shape.STUDENT
        return Component(source, certificate.u, shape, certificate.dof)
    if largest_error is None:
        raise ValueError(f"{name} has neither certificate nor maximum permissible error")
    return Component(source, float(largest_error) / _ROOT3, Shape.RECTANGULAR)


def reading_components(
    gauge: Gauge,
    reading: BenchReading,
    master: Master | None = None,
    companions: tuple[Gauge, ...] = (),
) -> tuple[Component, ...]:
    """Components of uncertainty of one reading, temperatures apart.

    Calibration of the gauge; resolution and repeatability of this reading; where a master was used,
    its own error and that of the zero set by it, shared by all readings from that setting; the same
    for gauges used beside it.

    gauge: what it was read with [-].
    reading: the reading [unit of the gauge].
    master: what the gauge was set by, None for a gauge that reads sizes by itself [unit of the
    gauge].
    companions: other gauges the reading went through (the micrometer of a telescoping gauge, the
    straightedge over a feeler) [unit of the gauge].
    Returns the components, those with one source added up.
    Holds for readings with known corrections applied.
    Source: JCGM 100:2008 (GUM), 4.2, 4.3 and F.2.2.1.

    >>> from sparkout.measure.gauges.kinds import GaugeKind
    >>> gauge = Gauge("OM-2", GaugeKind.OUTSIDE_MICROMETER, Fraction("0.001"),
    ...               largest_error=Fraction("0.003"))
    >>> [part.source for part in reading_components(gauge, BenchReading("rod 1", Fraction(56)))]
    ['OM-2 calibration', 'resolution, rod 1']
    """
    parts = list(_of_gauge(gauge, reading.name, reading.times))
    for companion in companions:
        parts += _of_gauge(companion, f"{reading.name}, {companion.id}", reading.times)
    if master is not None:
        parts.append(calibration_component(master.id, master.certificate, master.largest_error))
        zero = f"zero of {gauge.id} on {master.id}"
        zero = f"{zero}, {reading.setting}" if reading.setting else zero
        parts += _own(gauge, zero, 1)
    return combine(parts)


def reading_estimate(
    gauge: Gauge,
    reading: BenchReading,
    master: Master | None = None,
    companions: tuple[Gauge, ...] = (),
) -> Estimate:
    """A reading as an estimate at 20 °C, with all its components.

    The value is corrected to 20 °C where the reading gives material and temperatures: the part's
    growth against that of the gauge, or of the master it was set by.

    gauge: what it was read with [-].
    reading: the reading [mm].
    master: what the gauge was set by, or None [mm].
    companions: other gauges the reading went through [mm].
    Returns the estimate [mm].
    Holds for lengths; readings of other kinds give no temperatures.
    Source: ISO 1:2022; JCGM 100:2008 (GUM), H.1.
    Raises ValueError when a correction is asked for and what it was set by has no known expansion.

    >>> from sparkout.measure.gauges.kinds import GaugeKind
    >>> gauge = Gauge("OM-2", GaugeKind.OUTSIDE_MICROMETER, Fraction("0.001"),
    ...               largest_error=Fraction("0.003"))
    >>> found = reading_estimate(gauge, BenchReading("rod 1", Fraction("55.982")))
    >>> float(found.value), round(found.u, 5)
    (55.982, 0.00176)
    """
    parts = reading_components(gauge, reading, master, companions)
    estimate = Estimate(reading.value, parts)
    if reading.part is None or reading.part_temperature is None:
        return estimate
    assert reading.gauge_temperature is not None
    reference = master or gauge
    if reference.expansion is None:
        raise ValueError(
            f"reading {reading.name!r}: no expansion coefficient known of {reference.id},"
            " so it cannot be corrected to 20 °C"
        )
    return corrected(
        estimate,
        reading.part,
        reading.part_temperature,
        reference.expansion,
        reading.gauge_temperature,
    )


def gap_estimate(
    gauge: Gauge,
    name: str,
    goes: Fraction,
    does_not: Fraction,
    companions: tuple[Gauge, ...] = (),
) -> Estimate:
    """A gap known to lie between two blades, or between two steps of a plastic strip.

    Any gap in [goes, does not) is equally likely: the middle, rectangular, half-width half apart.

    gauge: the feeler set or strip; its own error is added [mm].
    name: of the reading [-].
    goes: thickest blade that goes, zero when none did [mm].
    does_not: thinnest blade that does not go [mm], above goes.
    companions: what it was used with, the straightedge [mm].
    Returns the estimate [mm].
    Holds for blades tried one step apart; wider steps give a wider interval.
    Source: JCGM 100:2008 (GUM), 4.3.7.
    Raises ValueError naming the blades when they are in the wrong order.

    >>> from sparkout.measure.gauges.kinds import GaugeKind
    >>> blades = Gauge("FG-1", GaugeKind.FEELER, Fraction(0), largest_error=Fraction("0.003"))
    >>> found = gap_estimate(blades, "ring gap 1", Fraction("0.40"), Fraction("0.45"))
    >>> float(found.value), round(found.u, 4)
    (0.425, 0.0145)
    """
    if not 0 <= goes < does_not:
        raise ValueError(
            f"gap {name!r}: {float(goes)} goes and {float(does_not)} does not;"
            " the second must be the thicker"
        )
    half = float(does_not - goes) / 2
    parts = [
        Component(f"blades, {name}", half / _ROOT3, Shape.RECTANGULAR),
        calibration_component(gauge.id, gauge.certificate, gauge.largest_error),
    ]
    for companion in companions:
        parts.append(
            calibration_component(companion.id, companion.certificate, companion.largest_error)
        )
    return Estimate((goes + does_not) / 2, combine(parts))


def _of_gauge(gauge: Gauge, name: str, times: int) -> tuple[Component, ...]:
    calibration = calibration_component(gauge.id, gauge.certificate, gauge.largest_error)
    return (calibration, *_own(gauge, name, times))


def _own(gauge: Gauge, name: str, times: int) -> list[Component]:
    """Resolution and repeatability, which belong to one reading (or to one zero setting).

    The mean of several readings is not better resolved: they may all sit in one step.
    """
    parts = []
    if gauge.resolution:
        u = resolution_uncertainty(float(gauge.resolution))
        parts.append(Component(f"resolution, {name}", u, Shape.RECTANGULAR))
    if gauge.repeatability is not None and gauge.repeatability.s:
        u = float(gauge.repeatability.s) / math.sqrt(times)
        dof = float(gauge.repeatability.dof)
        parts.append(Component(f"repeatability, {name}", u, Shape.STUDENT, dof))
    return parts

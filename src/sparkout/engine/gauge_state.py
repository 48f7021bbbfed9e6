"""Every gauge and master of the shop on one day: what it is good to, and whether it may be used."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sparkout.measure.estimate import Estimate
from sparkout.measure.gauges.components import BenchReading, calibration_component
from sparkout.measure.gauges.components import reading_components as components_of
from sparkout.measure.gauges.kinds import GaugeKind
from sparkout.measure.gauges.records import Certificate, Gauge, Master
from sparkout.measure.gauges.register import Register

__all__ = ["GaugeState", "Standing", "gauge_states"]


class Standing:
    """How a certificate stands, by these words."""

    VALID = "valid"
    SOON = "soon out"
    EXPIRED = "expired"
    NO_DAY = "no last day"
    NONE = "no certificate"
    HELD = "held back"


# From here on a certificate is about to run out: a month, time enough to send it (a judgement).
_SOON = 30


@dataclass(frozen=True, slots=True)
class GaugeState:
    """One gauge or master. expanded: of one reading with it (k = 2), in the base unit of what it
    measures; of a master, of its size. days: until the last day, negative after it. readings: of
    this job."""

    name: str
    kind: str
    measures: str
    resolution: Fraction | None
    expanded: float
    standing: str
    days: int | None
    number: str
    until: str
    held: str
    readings: int
    remark: str = ""

    @property
    def usable(self) -> bool:
        return self.standing not in (Standing.HELD, Standing.EXPIRED)


def gauge_states(register: Register, used: Iterable[str], on: date) -> tuple[GaugeState, ...]:
    """The register as it stands on a day. used: the gauge of each reading of the job."""
    read = Counter(used)
    gauges = tuple(_gauge(item, read[item.id], on) for item in register.gauges)
    return gauges + tuple(_master(item, on) for item in register.masters)


def _gauge(gauge: Gauge, readings: int, on: date) -> GaugeState:
    one = Estimate(Fraction(0), components_of(gauge, BenchReading("one", Fraction(0))))
    standing, days = _standing(gauge.certificate, gauge.held, on)
    # a bridge indicator is set on the face it stands on; a bore gauge has nothing but its ring
    needs = gauge.kind is GaugeKind.DIAL_BORE_GAUGE and not gauge.set_by
    remark = "is set by a master, and none is named (`set by`)" if needs else ""
    return GaugeState(
        gauge.id, gauge.called or str(gauge.kind), gauge.measures, gauge.resolution, 2 * one.u,
        standing, days, *_paper(gauge.certificate), gauge.held, readings, remark,
    )  # fmt: skip


def _master(master: Master, on: date) -> GaugeState:
    part = calibration_component(master.id, master.certificate, master.largest_error)
    standing, days = _standing(master.certificate, master.held, on)
    return GaugeState(
        master.id, "master", "length", None, 2 * abs(part.u), standing, days,
        *_paper(master.certificate), master.held, 0,
    )  # fmt: skip


def _paper(certificate: Certificate | None) -> tuple[str, str]:
    if certificate is None:
        return "", ""
    return certificate.number, certificate.until.isoformat() if certificate.until else ""


def _standing(certificate: Certificate | None, held: str, on: date) -> tuple[str, int | None]:
    if held:
        return Standing.HELD, None
    if certificate is None:
        return Standing.NONE, None
    if certificate.until is None:
        return Standing.NO_DAY, None
    days = (certificate.until - on).days
    if days < 0:
        return Standing.EXPIRED, days
    return (Standing.SOON if days <= _SOON else Standing.VALID), days

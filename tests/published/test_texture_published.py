"""Surface texture and honing against published numbers and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats

from sparkout.measure.texture.cutoffs import (
    cutoff_for_ra,
    cutoff_for_rsm,
    cutoff_for_rz,
    short_cutoff,
)
from sparkout.measure.texture.filters import ALPHA, transmission
from sparkout.measure.texture.hatch import axial_speed_for, hatch_from_speeds, surface_speed
from sparkout.measure.texture.plateau import (
    MaterialRatioCurve,
    core_parameters,
    material_ratio_curve,
    plateau,
)
from sparkout.measure.texture.profile import Profile
from sparkout.measure.texture.roughness import height_parameters


def test_gaussian_filter_transmission() -> None:
    # ISO 16610-21: alpha and transmission at wavelength over cut-off; quoted from memory and
    # recomputed.
    assert pytest.approx(0.469718639, abs=5e-10) == ALPHA
    shares = [100 * transmission(ratio * 0.8, 0.8) for ratio in (0.25, 0.5, 1, 2, 4)]
    assert shares == pytest.approx([0.0015, 6.25, 50, 84.09, 95.76], abs=0.005)


def wave(shape: str, amplitude: float) -> Profile:
    n, periods = 1000, 20
    phase = (np.arange(n * periods) + 0.5) / n % 1.0
    z = {
        "sine": np.sin(2 * math.pi * phase),
        "triangle": 1 - 4 * np.abs(phase - 0.5),
        "square": np.where(phase < 0.5, 1.0, -1.0),
    }[shape]
    return Profile(4.0 / (n * periods), tuple((amplitude * z).tolist()))


@pytest.mark.parametrize(
    ("shape", "ra", "rq", "kurtosis"),
    [
        ("sine", 2 / math.pi, 1 / math.sqrt(2), 1.5),
        ("triangle", 0.5, 1 / math.sqrt(3), 1.8),
        ("square", 1.0, 1.0, 1.0),
    ],
)
def test_plain_waves(shape: str, ra: float, rq: float, kurtosis: float) -> None:
    # Closed forms for amplitude A: Ra 2A/pi, A/2, A; Rq A/sqrt2, A/sqrt3, A; Rz 2A; fourth moments
    # 3/8, 1/5, 1 of A^4. Filtered profile given, so no filter enters.
    a = 2.5
    r = height_parameters(wave(shape, a), 0.8)
    assert r.ra == pytest.approx(ra * a, rel=1e-5)
    assert r.rq == pytest.approx(rq * a, rel=1e-5)
    assert r.rz == pytest.approx(2 * a, rel=1e-2)
    assert r.rt == pytest.approx(2 * a, rel=1e-2)
    assert r.rsk == pytest.approx(0.0, abs=1e-9)
    assert r.rku == pytest.approx(kurtosis, rel=1e-5)
    assert r.sections == 5


def test_hone_kinematics() -> None:
    # Bore 86 mm at 200 rev/min: surface speed 54.035 m/min; 60 and 45 degrees between the lines
    # need 31.197 and 22.382 m/min; relation from memory, recomputed.
    v = surface_speed(86.0, 200.0)
    assert v == pytest.approx(54.035, abs=5e-4)
    assert axial_speed_for(60.0, v) == pytest.approx(31.197, abs=5e-4)
    assert axial_speed_for(45.0, v) == pytest.approx(22.382, abs=5e-4)
    hatch = hatch_from_speeds(31.197, v)
    assert hatch.about_circumference == pytest.approx(60.0, abs=1e-3)
    # Sources disagree on which angle is meant: both are given, and each says about what.
    assert hatch.about_axis == pytest.approx(120.0, abs=1e-3)
    assert "halved by the circumference" in str(hatch)
    assert "halved by the bore axis" in str(hatch)


def test_sampling_lengths() -> None:
    # ISO 4288:1996 tables 1 to 3 and ISO 3274:1996 table 1; recalled from memory.
    assert [cutoff_for_ra(x) for x in (0.02, 0.021, 0.1, 2.0, 2.1, 80.0)] == [
        0.08,
        0.25,
        0.25,
        0.8,
        2.5,
        8.0,
    ]
    assert [cutoff_for_rz(x) for x in (0.1, 0.5, 10.0, 10.1, 200.0)] == [0.08, 0.25, 0.8, 2.5, 8.0]
    assert [cutoff_for_rsm(x) for x in (0.04, 0.13, 0.4, 0.41, 4.0)] == [0.08, 0.25, 0.8, 2.5, 8.0]
    assert [short_cutoff(x) for x in (0.08, 0.25, 0.8, 2.5, 8.0)] == [
        0.0025,
        0.0025,
        0.0025,
        0.008,
        0.025,
    ]


def test_a_normal_surface_has_the_closed_form_core() -> None:
    # Heights normal with sd 1: curve c(m) = -z(m). The flattest 40 % is 30 to 70 % by symmetry; the
    # least-squares slope is the quotient of two integrals; then Mr1 = Q(Rk/2) and
    # Rpk = 2 (phi(h) - h Q(h)) / Q(h), h = Rk/2.
    top, _ = integrate.quad(lambda m: (m - 0.5) * -stats.norm.ppf(m), 0.3, 0.7)
    bottom, _ = integrate.quad(lambda m: (m - 0.5) ** 2, 0.3, 0.7)
    rk = -top / bottom
    h = rk / 2
    mr1 = 100 * stats.norm.sf(h)
    rpk = 2 * (stats.norm.pdf(h) - h * stats.norm.sf(h)) / stats.norm.sf(h)
    n = 20_000
    heights = tuple((-stats.norm.ppf((np.arange(n) + 0.5) / n)).tolist())
    found = core_parameters(MaterialRatioCurve(heights))
    assert found.rk == pytest.approx(rk, rel=1e-4)
    assert found.mr1 == pytest.approx(mr1, rel=1e-3)
    assert found.mr2 == pytest.approx(100 - mr1, rel=1e-3)
    assert found.rpk == pytest.approx(rpk, rel=2e-3)
    assert found.rvk == pytest.approx(rpk, rel=2e-3)
    assert found.secants == pytest.approx((30.0,), abs=0.5)
    assert found.notes == ()


def test_a_sine_has_no_single_core_and_the_first_secant_is_taken() -> None:
    # Curve of a sine: c(m) = cos(pi m), flattest at both ends. The standard takes the region met
    # first (ISO 13565-2, recalled from memory): 0 to 40 %, least-squares line by two integrals.
    mean, _ = integrate.quad(lambda m: math.cos(math.pi * m) / 0.4, 0.0, 0.4)
    top, _ = integrate.quad(lambda m: (m - 0.2) * math.cos(math.pi * m), 0.0, 0.4)
    slope = top / (0.4**3 / 12)
    n = 20_000
    curve = MaterialRatioCurve(tuple(np.cos(np.pi * (np.arange(n) + 0.5) / n).tolist()))
    found = core_parameters(curve)
    assert found.rk == pytest.approx(-slope, rel=1e-3)
    assert found.secants == pytest.approx((0.0, 60.0), abs=0.1)
    assert len(found.notes) == 1
    assert "2 places" in found.notes[0]
    crossing = mean + slope * (1.0 - 0.2)
    assert found.mr2 == pytest.approx(100 * math.acos(crossing) / math.pi, rel=1e-3)
    # The same through both filter stages, from a trace.
    trace = Profile(0.0005, tuple(np.sin(2 * np.pi * np.arange(11_200) / 160).tolist()))
    result, faults = plateau(trace)
    assert faults == ()
    assert result is not None
    assert len(result.secants) == 2
    assert "Rk is not a property" in result.notes[0]


def test_a_triangle_is_all_core() -> None:
    found = core_parameters(material_ratio_curve(wave("triangle", 1.0)))
    assert found.rk == pytest.approx(2.0, rel=1e-3)
    assert (found.rpk, found.rvk) == pytest.approx((0.0, 0.0), abs=1e-3)
    assert len(found.secants) == 1  # equal everywhere, but all on one line

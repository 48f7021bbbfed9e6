"""The Gaussian profile filter and what is done at the two ends of a trace.

Near an end the filter's weights hang over the edge. Three ways, each with its name on the result:
half a cut-off is dropped at either end (the run-in and run-out of a stylus instrument); or the
whole trace is kept and the weights that are left are renormalised, which keeps a level surface
level (moment criterion of order 0); or they are corrected to keep a slope a slope too (order 1).
"""

from __future__ import annotations

import math
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from sparkout.measure.texture.profile import Profile

__all__ = ["ALPHA", "Ends", "mean_line", "roughness_profile", "transmission"]

_Array = npt.NDArray[np.float64]

ALPHA = math.sqrt(math.log(2.0) / math.pi)
"""Constant of the Gaussian filter, 0.4697: half the amplitude passes at the cut-off."""

# The weights beyond one cut-off from the middle add up to 2e-4 of a per cent: cut there.
_REACH = 1.0


class Ends(StrEnum):
    """What is done where the filter hangs over an end of the trace."""

    DROP = "half a cut-off dropped at each end"
    LEVEL = "weights renormalised at the ends (ISO 16610-28, moment of order 0)"
    SLOPE = "weights corrected at the ends (ISO 16610-28, moments of order 0 and 1)"


def transmission(wavelength: float, cutoff: float) -> float:
    """Share of a wave's amplitude that the Gaussian filter passes into the mean line.

    exp(-pi (ALPHA cutoff / wavelength)^2), ALPHA = sqrt(ln 2 / pi); the roughness gets the rest.

    wavelength: of the wave [mm], above zero.
    cutoff: of the filter [mm], above zero.
    Returns the share [-], 0 to 1; one half at the cut-off.
    Holds for a long trace, away from its ends.
    Source: ISO 16610-21:2011, transmission characteristic of the Gaussian filter.
    Raises ValueError naming the values when one is not above zero.

    >>> round(transmission(1.6, 0.8), 4)
    0.8409
    """
    if not (wavelength > 0.0 and cutoff > 0.0):
        raise ValueError(
            f"wavelength and cut-off must be above zero, got {wavelength!r}, {cutoff!r}"
        )
    return math.exp(-math.pi * (ALPHA * cutoff / wavelength) ** 2)


def _convolve(z: _Array, kernel: _Array) -> _Array:
    """Middle part of the full convolution, as long as z, by fast Fourier transform."""
    count = z.size + kernel.size - 1
    size = 1 << (count - 1).bit_length()
    full = np.fft.irfft(np.fft.rfft(z, size) * np.fft.rfft(kernel, size), size)
    start = kernel.size // 2
    return full[start : start + z.size]


def gaussian_line(z: _Array, spacing: float, cutoff: float, slope: bool) -> _Array:
    """Mean line of an array of heights; slope chooses the moment criterion of order 1."""
    half = math.ceil(_REACH * cutoff / spacing)
    x = np.arange(-half, half + 1) * spacing
    weights = np.exp(-math.pi * (x / (ALPHA * cutoff)) ** 2)
    weights /= weights.sum()
    # A large common height would cost digits in the transform; the filter passes it unchanged.
    offset = float(z.mean())
    ones = np.ones_like(z)
    s0, t0 = _convolve(ones, weights), _convolve(z - offset, weights)
    if not slope:
        return t0 / s0 + offset
    # Local straight line: moments about the point, distances in cut-offs; the kernel is reversed
    # by the convolution, so the odd moment changes sign.
    first, second = -weights * x / cutoff, weights * (x / cutoff) ** 2
    s1, s2, t1 = _convolve(ones, first), _convolve(ones, second), _convolve(z - offset, first)
    return (s2 * t0 - s1 * t1) / (s0 * s2 - s1 * s1) + offset


def mean_line(profile: Profile, cutoff: float, ends: Ends = Ends.LEVEL) -> Profile:
    """Mean line of a trace by the Gaussian filter, as long as the trace.

    w(x) = sum of s(x - u) z(u) / sum of s(x - u), s(x) = exp(-pi (x / (ALPHA cutoff))^2).

    profile: the trace [-], step well below the cut-off.
    cutoff: of the filter [mm], above zero.
    ends: what to do at the ends [-]; dropping is left to the roughness profile and acts as level.
    Returns the mean line [µm].
    Holds for evenly spaced traces.
    Source: ISO 16610-21:2011; ends by ISO 16610-28.
    Raises ValueError naming the value when the cut-off is not above zero.

    >>> flat = Profile(0.001, (3.0,) * 4000)
    >>> round(mean_line(flat, 0.8).heights_um[0], 9)
    3.0
    """
    if not cutoff > 0.0:
        raise ValueError(f"the cut-off must be above zero, got {cutoff!r}")
    z = np.asarray(profile.heights_um, dtype=np.float64)
    line = gaussian_line(z, profile.spacing, cutoff, ends is Ends.SLOPE)
    return Profile(profile.spacing, tuple(line.tolist()))


def roughness_profile(
    profile: Profile, cutoff: float, short_cutoff: float | None = None, ends: Ends = Ends.DROP
) -> Profile:
    """Roughness profile: the trace less its finest ripple and less its mean line.

    r = s - w: s the trace through the short-wave filter, w its mean line at the cut-off.

    profile: the trace [-].
    cutoff: upper cut-off, between roughness and waviness [mm], above zero.
    short_cutoff: lower cut-off, against what the stylus cannot trace [mm]; None leaves it out.
    ends: what to do at the ends [-].
    Returns the roughness profile [µm]; shorter by one cut-off where the ends are dropped.
    Holds where check_profile finds no fault.
    Source: ISO 4287:1997, 3.1.6; ISO 21920-2:2021.
    Raises ValueError naming the value when a cut-off is not above zero.

    >>> wave = tuple(math.sin(2 * math.pi * i / 50) for i in range(4800))
    >>> r = roughness_profile(Profile(0.001, wave), 0.8)
    >>> len(r.heights_um), round(max(r.heights_um), 3)
    (4000, 0.998)
    """
    for value in (cutoff, short_cutoff):
        if value is not None and not value > 0.0:
            raise ValueError(f"a cut-off must be above zero, got {value!r}")
    z = np.asarray(profile.heights_um, dtype=np.float64)
    slope = ends is Ends.SLOPE
    if short_cutoff is not None:
        z = gaussian_line(z, profile.spacing, short_cutoff, slope)
    rough = z - gaussian_line(z, profile.spacing, cutoff, slope)
    if ends is Ends.DROP:
        lost = round(0.5 * cutoff / profile.spacing)
        rough = rough[lost : rough.size - lost]
    return Profile(profile.spacing, tuple(rough.tolist()))

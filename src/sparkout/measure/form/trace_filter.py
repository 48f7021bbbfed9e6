"""Lobes told from waviness: the Gaussian filter for closed profiles."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

__all__ = ["filtered_trace", "trace_transmission"]


def trace_transmission(undulations: float, cutoff: float) -> float:
    """Share of an undulation's amplitude that the long-wave Gaussian filter lets through.

    T = exp(−π·(α·undulations/cutoff)²), α = √(ln 2/π), so that T = 1/2 at the cutoff.

    undulations: per revolution [-], 0 or more.
    cutoff: undulations per revolution that pass by half [-], above zero.
    Returns the share [-].
    Holds for roundness profiles; usual cutoffs are 15, 50, 150, 500 and 1500.
    Source: ISO 12181-2, ISO 16610-21 (α = 0.4697); recalled from memory, α recomputed.
    Raises ValueError naming the value where it is out of range.

    >>> trace_transmission(50, 50), round(trace_transmission(3, 50), 4)
    (0.5, 0.9975)
    """
    if not undulations >= 0.0:
        raise ValueError(f"undulations per revolution is {undulations}; expected 0 or more")
    if not cutoff > 0.0:
        raise ValueError(f"cutoff is {cutoff} undulations per revolution; expected above 0")
    return math.exp(-math.log(2.0) * (undulations / cutoff) ** 2)


def filtered_trace(radii: Sequence[float], cutoff: float) -> tuple[float, ...]:
    """A trace without the waviness finer than a cutoff.

    Each order of the trace's Fourier series is multiplied by `trace_transmission`.

    radii: readings at even steps once round, without repeating the first [mm].
    cutoff: undulations per revolution that pass by half [-], above zero.
    Returns the filtered readings in the same order [mm].
    Holds for a closed trace of even steps with more than two readings per undulation of the
        cutoff; the standard asks for seven (recalled from memory).
    Source: ISO 12181-2.
    Raises ValueError where readings are too few for the cutoff or no numbers.

    >>> trace = [10 + 0.01 * math.cos(math.radians(3 * a)) for a in range(0, 360, 3)]
    >>> round(max(filtered_trace(trace, 15)), 6)
    10.009727
    """
    values = np.array(radii, dtype=np.float64)
    if values.ndim != 1 or not np.isfinite(values).all():
        raise ValueError("a trace is a list of numbers")
    if not cutoff > 0.0:
        raise ValueError(f"cutoff is {cutoff} undulations per revolution; expected above 0")
    if values.size <= 2.0 * cutoff:
        raise ValueError(
            f"{values.size} readings cannot show {cutoff:g} undulations per revolution; "
            f"expected more than {2.0 * cutoff:g}, better {7.0 * cutoff:g}"
        )
    spectrum = np.fft.rfft(values)
    orders = np.arange(spectrum.size)
    spectrum *= np.exp(-math.log(2.0) * (orders / cutoff) ** 2)
    return tuple(np.fft.irfft(spectrum, values.size).tolist())

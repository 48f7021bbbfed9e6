"""A surface map (heights over an area) and the cross-hatch seen in it.

Hone lines one way put all their energy, in the two-dimensional spectrum, on one ray through the
origin at right angles to them. The energy per direction therefore peaks once for each set of lines.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sparkout.faults import Fault, Place
from sparkout.measure.texture.hatch import Hatch
from sparkout.measure.texture.profile import Profile

__all__ = ["HatchMap", "SurfaceMap", "hatch_from_map", "row_profile"]

_Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SurfaceMap:
    """Heights over a grid, row by row.

    step_x: between neighbours in a row [mm], round the bore; step_y: between rows [mm], along it.
    heights_um: the rows [µm]; None where the instrument saw nothing.
    """

    step_x: float
    step_y: float
    heights_um: tuple[tuple[float | None, ...], ...]


@dataclass(frozen=True, slots=True)
class HatchMap:
    """Cross-hatch found in a map.

    rising, falling: direction of the two sets of lines from the circumference [°], both positive.
    contrast: how far the weaker peak of energy stands above the mean over all directions; a plain
    surface has about 1.
    """

    hatch: Hatch
    rising: float
    falling: float
    contrast: float


def row_profile(
    surface: SurfaceMap, row: int, place: Place | None = None
) -> tuple[Profile | None, tuple[Fault, ...]]:
    """One row of a surface map as a trace.

    Heights of the row, step as in the map.

    surface: the map [-].
    row: which row [-], counted from 1.
    place: where the map stands, named in faults [-].
    Returns the trace, or nothing with a fault when points are missing [-].
    Holds for a row without missing points; none is invented.
    Source: ISO 25178-71:2012, rows of the data area.
    Raises ValueError naming the row when the map has no such row.

    >>> row_profile(SurfaceMap(0.001, 0.001, ((1.0, 2.0),)), 1)[0].heights_um
    (1.0, 2.0)
    """
    if not 1 <= row <= len(surface.heights_um):
        raise ValueError(f"the map has {len(surface.heights_um)} rows, got row {row!r}")
    values = surface.heights_um[row - 1]
    known = tuple(z for z in values if z is not None)
    if len(known) == len(values):
        return Profile(surface.step_x, known), ()
    return None, (
        Fault(
            place or Place(key=f"row {row}"),
            f"{len(values) - len(known)} of {len(values)} points missing in row {row}",
            "a row without missing points",
            "Take another row, or measure again: a gap cannot be filtered.",
        ),
    )


def _without_plane(z: _Array) -> _Array:
    rows, columns = z.shape
    y, x = np.mgrid[0:rows, 0:columns]
    basis = np.column_stack((np.ones(z.size), x.ravel(), y.ravel()))
    plane, *_ = np.linalg.lstsq(basis, z.ravel(), rcond=None)
    flat: _Array = z - (basis @ plane).reshape(z.shape)
    return flat


def _spectrum(surface: SurfaceMap, z: _Array) -> tuple[_Array, _Array]:
    """Line direction [°, -90 to 90] and energy of every usable cell of the spectrum."""
    rows, columns = z.shape
    window = np.outer(np.hanning(rows), np.hanning(columns))
    power = np.abs(np.fft.fft2(z * window)) ** 2
    fx = np.fft.fftfreq(columns, surface.step_x)[None, :]
    fy = np.fft.fftfreq(rows, surface.step_y)[:, None]
    radius = np.hypot(fx, fy)
    side = min(rows * surface.step_y, columns * surface.step_x)
    # Fewer than four waves across the map have no direction to a degree; beyond half the coarser
    # step's Nyquist frequency a square grid favours its own axes.
    band = (radius >= 4.0 / side) & (radius <= 0.25 / max(surface.step_x, surface.step_y))
    # A line runs at right angles to its wave; directions repeat every 180°.
    direction = np.degrees(np.arctan2(fy + 0.0 * fx, fx + 0.0 * fy)) + 90.0
    turned = (direction[band] + 90.0) % 180.0 - 90.0
    # Cells per degree grow with the radius: this weight gives each octave of wavelength its share.
    return turned, power[band] * radius[band]


def _by_degree(direction: _Array, energy: _Array) -> _Array:
    """Mean energy per cell in each degree from -90 to 89, smoothed over two either side."""
    index = np.floor(direction + 90.0).astype(int) % 180
    count = np.bincount(index, minlength=180)
    mean = np.bincount(index, weights=energy, minlength=180) / np.maximum(count, 1)
    smooth: _Array = np.zeros(180)
    for shift, weight in ((-2, 1.0), (-1, 2.0), (0, 3.0), (1, 2.0), (2, 1.0)):
        smooth += weight / 9.0 * np.roll(mean, shift)
    return smooth


def _peak(smooth: _Array, direction: _Array, energy: _Array, side: int) -> tuple[float, float]:
    """Direction and height of the strongest peak on one side of the circumference.

    Five degrees at either axis are left out: sampling and window leak energy along both.
    """
    degrees = np.arange(180) - 89.5
    allowed = (side * degrees > 5.0) & (side * degrees < 85.0)
    top = int(np.argmax(np.where(allowed, smooth, -1.0)))
    near = np.abs(direction - degrees[top]) <= 5.0
    weight = energy[near]
    return float((direction[near] * weight).sum() / weight.sum()), float(smooth[top])


def hatch_from_map(
    surface: SurfaceMap, place: Place | None = None
) -> tuple[HatchMap | None, tuple[Fault, ...]]:
    """Cross-hatch angle from a surface map of a bore, rows round the bore.

    Strongest direction of spectral energy between 0° and 90° and between -90° and 0° from the
    circumference; included angle = their sum.

    surface: the map, form removed or small, 32 points or more each way [-].
    place: where the map stands, named in faults [-].
    Returns the cross-hatch, or nothing with the faults that stopped it [-].
    Holds to about a degree for maps of twenty lines and more, lines over 5° from either axis.
    Source: two-dimensional Fourier spectrum, as in ISO 25178-2 for the texture direction Std.

    >>> import math
    >>> rows = tuple(
    ...     tuple(
    ...         math.sin(0.5 * x + 0.866 * y) + math.sin(0.5 * x - 0.866 * y) for x in range(128)
    ...     )
    ...     for y in range(128)
    ... )
    >>> round(hatch_from_map(SurfaceMap(0.01, 0.01, rows))[0].hatch.about_circumference)
    60
    """
    place = place or Place(key="surface map")
    rows = len(surface.heights_um)
    columns = len(surface.heights_um[0]) if rows else 0
    faults = []
    missing = sum(z is None for row in surface.heights_um for z in row)
    if missing:
        faults.append(
            Fault(
                place,
                f"{missing} missing points",
                "a map without gaps",
                "Measure again, or cut out a part without gaps.",
            )
        )
    if rows < 32 or columns < 32:
        faults.append(
            Fault(place, f"{columns} × {rows} points", "32 × 32 or more", "Measure a larger area.")
        )
    if faults:
        return None, tuple(faults)
    z = _without_plane(np.array(surface.heights_um, dtype=np.float64))
    if not float(np.abs(z).max()) > 0.0:
        return None, (
            Fault(place, "no height at all", "a map of a real surface", "Measure again."),
        )
    direction, energy = _spectrum(surface, z)
    smooth = _by_degree(direction, energy)
    rising, strong = _peak(smooth, direction, energy, 1)
    falling, weak = _peak(smooth, direction, energy, -1)
    angle = rising - falling
    contrast = min(weak, strong) / float(smooth.mean())
    result = HatchMap(Hatch(angle, 180.0 - angle), rising, -falling, contrast)
    if contrast >= 2.0:
        return result, ()
    warning = Fault(
        place,
        f"directions that hardly stand out ({contrast:.1f} times the mean)",
        "two clear sets of lines, each at least twice the mean",
        "Do not rely on this angle: the surface may be glazed, lapped or hatched one way only.",
        stops=False,
    )
    return result, (warning,)

"""More than two layers: a liner in a sleeve in a block wall, all joints at once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from sparkout.mechanics.press_fit.cylinder import Cylinder, check_cylinder, diameter_change

__all__ = ["Stack", "stack"]


class Stack(NamedTuple):
    """Layers from the innermost out, joined. Diametral sizes [mm], pressures [MPa]."""

    pressures: tuple[float, ...]
    """on each joint, innermost first"""
    bore_change: float
    """of the innermost bore; negative, it closes"""
    outside_change: float
    """of the outermost outside"""


def stack(
    layers: Sequence[Cylinder],
    interferences: Sequence[float],
    bore_pressure: float = 0.0,
) -> Stack:
    """Pressures and size changes of any number of cylinders pressed into one another.

    At every joint the outer bore's opening less the inner outside's closing is the interference:
    one linear equation a joint, each layer's sizes after Lamé.

    layers: cylinders from the innermost out [mm, MPa], two or more.
    interferences: diametral interference of free parts at each joint, innermost first [mm].
    bore_pressure: pressure in the innermost bore [MPa], zero or more.
    Returns the contact pressures [MPa] and the changes of bore and outside diameter [mm].
    Holds for elastic parts; the order in which they were pressed does not matter then.
    Source: superposition of Lamé's solution (Ugural and Fenster, 8.2 and 8.5).
    Raises ValueError when a joint would come out loose, naming it, or when a layer cannot be.

    >>> wall, liner = Cylinder(106.0, 122.0, 100e3, 0.26), Cylinder(100.0, 106.0, 120e3, 0.26)
    >>> round(stack((liner, wall), (0.05,)).bore_change, 3)
    -0.033
    """
    count = len(layers)
    if count < 2 or len(interferences) != count - 1:
        raise ValueError(
            f"{count} layers and {len(interferences)} interferences; there have to be two layers "
            "or more and one interference fewer than layers"
        )
    for number, layer in enumerate(layers, 1):
        check_cylinder(layer, f"layer {number}")
    for number, (inner, outer) in enumerate(pairwise(layers), 1):
        if abs(outer.inner - inner.outer) > 0.01 * inner.outer:
            raise ValueError(
                f"layer {number + 1} has a bore of {outer.inner:.6g} mm; it has to be within 1% of "
                f"the outside of layer {number}, {inner.outer:.6g} mm"
            )
    pressures = _solve(layers, interferences, bore_pressure)
    for number, pressure in enumerate(pressures, 1):
        if not pressure > 0.0:
            raise ValueError(
                f"joint {number} comes out at {pressure:.4g} MPa, so it is loose; its interference "
                f"of {interferences[number - 1]:.6g} mm has to be larger"
            )
    innermost, outermost = layers[0], layers[-1]
    bore = (
        diameter_change(innermost, innermost.inner, bore_pressure, pressures[0])
        if innermost.inner > 0.0
        else 0.0
    )
    return Stack(
        tuple(pressures), bore, diameter_change(outermost, outermost.outer, pressures[-1], 0.0)
    )


def _solve(
    layers: Sequence[Cylinder], interferences: Sequence[float], bore_pressure: float
) -> list[float]:
    """Tridiagonal equations, one a joint, by elimination (Thomas)."""
    joints = len(interferences)
    below, diagonal, above, right = [], [], [], []
    for j in range(joints):
        inner, outer = layers[j], layers[j + 1]
        hollow = 1.0 if inner.inner > 0.0 else 0.0
        # Moves of the two surfaces of this joint per MPa on each neighbouring joint.
        inner_by_own = diameter_change(inner, inner.outer, 0.0, 1.0)
        inner_by_inside = diameter_change(inner, inner.outer, hollow, 0.0)
        outer_by_own = diameter_change(outer, outer.inner, 1.0, 0.0)
        outer_by_outside = diameter_change(outer, outer.inner, 0.0, 1.0)
        below.append(-inner_by_inside)
        diagonal.append(outer_by_own - inner_by_own)
        above.append(outer_by_outside)
        right.append(interferences[j])
    right[0] -= below[0] * bore_pressure
    for j in range(1, joints):
        factor = below[j] / diagonal[j - 1]
        diagonal[j] -= factor * above[j - 1]
        right[j] -= factor * right[j - 1]
    pressures = [0.0] * joints
    pressures[-1] = right[-1] / diagonal[-1]
    for j in range(joints - 2, -1, -1):
        pressures[j] = (right[j] - above[j] * pressures[j + 1]) / diagonal[j]
    return pressures

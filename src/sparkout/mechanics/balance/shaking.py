"""Primary and secondary shaking forces and couples of any bank angle and crank layout.

A reciprocating mass on a bank is two phasors: half of it turns with the crank, half against it.
Adding phasors over the cylinders gives every layout, and its largest and smallest value, in closed
form. The crank turns anticlockwise seen along the axis; angles are from one direction in that view.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from typing import NamedTuple

from sparkout.mechanics import _bounds

__all__ = ["Cylinder", "Order", "Shaking", "rotating_unbalance", "shaking"]


class Cylinder(NamedTuple):
    """One cylinder: where its throw and its bore point, where it is along the shaft, what moves."""

    throw_angle: float
    """of its crank pin in the crank [°]"""
    position: float
    """along the shaft from the plane that couples are taken about [mm]"""
    bank_angle: float = 0.0
    """direction of its bore, away from the shaft [°]"""
    mass: float = 1.0
    """reciprocating [g]"""


class Order(NamedTuple):
    """One order's two phasors: turning with (+) and against (−) the crank; N or N·m."""

    forward: complex
    backward: complex

    @property
    def largest(self) -> float:
        """Long half axis of the ellipse the vector runs round."""
        return abs(self.forward) + abs(self.backward)

    @property
    def smallest(self) -> float:
        """Short half axis; 0 when it only shakes to and fro."""
        return abs(abs(self.forward) - abs(self.backward))

    def at(self, angle: float) -> complex:
        """Vector (real part along 0°, imaginary along 90°) at an angle of the order's turn [°]."""
        turn = cmath.exp(1j * math.radians(angle))
        return self.forward * turn + self.backward * turn.conjugate()


class Shaking(NamedTuple):
    """Shaking of an engine on its mounts; secondary phasors turn at twice the crank's speed."""

    primary_force: Order
    secondary_force: Order
    primary_couple: Order
    """N·m; force times position, so it lies in the plane of the force's direction and the shaft"""
    secondary_couple: Order


def shaking(cylinders: Sequence[Cylinder], throw: float, rod: float, rev_per_min: float) -> Shaking:
    """Primary and secondary forces and couples of an engine's reciprocating masses.

    Along each bore m a ω² (cos φ + (a ÷ l) cos 2φ), φ = crank + throw − bank angle, added as
    vectors over the cylinders; couples weighted with the position along the shaft.

    cylinders: throw angle, position, bank angle and reciprocating mass of each [°, mm, g].
    throw: half the stroke [mm], above zero.
    rod: centre length [mm], above the throw.
    rev_per_min: crank speed [1/min], above zero.
    Returns forces [N] and couples [N·m] as phasors with their largest and smallest value.
    Holds for two orders of the series (next is the fourth, small), even speed, no pin offset, rods
    of one length. Rotating masses are separate: see `rotating_unbalance`.
    Source: Thomas Bevan, The Theory of Machines, chapter on balancing (recalled from memory); the
    phasor form is derived here and checked against brute force.
    Raises ValueError naming the number when one is out of range, or without cylinders.

    >>> four = [Cylinder(a, p, mass=500.0) for a, p in zip((0, 180, 180, 0), (-150, -50, 50, 150))]
    >>> s = shaking(four, 43.0, 143.5, 6000.0)
    >>> round(s.primary_force.largest, 6), round(s.secondary_force.largest)
    (0.0, 10174)
    """
    if not cylinders:
        raise ValueError("cylinders is empty; there has to be one or more")
    _bounds.above("throw", throw, 0.0, "mm")
    _bounds.above("rod", rod, throw, "mm")
    _bounds.above("rev_per_min", rev_per_min, 0.0, "1/min")
    speed = rev_per_min * math.pi / 30.0
    to_newton = throw * speed**2 * 1e-6  # g mm/s² to N
    forward = [0j, 0j, 0j, 0j]
    backward = [0j, 0j, 0j, 0j]
    for cylinder in cylinders:
        _bounds.above("reciprocating mass", cylinder.mass, 0.0, "g")
        _bounds.finite("position", cylinder.position, "mm")
        pin = math.radians(cylinder.throw_angle)
        bank = math.radians(cylinder.bank_angle)
        arm = cylinder.position / 1000.0
        for order, factor in ((1, 1.0), (2, throw / rod)):
            half = cylinder.mass * to_newton * factor / 2.0
            turning = order * (pin - bank)
            with_crank = half * cmath.exp(1j * (bank + turning))
            against = half * cmath.exp(1j * (bank - turning))
            forward[order - 1] += with_crank
            backward[order - 1] += against
            forward[order + 1] += with_crank * arm
            backward[order + 1] += against * arm
    orders = [Order(f, b) for f, b in zip(forward, backward, strict=True)]
    return Shaking(*orders)


def rotating_unbalance(
    masses: Sequence[tuple[float, float, float, float]],
) -> tuple[complex, complex]:
    """Unbalance and couple unbalance of masses that turn with the crank.

    U = Σ m r e^(i angle); couple = Σ m r z e^(i angle).

    masses: (mass [g], radius [mm], angle [°], position along the shaft [mm]) of each [-].
    Returns the unbalance [g·mm] and the couple unbalance [g·mm²] as vectors in the crank.
    Holds for a rigid shaft.
    Source: ISO 21940-2 (definitions).
    Raises ValueError naming the number when a mass or radius is below zero.

    >>> force, couple = rotating_unbalance(((800.0, 43.0, 0.0, 50.0), (800.0, 43.0, 180.0, -50.0)))
    >>> round(abs(force), 6), round(abs(couple))
    (0.0, 3440000)
    """
    force = couple = 0j
    for mass, radius, angle, position in masses:
        _bounds.at_least("mass", mass, 0.0, "g")
        _bounds.at_least("radius", radius, 0.0, "mm")
        vector = mass * radius * cmath.exp(1j * math.radians(angle))
        force += vector
        couple += vector * position
    return force, couple

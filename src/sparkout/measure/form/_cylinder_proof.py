"""How good a minimax cylinder is proven to be, and what its readings cannot tell."""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._circle_proof import balance_of
from sparkout.measure.form._curved import Goal
from sparkout.measure.form._points import Floats, greatest, least
from sparkout.measure.form._proof import axis_reach
from sparkout.measure.form._settle import Settled
from sparkout.measure.form.records import Balance, Proof, Scope

__all__ = ["cylinder_proof", "cylinder_warnings"]


def cylinder_proof(settled: Settled, half: float, goal: Goal) -> Balance:
    """Balance of the contacts and the reach within which they exclude every better axis."""
    highest, lowest = greatest(settled.values), least(settled.values)
    form = highest - lowest
    sharpness = settled.vertex.sharpness
    # The frame stands along the axis to within the form over the length; a tenth covers that.
    reach = 0.9 * axis_reach(sharpness, highest, lowest, half) if settled.at_rest else 0.0
    if goal.upper and goal.lower and form <= 1e-13 * highest:
        scope, reach, reason = Scope.GLOBAL, math.inf, "the readings lie on it to rounding"
    elif reach > 0.0:
        scope = Scope.REACH
        reason = (
            f"the contacts exclude every axis shifted by less than {reach:.3g} mm at the ends of "
            f"the part, {reach / max(form, 1e-300):.0f} times the form found. Farther ones were "
            f"not searched: the form is {form / highest:.1g} of the radius, and as far as that is "
            "small distances are linear in the shift, and a linear problem has one optimum"
        )
    elif settled.at_rest:
        scope, reason = Scope.LOCAL, "fewer contacts than unknowns: curvature holds the axis"
    else:
        scope, reason = Scope.LOCAL, "the exchange did not come to rest"
    balance, gap = balance_of(settled, goal)
    return Balance(scope, reason, balance, gap, sharpness, reach)


def cylinder_warnings(values: Floats, gradients: Floats, proof: Proof) -> tuple[str, ...]:
    """What a person has to know before believing this cylinder, in words."""
    words = []
    count = values.shape[0]
    if count < 8:
        words.append(f"{count} readings leave little beyond the 5 unknowns of a cylinder")
    angles = np.sort(np.arctan2(gradients[1], gradients[0]))
    gaps = np.diff(np.append(angles, angles[0] + 2.0 * np.pi))
    gap = math.degrees(greatest(gaps))
    if gap >= 180.0:
        words.append(
            f"short arc: the readings cover only {360.0 - gap:.0f} degrees of the turn; axis and "
            "radius move much for little change of form"
        )
    if isinstance(proof, Balance):
        form = greatest(values) - least(values)
        if proof.scope is Scope.LOCAL:
            words.append("optimality is proven only close by; compare with readings at more places")
        elif proof.reach < form:
            words.append(
                f"the axis is poorly determined: proven best only within {proof.reach:.2g} mm, "
                "less than the form; take readings at more places"
            )
    return tuple(words)

"""How good a zone or inscribed circle is proven to be, and what its readings cannot tell."""

from __future__ import annotations

import math

import numpy as np

from sparkout.measure.form._curved import Goal
from sparkout.measure.form._exchange import INNER, OUTER, WALL
from sparkout.measure.form._points import Floats, greatest, least
from sparkout.measure.form._proof import (
    contact_sharpness,
    covering_angle,
    disc_reach,
    inscribed_is_global,
    safe_shift,
)
from sparkout.measure.form._search import best_circle
from sparkout.measure.form._settle import Measure, Settled
from sparkout.measure.form._strip import narrowest_strip
from sparkout.measure.form.records import (
    Balance,
    Contact,
    Method,
    Proof,
    Scope,
    Side,
    UndeterminedError,
)

__all__ = ["circle_warnings", "inscribed_proof", "touching", "zone_proof"]

_FAR = 1e4
"""A search of arcs goes to centres this many times the extent of the readings away."""

Held = list[tuple[int, int, float]]
Proven = tuple[Settled, Balance, tuple[str, ...]]


def touching(values: Floats, held: Held, goal: Goal) -> tuple[Contact, ...]:
    """Readings that touch a border: those that hold it first, the others with share 0."""
    highest, lowest = greatest(values), least(values)
    near = max(64.0 * np.finfo(float).eps * highest, min(1e-9, 1e-3 * (highest - lowest)))
    contacts = [
        Contact(index, Side.OUTER if side == OUTER else Side.INNER, share)
        for side, index, share in held
    ]
    known = {(side, index) for side, index, _ in held}
    for side, wanted, touched in (
        (OUTER, goal.upper, values >= highest - near),
        (INNER, goal.lower, values <= lowest + near),
    ):
        if wanted:
            name = Side.OUTER if side == OUTER else Side.INNER
            contacts.extend(
                Contact(index, name, 0.0)
                for index in touched.nonzero()[0].tolist()
                if (side, index) not in known
            )
    return tuple(contacts)


def balance_of(settled: Settled, goal: Goal) -> tuple[float, float]:
    """|Σ share·gradient| with the sign of the side, and the gap between value and dual value."""
    values, gradients = settled.values, settled.gradients
    pull = [0.0] * gradients.shape[0]
    # Counted from one border, lest the rounding of the shares be multiplied by the radius.
    base = greatest(values) if goal.upper else least(values)
    gap = base - least(values) if goal.lower else 0.0
    for (side, index), share in zip(settled.vertex.rows, settled.vertex.shares, strict=True):
        if side != WALL:
            weight = side * share
            pull = [
                sum_ + weight * way
                for sum_, way in zip(pull, gradients[:, index].tolist(), strict=True)
            ]
            gap -= weight * (values.item(index) - base)
    return math.hypot(*pull), max(gap, 0.0)


def zone_proof(rows: Floats, measure: Measure, goal: Goal, settled: Settled) -> Proven:
    """Prove a minimum zone circle global by a bound; where that is too weak, by a search."""
    notes: list[str] = []
    scope, reason, reach = _zone_bound(settled)
    if scope is not Scope.GLOBAL:
        extent = float(np.sqrt((rows * rows).sum(axis=0)).max())
        shift = safe_shift(
            greatest(settled.values),
            least(settled.values),
            covering_angle(settled.gradients),
        )
        all_round = shift < extent
        half = float(np.abs(settled.place).max()) + shift if all_round else _FAR * extent
        found = best_circle(rows, measure, goal, settled, half)
        if found.best is not None:
            settled = found.best
        form = greatest(settled.values) - least(settled.values)
        strip = math.inf if all_round else narrowest_strip(rows).width
        beyond = strip - 0.5 * extent * extent / (half - extent)
        if found.proven and beyond >= form:
            scope, reach = Scope.GLOBAL, math.inf
            reason = (
                f"branch and bound over {found.squares} squares of centres left no better one; "
                "beyond them the zone is wider"
            )
        elif found.proven:
            scope, reach = Scope.REACH, max(half - float(np.abs(settled.place).max()), 0.0)
            reason = (
                f"branch and bound over {found.squares} squares of centres left no better one "
                f"within {half:.3g} mm of the readings"
            )
        else:
            scope, _, reach = _zone_bound(settled)
            reason = (
                f"the search stopped after {found.squares} squares of centres; the contacts prove "
                f"that no better centre lies within {reach:.3g} mm"
            )
        notes += [
            f"a second zone circle {np.hypot(*(other.place - settled.place)):.4g} mm away is only "
            f"{1e3 * float(np.ptp(other.values) - form):.3g} µm wider: the centre is ambiguous"
            for other in found.rivals
        ]
        if strip <= form * (1.0 + 1e-9):
            notes.append(
                f"a straight strip {strip:.4g} mm wide holds all readings, no wider than the zone "
                "circle: these readings do not determine a circle"
            )
    balance, gap = balance_of(settled, goal)
    sharpness = settled.vertex.sharpness
    if sharpness < 0.02:
        sharpness = max(sharpness, _sharpness(settled, goal))
    return settled, Balance(scope, reason, balance, gap, sharpness, reach), tuple(notes)


def _sharpness(settled: Settled, goal: Goal) -> float:
    return contact_sharpness(settled.values, settled.gradients, goal.upper, goal.lower)


def _zone_bound(settled: Settled) -> tuple[Scope, str, float]:
    highest, lowest = greatest(settled.values), least(settled.values)
    if highest - lowest <= 1e-13 * highest:
        return Scope.GLOBAL, "the readings lie on the circle to rounding", math.inf
    if not settled.at_rest:
        return Scope.LOCAL, "the exchange did not come to rest", 0.0
    shift = safe_shift(highest, lowest, covering_angle(settled.gradients))
    reach = disc_reach(settled.vertex.sharpness, lowest)
    if shift > reach:
        # More readings may touch than the exchange needed to hold the circle.
        sharpness = contact_sharpness(settled.values, settled.gradients, True, True)
        reach = max(reach, disc_reach(max(sharpness, 0.0), lowest))
    if shift <= reach:
        reason = (
            f"readings all round exclude every centre more than {shift:.3g} mm away, and the "
            f"contacts every centre within {reach:.3g} mm"
        )
        return Scope.GLOBAL, reason, math.inf
    return Scope.REACH, f"the contacts exclude every centre within {reach:.3g} mm", reach


def inscribed_proof(rows: Floats, measure: Measure, goal: Goal, settled: Settled) -> Proven:
    """Prove a maximum inscribed circle the largest whose centre lies among the readings."""
    notes: list[str] = []
    sharpness = settled.vertex.sharpness if settled.at_rest else 0.0
    if settled.at_rest and sharpness < 0.02:
        sharpness = _sharpness(settled, goal)
    good = sharpness > 1e-9
    reach = disc_reach(sharpness, least(settled.values)) if good else 0.0
    scope, reason = Scope.REACH, f"the contacts exclude every centre within {reach:.3g} mm"
    if good and inscribed_is_global(
        greatest(settled.values),
        least(settled.values),
        covering_angle(settled.gradients),
        reach,
    ):
        scope, reach = Scope.GLOBAL, math.inf
        reason = "readings all round exclude every centre out of the reach of the contacts"
    else:
        extent = float(np.sqrt((rows * rows).sum(axis=0)).max())
        found = best_circle(rows, measure, goal, settled if good else None, extent)
        if found.best is None:
            raise UndeterminedError(
                "the maximum inscribed circle is unbounded: the readings leave a side open through "
                "which it can grow; take readings round more of the turn"
            )
        settled = found.best
        sharpness = _sharpness(settled, goal)
        if found.proven:
            scope, reach = Scope.GLOBAL, math.inf
            reason = (
                f"branch and bound over {found.squares} squares of centres among the readings left "
                "no larger one"
            )
        else:
            reach = disc_reach(sharpness, least(settled.values))
        notes += [
            f"a second inscribed circle {np.hypot(*(other.place - settled.place)):.4g} mm away is "
            f"only {1e3 * float(settled.values.min() - other.values.min()):.3g} µm smaller in "
            "radius: the centre is ambiguous"
            for other in found.rivals
        ]
    balance, gap = balance_of(settled, goal)
    return settled, Balance(scope, reason, balance, gap, sharpness, reach), tuple(notes)


def circle_warnings(
    method: Method, ways: Floats, proof: Proof, notes: tuple[str, ...]
) -> tuple[str, ...]:
    """What a person has to know before believing this circle, in words."""
    words = list(notes)
    count = ways.shape[1]
    if count == 3 and method is Method.MINIMUM_ZONE:
        words.append("3 readings always lie on one circle: they say nothing about roundness")
    elif count < 7:
        words.append(
            f"{count} readings see at most {(count - 1) // 2} lobes; three lobes need 7 readings"
        )
    if covering_angle(ways) > math.pi / 3.0:
        gap = _largest_gap(ways)
        if gap >= 180.0:
            words.append(
                f"short arc: the readings cover only {360.0 - gap:.0f} degrees of the turn; "
                "centre and radius move much for little change of form"
            )
        elif gap > 120.0:
            words.append(f"no reading over {gap:.0f} degrees of the turn")
    if (
        method is Method.MINIMUM_ZONE
        and isinstance(proof, Balance)
        and proof.sharpness < 0.02
        and count > 3
    ):
        words.append(
            f"the centre is poorly determined: the zone rises by only {proof.sharpness:.2g} mm per "
            "mm of shift in the weakest direction"
        )
    return tuple(words)


def _largest_gap(ways: Floats) -> float:
    """Largest angle between neighbouring readings as seen from the centre, in degrees."""
    angles = np.sort(np.arctan2(ways[1], ways[0]))
    gaps = np.diff(np.append(angles, angles[0] + 2.0 * np.pi))
    return math.degrees(float(gaps.max()))

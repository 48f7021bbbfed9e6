"""Fewer errors to draw where a formula has more than Sobol points have dimensions."""

from __future__ import annotations

import numpy as np

from ..estimate import Shape
from .sobol import MOST_DIMENSIONS
from .special import Floats
from .tangent import VARIANCE, Group

__all__: list[str] = []


def reduced(group: Group, slope: Floats) -> tuple[Group, float]:
    """The group with its least errors of other shapes taken as normal, and their largest share.

    Only for sampling what a tangent misses: the tangent's own probability keeps every shape. The
    share is of the variance of the tangent sum; what it spoils is about that share of the part
    sampled. Student errors with 2 degrees of freedom or fewer have no variance and stay.
    """
    arguments, errors = group.values.shape[1], len(group.kinds)
    if arguments > MOST_DIMENSIONS:
        raise ValueError(
            f"a formula has {arguments} arguments, more than {MOST_DIMENSIONS}; work out linear"
            " parts of it first"
        )
    if errors + max(group.normal.shape[2] - 1, 0) <= MOST_DIMENSIONS:
        return group, 0.0
    room = MOST_DIMENSIONS - (arguments - 1)
    growth = np.array([_growth(shape, dof) for shape, dof in group.kinds])
    effect = np.square(np.einsum("gj,gje->ge", slope, group.other)) * growth
    total = np.square(np.einsum("gj,gjs->gs", slope, group.normal)).sum(axis=1) + effect.sum(axis=1)
    share = effect / np.maximum(total, 1e-300)[:, None]
    order = np.argsort(-share.max(axis=0), kind="stable")
    kept, merged = np.sort(order[:room]), order[room:]
    if not np.isfinite(growth[merged]).all():
        raise ValueError(
            f"a formula has {errors} errors that are not normal, more than {room} of them with at"
            " most 2 degrees of freedom; pool repeat readings to get more degrees of freedom"
        )
    columns = group.other[:, :, merged] * np.sqrt(growth[merged])
    both = np.concatenate([group.normal, columns], axis=2)
    size, direction = np.linalg.eigh(both @ both.transpose(0, 2, 1))
    normal = direction * np.sqrt(np.maximum(size, 0.0))[:, None, :]
    smaller = Group(
        group.function,
        group.rows,
        group.values,
        normal,
        group.other[:, :, kept],
        tuple(group.kinds[column] for column in kept),
    )
    return smaller, float(share[:, merged].sum(axis=1).max())


def _growth(shape: Shape, dof: float) -> float:
    """Variance of one unit of an error."""
    if shape is not Shape.STUDENT:
        return VARIANCE[shape]
    return dof / (dof - 2.0) if dof > 2.0 else np.inf

"""What no option of this shop can mend: left to a person, and out of the price.

A plan needs every limit kept. Where a plausible reading breaks one that nothing on the lists mends,
there is no plan at all; what a forecast can still say is what everything else would cost, and how
likely it is that a person has to decide about that limit.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from sparkout.plan.compile import Compiled
from sparkout.solve import NO_BOUND, Model, Window

__all__ = ["to_be_had", "without_hopeless"]

Bools = NDArray[np.bool_]


def to_be_had(compiled: Compiled) -> Mapping[str, Bools]:
    """For every group, which of its options can be had at all."""
    return {
        group.name: np.array([not option.impossible for option in group.options])
        for group in compiled.problem.groups
    }


def without_hopeless(model: Model, had: Mapping[str, Bools]) -> tuple[Model, tuple[str, ...]]:
    """The model without the windows that no combination of options to be had keeps; their names."""
    left: list[Window] = []
    hopeless: list[str] = []
    for item in model.windows:
        if _hopeless(model, item, had):
            hopeless.append(item.name)
        else:
            left.append(item)
    if not hopeless:
        return model, ()
    whole = Model(model.choices, model.amounts, tuple(left), model.shared, model.tallies)
    return whole, tuple(hopeless)


def _hopeless(model: Model, item: Window, had: Mapping[str, Bools]) -> bool:
    can = item.allowed
    for axis, name in enumerate(item.choices):
        shape = [1] * can.ndim
        shape[axis] = -1
        can = can & had[name].reshape(shape)
    if item.amounts and bool(can.any()):
        spans = [model.amounts[model.amount_at[name]] for name in item.amounts]
        low = np.array([span.low for span in spans])
        high = np.array([span.high for span in spans])
        ends = np.stack([item.coef * low, item.coef * high])
        least, most = ends.min(axis=0).sum(axis=-1), ends.max(axis=0).sum(axis=-1)
        can = can & ((item.upper >= least) | (item.upper >= NO_BOUND))
        can = can & ((item.lower <= most) | (item.lower <= -NO_BOUND))
    return not bool(can.any())

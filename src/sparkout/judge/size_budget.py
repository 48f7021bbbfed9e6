"""The uncertainty budget of one size or fit of an engine: what it was worked out from, and how."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Frame
from sparkout.engine.repeats import merged
from sparkout.engine.spots import Spot
from sparkout.engine.state import State
from sparkout.fits import FITS, Instance, evaluate, instances
from sparkout.measure.estimate import Estimate
from sparkout.measure.uncertainty.budget import Budget, Input, budget

__all__ = ["SizeBudget", "size_budget"]


class SizeBudget(NamedTuple):
    """A budget with where the value lies. place: level and direction of the end it is for, empty
    where there is one value; entries: of the log."""

    key: Key
    place: str
    budget: Budget
    entries: tuple[str, ...]


def size_budget(
    state: State,
    key: Key,
    geometry: Mapping[str, Fraction],
    *,
    low_end: bool,
    coverage: float = 0.95,
) -> SizeBudget | None:
    """Budget of one end of a size, by the readings (or the sizes) it was worked out from.

    A size that was read has one input, a difference of readings two, a fit one for each of its
    sizes; u² = Σ (c·u)², contributions of one source added first.

    state: what is known of the engine [unit of the characteristic].
    key: feature and characteristic [-].
    geometry: figures of the data sheet that weigh terms of fits [-].
    low_end: the lowest value over its positions, else the highest [-].
    coverage: probability of the expanded uncertainty [-], above 0 and below 1.
    Returns the budget, or None where the size is not known.
    Holds for sizes and for fits that are linear.
    Source: JCGM 100:2008 (GUM), 5.1, 5.2, G.4 and clause 8.

    >>> from sparkout.cli.jobargs import demo_folder
    >>> from sparkout.load import files_in, load_job
    >>> job, _ = load_job(files_in(demo_folder("workboat_four")))
    >>> found = size_budget(job.state, Key("bore 2", "bore taper"), job.sheet.geometry,
    ...                     low_end=False)
    >>> list(dict.fromkeys((row.quantity, row.sensitivity) for row in found.budget.rows))
    [('bore 2 diameter, top, thrust', 1.0), ('bore 2 diameter, bottom, thrust', -1.0)]
    """
    size = state.sizes.get(key)
    if size is not None:
        inputs, weights = _inputs(state, key, size, low_end=low_end)
        place = size.where_low if low_end else size.where_high
        entries = size.entries
    else:
        instance = _instance(state.frame, key, geometry)
        ends = None if instance is None else evaluate(instance, state.sizes)
        if instance is None or ends is None:
            return None
        inputs, weights = _terms(instance, state.sizes, low_end=low_end)
        place, entries = "", tuple(
            dict.fromkeys(e for _, k in instance.terms for e in state.sizes[k].entries)
        )  # fmt: skip
    made = budget(str(key), tuple(map(float, weights)), inputs, coverage)
    return SizeBudget(key, place, made, entries)


def _instance(frame: Frame, key: Key, geometry: Mapping[str, Fraction]) -> Instance | None:
    fit = FITS.get(key.characteristic)
    if fit is None:
        return None
    return next((i for i in instances(fit, frame, geometry) if i.feature == key.feature), None)


def _inputs(
    state: State, key: Key, size: Dimension, *, low_end: bool
) -> tuple[list[Input], list[Fraction]]:
    """The reading at one end; for a difference of two readings, both."""
    whole = size.low if low_end else size.high
    known = BY_NAME[key.characteristic]
    read = key in state.spots
    if not read and known.derive in (Derive.OUT_OF_ROUND, Derive.TAPER, Derive.SPREAD):
        basis = Key(key.feature, known.basis)
        spots = merged(state.spots.get(basis, ()))
        pair = _pair(spots, size, whole)
        if pair is not None:
            named = [Input(f"{basis}, {spot.place}", spot.estimate) for spot in pair]
            return named, [Fraction(1), Fraction(-1)]
    place = size.where_low if low_end else size.where_high
    return [Input(f"{key}, {place}" if place else str(key), whole)], [Fraction(1)]


def _pair(spots: Sequence[Spot], size: Dimension, whole: Estimate) -> tuple[Spot, Spot] | None:
    """The two readings whose difference the size is."""
    for high in spots:
        for low in spots:
            same = high.place == size.where_high and low.place == size.where_low
            if same and high.estimate.value - low.estimate.value == whole.value:
                return high, low
    return None


def _terms(
    instance: Instance, sizes: Mapping[Key, Dimension], *, low_end: bool
) -> tuple[list[Input], list[Fraction]]:
    inputs, weights = [], []
    for weight, key in instance.terms:
        size = sizes[key]
        take_low = (weight > 0) == low_end
        place = size.where_low if take_low else size.where_high
        name = f"{key}, {place}" if place else str(key)
        inputs.append(Input(name, size.low if take_low else size.high))
        weights.append(weight)
    return inputs, weights

"""A model back from its row of numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sparkout.solve.model import NO_BOUND, Amount, Choice, Model, Shared, Tally

if TYPE_CHECKING:
    from sparkout.solve.batch.structure import Stacked

__all__ = ["unstacked"]


def unstacked(many: Stacked, at: int) -> Model:
    """Model number `at`, the same as the one that was put in."""
    s = many.structure
    cost, prefer = many.cost[at].tolist(), many.prefer[at].tolist()
    choices = []
    first = 0
    for name, options in s.choices:
        final = first + len(options)
        choices.append(Choice(name, options, tuple(cost[first:final]), tuple(prefer[first:final])))
        first = final
    amounts = [
        Amount(
            name,
            int(many.low[at, k]),
            int(many.high[at, k]),
            int(many.step_cost[at, k]),
            int(many.step_prefer[at, k]),
        )
        for k, name in enumerate(s.amounts)
    ]
    shared = [
        Shared(name, int(many.shared_cost[at, k]), when, int(many.shared_prefer[at, k]))
        for k, (name, when) in enumerate(s.shared)
    ]
    tallies = []
    first = 0
    for k, (name, picks) in enumerate(s.tallies):
        weights = many.weight[at, first : first + len(picks)].tolist()
        first += len(picks)
        least, most = int(many.at_least[at, k]), int(many.at_most[at, k])
        tallies.append(
            Tally(
                name,
                tuple([(c, o, w) for (c, o), w in zip(picks, weights, strict=True)]),
                None if least == -NO_BOUND else least,
                None if most == NO_BOUND else most,
            )
        )
    return Model(
        tuple(choices), tuple(amounts), tuple(many.windows(at)), tuple(shared), tuple(tallies)
    )

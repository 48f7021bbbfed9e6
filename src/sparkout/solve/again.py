"""One model asked many times, each time with one option fixed.

Opening a large model (its network, its propagation, its parts) takes longer than a small question.
So it is opened once; a question narrows what stands, looks only at what that touches, and searches
only the part that the option is in. The other parts keep the best they have.
"""

from __future__ import annotations

from dataclasses import replace

from sparkout.solve.answer import Fixed
from sparkout.solve.check import price, violations
from sparkout.solve.eliminate import CELLS
from sparkout.solve.marginals import Value
from sparkout.solve.model import Model, Tally
from sparkout.solve.part import Meter, Part
from sparkout.solve.propagate import Deadlock, Standing, propagate
from sparkout.solve.search import Opened, broken_tallies, joined, opened
from sparkout.solve.tables import kept

__all__ = ["Again"]


class Again:
    """A model open for questions."""

    def __init__(self, model: Model) -> None:
        """Raises OverBudget where a window ties more together than a table has axes."""
        self._model = model
        self._start = opened(model)
        self._best: dict[int, list[int] | None] = {}

    def with_option(self, choice: str, option: str, *, cells: int = CELLS) -> Value:
        """Cost and preference of the best plan with this option; None where there is none.

        Exactly what `best` of the model with the option fixed gives. Raises OverBudget where that
        takes more than `cells` table entries.
        """
        start = self._start
        if start is None:
            return None
        v = self._model.choice_at[choice]
        place = self._model.choices[v].options.index(option)
        standing = _only(start, v, place)
        if standing is None:
            return None
        meter = Meter(cells)
        mine = next((at for at, part in enumerate(start.parts) if v in part.free), -1)
        keep = kept(start.net, standing)
        parts = list(start.parts)
        found = [start.cheapest(u) for u in range(start.net.count)]
        found[v] = place
        for at, part in enumerate(start.parts):
            solved = self._solved(at, meter)
            if at == mine:
                parts[at] = Part(start.net, standing, part.members)
                solved = parts[at].solve(meter)
            if solved is None:
                return None
            for u in part.free:
                found[u] = solved[u] if u in parts[at].free else int(keep[u][0])
        again = replace(start, standing=standing, keep=keep, parts=parts)
        return self._priced(again, found, meter)

    def _solved(self, at: int, meter: Meter) -> list[int] | None:
        """The best of a part as it stands, worked out once."""
        assert self._start is not None
        if at not in self._best:
            self._best[at] = self._start.parts[at].solve(meter)
        return self._best[at]

    def _priced(self, again: Opened, found: list[int], meter: Meter) -> Value:
        """What a plan costs, once it keeps all tallies."""
        asked: list[Tally] = []
        while broken := broken_tallies(self._model, found):
            asked += broken
            whole = joined(again, asked, meter)
            solved = None if whole is None else whole.solve(meter)
            if whole is None or solved is None:
                return None
            for u in whole.free:
                if u < again.net.count:
                    found[u] = solved[u]
        model, count = self._model, len(self._model.choices)
        picks = {c.name: c.options[at] for c, at in zip(model.choices, found, strict=False)}
        amounts = {a.name: a.low + found[count + k] for k, a in enumerate(model.amounts)}
        wrong = violations(model, picks, amounts)
        if wrong:
            raise AssertionError(f"a forced option led to a plan that is not allowed: {wrong[0]}")
        return price(model, Fixed(picks), Fixed(amounts))


def _only(start: Opened, v: int, place: int) -> Standing | None:
    """What stands with one value of a variable; None where that leaves no plan."""
    net = start.net
    first, final = net.start[v], net.start[v + 1]
    if not start.standing.alive[first + place]:
        return None
    standing = start.standing.copy()
    standing.alive[first:final] = False
    standing.alive[first + place] = True
    standing.low[v] = standing.high[v] = net.values[first + place]
    try:
        propagate(net, standing, {v})
    except Deadlock:
        return None
    return standing

"""One model asked many times, each time with one option fixed.

Opening a large model (its network, its propagation, its parts) takes longer than a small question.
So it is opened once; a question narrows what stands, looks only at what that touches, and searches
only the part that the option is in. The other parts keep the best they have.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sparkout.solve.answer import Optimum
from sparkout.solve.check import price, violations
from sparkout.solve.eliminate import CELLS
from sparkout.solve.highs import highs
from sparkout.solve.marginals import Value
from sparkout.solve.model import Model, Tally
from sparkout.solve.part import Meter, Part
from sparkout.solve.pins import with_fixed
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
        meter = Meter(cells)
        begun = self._without_tallies(choice, option, meter)
        return None if begun is None else self._priced(*begun, meter)

    def cost_with_option(self, choice: str, option: str, *, cells: int = CELLS) -> int | None:
        """The least cost of a plan with this option, whatever its preference.

        Where the best plan but for the tallies can be made to keep them at no cost (pieces put in
        other places), that is the answer, and it is found sooner than the best such plan.
        """
        meter = Meter(cells)
        begun = self._without_tallies(choice, option, meter)
        if begun is None:
            return None
        again, found = begun
        if broken_tallies(self._model, found):
            picks, amounts = self._named(found)
            least, _ = price(self._model, picks, amounts)
            model = self._model
            asked = {name for shared in model.shared for name, _ in shared.when}
            asked |= {c.name for c in model.choices if len(set(c.cost)) > 1}
            fixed = {name: picks[name] for name in asked} | {choice: option}
            made = highs(with_fixed(self._model, fixed))
            if isinstance(made, Optimum) and made.cost == least:
                return least
        value = self._priced(again, found, meter)
        return None if value is None else value[0]

    def _without_tallies(
        self, choice: str, option: str, meter: Meter
    ) -> tuple[Opened, list[int]] | None:
        """The model with the option alone, and places of a best plan that may break tallies."""
        start = self._start
        if start is None:
            return None
        v = self._model.choice_at[choice]
        place = self._model.choices[v].options.index(option)
        standing = _only(start, v, place)
        if standing is None:
            return None
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
        return replace(start, standing=standing, keep=keep, parts=parts), found

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
        picks, amounts = self._named(found)
        wrong = violations(self._model, picks, amounts)
        if wrong:
            raise AssertionError(f"a forced option led to a plan that is not allowed: {wrong[0]}")
        return price(self._model, picks, amounts)

    def _named(self, found: Sequence[int]) -> tuple[Mapping[str, str], Mapping[str, int]]:
        """Picks and amounts of a plan from the places of its values."""
        model, count = self._model, len(self._model.choices)
        picks = {c.name: c.options[at] for c, at in zip(model.choices, found, strict=False)}
        return picks, {a.name: a.low + found[count + k] for k, a in enumerate(model.amounts)}


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

"""What the options make of sizes and fits: each worked out once for all rules about it."""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.dimension import Key
from sparkout.fits import Instance
from sparkout.plan.problem import Problem
from sparkout.plan.sizes import Size, changed, sized, touched_by
from sparkout.plan.tables import Recipe

__all__ = ["Fitted"]


class Fitted:
    """Sizes and fits of one decision under every combination of its options.

    touched: for every size that options touch, by group, what each of its options does to it.
    sizes, changes: those that rules asked for so far.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.touched = touched_by(problem.groups)
        self.sizes: dict[Key, Size] = {}
        self.changes: dict[Key, Size] = {}
        self.recipes: dict[Key, Recipe | None] = {}

    def size(self, key: Key) -> Size:
        found = self.sizes.get(key)
        if found is None:
            found = sized(self.problem.sizes.get(key), self.touched.get(key, {}))
            self.sizes[key] = found
        return found

    def change(self, key: Key) -> Size:
        found = self.changes.get(key)
        if found is None:
            found = changed(self.problem.sizes.get(key), self.touched.get(key, {}))
            self.changes[key] = found
        return found

    def fit(self, instance: Instance) -> Recipe | None:
        """What a fit is made of: its sizes, or its reading and what changes in its sizes.

        Options that make the fit itself (honed to the piston in hand) stand over both.
        """
        if instance.key in self.recipes and not instance.inner:
            return self.recipes[instance.key]
        found = self._from_sizes(instance) or self._by_change(instance)
        if instance.key in self.touched and instance.key not in [key for _, key in instance.terms]:
            made = sized(None, self.touched[instance.key])
            found = Recipe((), made=made) if found is None else found._replace(made=made)
        if not instance.inner:
            self.recipes[instance.key] = found
        return found

    def _from_sizes(self, instance: Instance) -> Recipe | None:
        if instance.constant is None:
            return None
        known = self.problem.sizes
        for _, key in instance.terms:
            if key not in known and key not in self.touched:
                return None
        terms = [(weight, self.size(key)) for weight, key in instance.terms]
        constant = instance.constant
        for weight, inner in instance.inner:
            found = self.fit(inner)
            if found is None:
                return None
            assert found.made is None  # no option makes a volume
            terms += [(weight * own, size) for own, size in found.terms]
            constant += weight * found.constant
        return Recipe(tuple(terms), constant)

    def _by_change(self, instance: Instance) -> Recipe | None:
        read = self.problem.sizes.get(instance.key)
        if read is None or not instance.by_change:
            return None
        terms = [(Fraction(1), sized(read))]
        terms += [(w, self.change(key)) for w, key in instance.terms if key in self.touched]
        return Recipe(tuple(terms))

    def is_touched(self, instance: Instance) -> bool:
        if instance.key in self.touched:
            return True
        for _, key in instance.terms:
            if key in self.touched:
                return True
        return any(self.is_touched(inner) for _, inner in instance.inner)

"""Bearing shells: which go with a size of journal, and which grade in which housing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from sparkout.plan.forms import Group, Option, SetTo, Together, Use
from sparkout.plan.options.context import Context
from sparkout.sheet.model import PartSpec

__all__ = ["Shells", "shell_grades", "shells_by_size"]


@dataclass(frozen=True, slots=True)
class Shells:
    """Shells of one undersize: one part, or grades of it that each housing picks from."""

    grades: tuple[PartSpec, ...] = ()
    undersize: Fraction = Fraction(0)
    picked: bool = False

    @property
    def _only(self) -> PartSpec | None:
        return self.grades[0] if self.grades and not self.picked else None

    def effects(self, ctx: Context, journals: list[str]) -> tuple[SetTo, ...]:
        part = self._only
        if part is None:
            return ()
        return tuple(
            effect for name in shells_on(ctx, journals) for effect in ctx.all_brought(part, name)
        )

    def uses(self, ctx: Context, journals: list[str]) -> tuple[Use, ...]:
        """One for every housing: two rods on one pin take two."""
        part = self._only
        return () if part is None else (Use(part.name, len(shells_on(ctx, journals))),)

    def gap(self, ctx: Context) -> str:
        """Why none can be had: of grades, one is enough."""
        gaps = [ctx.supply_gap(part.name) for part in self.grades]
        return gaps[0] if gaps and all(gaps) else ""

    def days(self, ctx: Context) -> int:
        part = self._only
        return 0 if part is None else ctx.days(part.name)


def shells_by_size(parts: tuple[PartSpec, ...]) -> Mapping[Fraction, Shells]:
    """Shells by their undersize. Where any size comes in grades, housings pick theirs."""
    sizes: dict[Fraction, list[PartSpec]] = {}
    for part in parts:
        sizes.setdefault(part.undersize or Fraction(0), []).append(part)
    graded = any(len(grades) > 1 for grades in sizes.values())
    return {under: Shells(tuple(grades), under, graded) for under, grades in sizes.items()}


def shells_on(ctx: Context, journals: list[str]) -> list[str]:
    """The shells that run on journals: one a main, one for every rod on a pin."""
    found = []
    for name in journals:
        kind, _, number = name.rpartition(" ")
        if kind == "main journal":
            found.append(f"main shell {number}")
        else:
            found += [f"rod shell {rod}" for rod in ctx.frame.rods_on_pin[int(number) - 1]]
    return [name for name in found if ctx.frame.feature(name)]


def shell_grades(ctx: Context, family: Group, parts: tuple[PartSpec, ...]) -> tuple[Group, ...]:
    """For each housing the grade of shell that goes in it, where a size is sold in grades.

    A grade goes with what is done to the journals: only grades of the size they are ground to.
    """
    sizes = shells_by_size(parts)
    if not any(shells.picked for shells in sizes.values()):
        return ()
    found = []
    for shell in shells_on(ctx, list(family.features)):
        options = []
        for under, shells in sizes.items():
            mine = tuple(o.name for o in family.options if _undersize(ctx, family, o) == under)
            tie = Together(family.name, mine, f"shells {ctx.said(under, 'end play')} under go on "
                           "journals of that size")  # fmt: skip
            options += [
                Option(
                    part.name,
                    f"{part.name} in {shell.replace('shell', 'housing')}",
                    ctx.all_brought(part, shell),
                    (),
                    (Use(part.name, 1),),
                    together=(tie,),
                    impossible=ctx.supply_gap(part.name),
                    days=ctx.days(part.name),
                )
                for part in shells.grades
            ]
        found.append(Group(shell, (shell,), tuple(options), ""))
    return tuple(found)


def _undersize(ctx: Context, family: Group, option: Option) -> Fraction:
    """The undersize of the journals after an option: as it makes them, else as they stand."""
    names = set(family.features)
    for part in ctx.parts("crankshaft"):
        if part.name == option.name:
            return part.undersize or Fraction(0)
    for effect in option.effects:
        if (
            isinstance(effect, SetTo)
            and effect.key.feature in names
            and effect.key.characteristic.endswith("journal diameter")
        ):
            return -effect.size
    return Fraction(0)

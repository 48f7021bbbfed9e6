"""How engines of this family come in, before anything is measured: what a forecast draws from."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING

from sparkout.sheet.model import PriorSpec

if TYPE_CHECKING:
    from sparkout.sheet.convert import Path, Reader
    from sparkout.sheet.engine_form import PriorForm, SheetForm
    from sparkout.sheet.names import Names

__all__ = ["COMMON", "to_priors"]

COMMON = "common practice"


def to_priors(form: SheetForm, names: Names, read: Reader) -> Mapping[str, PriorSpec]:
    """The section `priors` of a data sheet, by name."""
    found = {}
    for name, row in form.priors.items():
        prior = _prior(name, row, form, names, read)
        if prior is not None:
            found[name] = prior
    return MappingProxyType(found)


def _prior(
    name: str, row: PriorForm, form: SheetForm, names: Names, read: Reader
) -> PriorSpec | None:
    from sparkout.sheet.nearest import nearest

    path: Path = ("priors", name)
    split = names.split(name)
    if split is None:
        hint = nearest(name, names.all_limits())
        remedy = f"Did you mean '{hint}'?" if hint else ""
        expected = "a characteristic the program knows"
        read.fault(path, f"unknown characteristic '{name}'", expected, remedy)
        return None
    qualifier, characteristic = split
    dimension = names.dimension(characteristic)
    test = dimension == "test"
    if (row.fails if test else row.found) is None or (row.found if test else row.fails) is not None:
        given = "'found'" if test and row.found else "'fails'" if row.fails else "neither"
        asked = (
            "for a test, `fails: 5 %`, the chance that it is failed"
            if test
            else "`found: least to most`, the range eight engines in ten lie in"
        )
        read.fault(path, given, asked)
        return None
    if row.source and row.source != COMMON and row.source not in form.sources:
        hint = nearest(row.source, (COMMON, *form.sources))
        read.fault(
            (*path, "source"),
            f"'{row.source}'",
            f"a name listed under `sources`, or {COMMON}",
            f"Did you mean '{hint}'?" if hint else "",
        )
    alike = None if row.alike is None else read.percent((*path, "alike"), row.alike, Fraction(0))
    if alike is not None and not 0 <= alike <= 1:
        read.fault((*path, "alike"), f"'{row.alike}'", "0 % (not at all) to 100 % (all the same)")
    if test:
        fails = read.percent((*path, "fails"), row.fails, Fraction(0))
        if not 0 <= fails <= 1:
            read.fault((*path, "fails"), f"'{row.fails}'", "a chance from 0 % to 100 %")
        return PriorSpec(name, characteristic, qualifier, None, fails, alike, row.source)
    bounds = read.bounds((*path, "found"), row.found, dimension)
    if bounds is None:
        return None
    if bounds.low is None or bounds.high is None or bounds.low >= bounds.high:
        asked = "two figures, least to most, that eight engines in ten lie between"
        read.fault((*path, "found"), f"'{row.found}'", asked)
        return None
    return PriorSpec(name, characteristic, qualifier, bounds, None, alike, row.source)

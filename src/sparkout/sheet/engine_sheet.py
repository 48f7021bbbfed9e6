"""A data sheet from its form: figures read, names checked, columns held against each other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

from sparkout.sheet.assembly_sheet import to_assembly
from sparkout.sheet.convert import Path, Reader
from sparkout.sheet.engine_form import EngineForm, LimitForm, PartForm, RepairForm, SheetForm
from sparkout.sheet.model import (
    Bounds,
    DataSheet,
    Identity,
    LayoutSpec,
    Limit,
    PartSpec,
    RepairSpec,
)
from sparkout.sheet.names import Names
from sparkout.sheet.nearest import nearest
from sparkout.sheet.priors import to_priors
from sparkout.sheet.thumb import RULES, fill
from sparkout.units import unit_pair_agrees

__all__ = ["GEOMETRY", "to_sheet"]

GEOMETRY: Mapping[str, str] = MappingProxyType(
    {
        "bore": "length",
        "stroke": "length",
        "throw": "length",
        "rod length": "length",
        "compression height": "length",
        "rocker ratio": "ratio",
        "seat angle": "angle",
        "liner closing": "percent",
        "bowl volume": "volume",
        "head chamber volume": "volume",
        "dome volume": "volume",
        "crevice volume": "volume",
        "recess volume per mm": "volume",
        "chamber volume per mm": "volume",
        "gasket bore": "length",
        "gasket thickness": "length",
        "base gasket thickness": "length",
        "bore spacing": "length",
        "bank angle": "angle",
        "intake face angle": "angle",
        "cam sprocket pitch radius": "length",
        "gear pressure angle": "angle",
        "piston gauge height": "length",
        "liner wall": "length",
    }
)

_LAYOUTS = dict.fromkeys(("inline", "V", "flat", "single"))
_KINDS = dict.fromkeys(("parent bore", "dry liner", "dry flanged liner", "wet liner"))
_HEADS = dict.fromkeys(("per bank", "per cylinder", "none"))


def to_sheet(form: SheetForm, names: Names, read: Reader, digest: str = "") -> DataSheet:
    """The sheet; what is wrong is in `read.faults`, and the sheet is then not to be used."""
    layout = _layout(form.engine, read)
    geometry = MappingProxyType(_geometry(form, read))
    limits = {
        name: limit
        for name, row in form.limits.items()
        if (limit := _limit(name, row, form, names, read)) is not None
    }
    limits = _with_thumbs(limits, geometry, read)
    return DataSheet(
        Identity(
            form.engine.name,
            form.engine.note,
            form.engine.cycle,
            form.engine.cylinder_1,
            form.engine.rotation,
            form.engine.thrust_side,
            form.engine.camshaft,
            tuple(form.engine.valve_row.split()),
        ),
        layout,
        geometry,
        MappingProxyType(limits),
        tuple(_part(i, row, form, names, read) for i, row in enumerate(form.parts)),
        MappingProxyType(dict(form.sources)),
        tuple(_repair(i, row, names, read) for i, row in enumerate(form.repairs)),
        digest,
        to_assembly(form, limits, layout.cylinders, names, read),
        to_priors(form, names, read),
    )


def _repair(i: int, row: RepairForm, names: Names, read: Reader) -> RepairSpec:
    makes = _words(row.makes_new)
    for name in makes:
        if not names.knows(name):
            hint = nearest(name, names.all_sizes())
            remedy = f"Did you mean '{hint}'?" if hint else ""
            read.fault(("repairs", i, "makes new"), f"'{name}'",
                       "characteristics the program knows", remedy)  # fmt: skip
    if not row.operation and not row.part:
        read.fault(("repairs", i), f"'{row.repair}' with neither operation nor part",
                   "an operation of the shop, or a kind of part")  # fmt: skip
    together = read.one_of(("repairs", i, "together"), row.together, {"no": 0, "yes": 1})
    return RepairSpec(
        row.of,
        row.repair,
        row.words or row.repair,
        tuple(name for name in makes if names.knows(name)),
        row.operation,
        row.part,
        together == "yes",
    )


def _layout(form: EngineForm, read: Reader) -> LayoutSpec:
    at: Path = ("engine",)
    count = read.whole((*at, "cylinders"), form.cylinders)
    order = read.numbers((*at, "firing order"), form.firing_order)
    if count and sorted(order) != list(range(1, count + 1)):
        read.fault(
            (*at, "firing order"),
            f"'{form.firing_order}'",
            f"each of the {count} cylinders once",
        )
    banks = tuple(
        (bank.bank, read.numbers((*at, "banks", i, "cylinders"), bank.cylinders))
        for i, bank in enumerate(form.banks)
    ) or (("", tuple(range(1, count + 1))),)
    if count and sorted(n for _, row in banks for n in row) != list(range(1, count + 1)):
        read.fault((*at, "banks"), "banks that do not list each cylinder once",
                   f"cylinders 1 to {count}, each in one bank")  # fmt: skip
    angle = read.quantity((*at, "bank angle"), form.bank_angle, "angle")
    pins = tuple(
        read.numbers((*at, "rods on pin"), row)
        for row in form.rods_on_pin.split(",")
        if row.strip()
    )
    return LayoutSpec(
        read.one_of((*at, "layout"), form.layout, _LAYOUTS),
        count,
        banks,
        order,
        read.whole((*at, "main bearings"), form.main_bearings),
        read.one_of((*at, "cylinder kind"), form.cylinder_kind, _KINDS),
        read.whole((*at, "intake valves"), form.intake_valves, 1),
        read.whole((*at, "exhaust valves"), form.exhaust_valves, 1),
        read.one_of((*at, "heads"), form.heads, _HEADS),
        read.whole((*at, "cam bearings"), form.cam_bearings),
        pins,
        _words(form.gears),
        _words(form.rings),
        _words(form.without),
        angle,
    )


def _words(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())


def _geometry(form: SheetForm, read: Reader) -> dict[str, Fraction]:
    found: dict[str, Fraction] = {}
    for name, text in form.geometry.items():
        dimension = GEOMETRY.get(name)
        path: Path = ("geometry", name)
        if dimension is None:
            hint = nearest(name, tuple(GEOMETRY))
            remedy = f"Did you mean '{hint}'?" if hint else ""
            read.fault(path, f"unknown key '{name}'", "a figure of the geometry", remedy)
            continue
        value = (
            read.number(path, text)
            if dimension == "ratio"
            else read.quantity(path, text, dimension)
        )
        if value is not None:
            found[name] = value / 100 if dimension == "percent" else value
    return found


def _limit(name: str, row: LimitForm, form: SheetForm, names: Names, read: Reader) -> Limit | None:
    path: Path = ("limits", name)
    split = names.split(name)
    if split is None:
        hint = nearest(name, names.all_limits())
        read.fault(
            path,
            f"unknown limit '{name}'",
            "a characteristic the program knows",
            f"Did you mean '{hint}'?" if hint else "See `sparkout sheets --characteristics`.",
        )
        return None
    qualifier, characteristic = split
    dimension = names.dimension(characteristic)
    if dimension == "test":
        passed = Bounds(None, Fraction(1, 2), "passed")
        return Limit(name, characteristic, qualifier, passed, passed, source=row.source)
    new = read.bounds((*path, "new"), row.new, dimension)
    service = read.bounds((*path, "service"), row.service, dimension)
    if not row.rule_of_thumb and row.new is None and row.service is None:
        read.fault(
            path,
            "neither new nor service limit",
            "at least one of them",
            "Give the maker's figure, or ask for a rule of thumb by name.",
        )
    _sourced(path, row, form, read)
    _columns(path, row, read)
    _sense(path, new, service, names.wears(characteristic), read)
    return Limit(
        name,
        characteristic,
        qualifier,
        new,
        service,
        row.statistic,
        row.held,
        row.judged,
        row.binding != "should",
        row.source,
        row.rule_of_thumb,
    )


def _with_thumbs(
    limits: dict[str, Limit], geometry: Mapping[str, Fraction], read: Reader
) -> dict[str, Limit]:
    """The limits with those that ask for a rule of thumb filled by it."""
    filled = dict(limits)
    for name, limit in limits.items():
        if not limit.thumb:
            continue
        path: Path = ("limits", name, "rule of thumb")
        rule = RULES.get(limit.thumb)
        if rule is None or rule.characteristic != limit.characteristic:
            fitting = [r.name for r in RULES.values() if r.characteristic == limit.characteristic]
            expected = (
                "one of " + ", ".join(fitting) if fitting else "no rule: there is none for it"
            )
            read.fault(path, f"'{limit.thumb}'", expected)
            continue
        new, service = fill(rule, geometry, limits)
        if new is None and service is None:
            read.fault(path, f"'{limit.thumb}' without the figures it goes by", rule.says,
                       "Give bore, stroke or the new journal size on the sheet.")  # fmt: skip
            continue
        filled[name] = replace(
            limit,
            new=limit.new if limit.new is not None else new,
            service=limit.service if limit.service is not None else service,
            source=limit.source or rule.source,
        )
    return filled


def _sourced(path: Path, row: LimitForm, form: SheetForm, read: Reader) -> None:
    if row.rule_of_thumb:
        return
    if not row.source:
        read.fault((*path, "source"), "no source", "the name of a source listed under `sources`")
    elif row.source not in form.sources:
        hint = nearest(row.source, tuple(form.sources))
        remedy = f"Did you mean '{hint}'?" if hint else ""
        read.fault((*path, "source"), f"'{row.source}'", "a name listed under `sources`", remedy)


def _columns(path: Path, row: LimitForm, read: Reader) -> None:
    """Inch and millimetre columns must say the same, to the digits they are printed with."""
    for key, metric, inch in (
        ("new inch", row.new, row.new_inch),
        ("service inch", row.service, row.service_inch),
    ):
        if metric is None or inch is None:
            continue
        agrees = unit_pair_agrees(inch, metric)
        if not agrees.agrees:
            read.fault((*path, key), f"'{inch}' beside '{metric}'", agrees.expected,
                       "Check both columns against the book.")  # fmt: skip


def _sense(
    path: Path, new: Bounds | None, service: Bounds | None, wears: int, read: Reader
) -> None:
    """Limits the right way round, and the service limit on the side that wear goes to."""
    for key, bounds in (("new", new), ("service", service)):
        if bounds is None or bounds.low is None or bounds.high is None:
            continue
        if bounds.low > bounds.high:
            read.fault((*path, key), f"'{bounds.typed}'", "the smaller figure first: least to most")
    if new is None or service is None or not wears:
        return
    first, last = (new.high, service.high) if wears > 0 else (service.low, new.low)
    if first is not None and last is not None and last < first:
        than, way = ("smaller", "grows") if wears > 0 else ("larger", "shrinks")
        read.fault(
            (*path, "service"),
            f"'{service.typed}' inside the new range '{new.typed}'",
            f"a service limit no {than} than the new one: this {way} with wear",
        )


def _part(i: int, row: PartForm, form: SheetForm, names: Names, read: Reader) -> PartSpec:
    path: Path = ("parts", i)
    sizes: dict[str, Bounds] = {}
    for name, text in row.sizes.items():
        if not names.knows(name):
            hint = nearest(name, names.all_sizes())
            remedy = f"Did you mean '{hint}'?" if hint else ""
            read.fault((*path, "sizes", name), f"unknown size '{name}'",
                       "a characteristic the program knows", remedy)  # fmt: skip
            continue
        bounds = read.bounds((*path, "sizes", name), text, names.dimension(name))
        if bounds is not None:
            sizes[name] = bounds
    known = {part.part for part in form.parts}
    # A part's own name may have commas in it, so a partner is matched whole first.
    partners = (row.with_,) if row.with_ in known else _words(row.with_)
    for partner in partners:
        if partner not in known:
            hint = nearest(partner, tuple(known))
            remedy = f"Did you mean '{hint}'?" if hint else ""
            read.fault((*path, "with"), f"'{partner}'", "a part of this sheet", remedy)
    return PartSpec(
        row.part,
        row.kind,
        MappingProxyType(sizes),
        read.quantity((*path, "for bore"), row.for_bore, "length"),
        read.quantity((*path, "undersize"), row.undersize, "length"),
        read.bounds((*path, "for largest protrusion"), row.for_largest_protrusion, "length"),
        row.supplied,
        row.fits,
        partners,
        row.note,
        row.source,
    )

"""A sheet's word on assembly from its form: joints, lash, the maker's steps, first start."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING

from sparkout.sheet.assembly_joints import to_joints
from sparkout.sheet.assembly_model import (
    SEEN,
    AssemblySpec,
    CamEvents,
    FirstStart,
    LashSpec,
    LashValues,
    MakerCheck,
    MakerStep,
    RunInStage,
)
from sparkout.sheet.convert import Path, Reader
from sparkout.sheet.model import Bounds, Limit
from sparkout.sheet.names import Names
from sparkout.sheet.nearest import nearest
from sparkout.units import QuantityError, parse_range

if TYPE_CHECKING:
    from sparkout.sheet.assembly_form import (
        FirstStartForm,
        LashForm,
        LashValuesForm,
        MakerStepForm,
    )
    from sparkout.sheet.engine_form import SheetForm

__all__ = ["to_assembly"]

_FROM_LIMITS = "from the limits"
_METHODS = dict.fromkeys(("adjuster", "shim", "hydraulic"))
_CYCLE = 720
# What a limit of the maker's own may be in; a bare number is none of these.
_DIMENSIONS = ("length", "torque", "pressure", "temperature", "time", "speed", "mass", "volume",
               "force")  # fmt: skip
# Event → (which dead centre it is counted from, crank degrees of that from firing).
_EVENTS: Mapping[str, tuple[str, int]] = MappingProxyType(
    {
        "intake opens": ("top", 360),
        "intake closes": ("bottom", 540),
        "exhaust opens": ("bottom", 180),
        "exhaust closes": ("top", 360),
    }
)


def to_assembly(
    form: SheetForm, limits: Mapping[str, Limit], cylinders: int, names: Names, read: Reader
) -> AssemblySpec:
    """All of it; what is wrong is in `read.faults`, and the sheet is then not to be used."""
    return AssemblySpec(
        to_joints(form.tightening, form.sources, read),
        _lash(form.lash, limits, cylinders, form.sources, read) if form.lash else None,
        tuple(_step(i, row, form, limits, names, read) for i, row in enumerate(form.assembly)),
        _first_start(form.first_start, form.sources, limits, names, read)
        if form.first_start
        else None,
    )


def _source(path: Path, source: str, sources: Mapping[str, str], read: Reader) -> None:
    if source in sources:
        return
    hint = nearest(source, tuple(sources))
    read.fault((*path, "source"), f"'{source}'" if source else "no source",
               "a name listed under `sources`", f"Did you mean '{hint}'?" if hint else "",
               )  # fmt: skip


def _words(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())


# Lash


def _lash(
    form: LashForm,
    limits: Mapping[str, Limit],
    cylinders: int,
    sources: Mapping[str, str],
    read: Reader,
) -> LashSpec:
    path: Path = ("lash",)
    _source(path, form.source, sources, read)
    method = read.one_of((*path, "method"), form.method, _METHODS)
    cold = _values((*path, "cold"), form.cold, read)
    hot = _values((*path, "hot"), form.hot, read)
    filled = {}
    for side, value in (("intake", cold.intake), ("exhaust", cold.exhaust)):
        limit = limits.get(f"{side} valve lash")
        bounds = None if limit is None else limit.side("new")
        filled[side] = value or bounds
        if value is not None and bounds is not None and not _agree(value, bounds):
            read.fault((*path, "cold", side), f"'{value.typed}'",
                       f"'{bounds.typed}', as under `limits`",
                       "Leave it out here; the limit is used.")  # fmt: skip
    if method == "hydraulic" and (form.cold is not None or form.hot is not None):
        read.fault((*path, "method"), "lash figures with hydraulic followers",
                   "a limit `hydraulic preload`, or another method")  # fmt: skip
    return LashSpec(
        method,
        LashValues(filled["intake"], filled["exhaust"]),
        hot,
        _positions((*path, "positions"), form.positions, cylinders, read),
        _events(path, form, read),
        _firing_angles((*path, "firing angles"), form.firing_angles, cylinders, read),
        _angles((*path, "pin angles"), form.pin_angles, read),
        form.note,
        form.source,
    )


def _agree(one: Bounds, other: Bounds) -> bool:
    return (one.low, one.high) == (other.low, other.high)


def _values(path: Path, form: LashValuesForm | None, read: Reader) -> LashValues:
    if form is None:
        return LashValues()
    found = []
    for side, text in (("intake", form.intake), ("exhaust", form.exhaust)):
        bounds = read.bounds((*path, side), text, "length")
        if bounds is not None and not _closed(bounds):
            read.fault((*path, side), f"'{bounds.typed}'",
                           "least and most lash, such as 0.30 to 0.35 mm")  # fmt: skip
        found.append(bounds)
    return LashValues(*found)


def _closed(bounds: Bounds) -> bool:
    return bounds.low is not None and bounds.high is not None and 0 < bounds.low <= bounds.high


def _positions(path: Path, text: str, cylinders: int, read: Reader) -> tuple[str, ...]:
    words = _words(text)
    if words in (("fewest",), ("each cylinder firing",)):
        return words
    for word in words:
        number, _, event = word.partition(" ")
        known = number.isdecimal() and 1 <= int(number) <= cylinders
        if not known or event not in ("firing", "overlap"):
            read.fault(path, f"'{word}'", "'fewest', 'each cylinder firing', or top dead centres "
                       f"such as '1 firing, 1 overlap' of cylinders 1 to {cylinders}")  # fmt: skip
            return ("fewest",)
    return words or ("fewest",)


def _events(path: Path, form: LashForm, read: Reader) -> CamEvents | None:
    texts = {
        "intake opens": form.intake_opens,
        "intake closes": form.intake_closes,
        "exhaust opens": form.exhaust_opens,
        "exhaust closes": form.exhaust_closes,
    }
    ramp = read.quantity((*path, "ramp"), form.ramp, "angle")
    if not any(texts.values()):
        return None
    found = {}
    for name, text in texts.items():
        value = _event((*path, name), name, text, read)
        if value is None:
            return None
        found[name] = value
    for side in ("intake", "exhaust"):
        if not found[f"{side} opens"] < found[f"{side} closes"]:
            read.fault((*path, f"{side} closes"), f"'{texts[f'{side} closes']}'",
                       f"a closing after '{texts[f'{side} opens']}'")  # fmt: skip
            return None
    opens_in, closes_in, opens_ex, closes_ex = found.values()
    return CamEvents(opens_in, closes_in, opens_ex, closes_ex, ramp)


def _event(path: Path, name: str, text: str | None, read: Reader) -> Fraction | None:
    """`12 deg before top` as crank degrees from firing top dead centre."""
    centre, base = _EVENTS[name]
    expected = f"degrees before or after {centre} (dead centre), such as 12 deg before {centre}"
    if text is None:
        read.fault(path, "nothing", f"all four events or none: {expected}")
        return None
    for word, sign in ((" before ", -1), (" after ", 1)):
        figure, found, where = text.partition(word)
        if found and where.split()[:1] == [centre]:
            angle = read.quantity(path, figure, "angle")
            if angle is None:
                return None
            if 0 <= angle < 180:
                return base + sign * angle
    read.fault(path, f"'{text}'", expected)
    return None


def _angles(path: Path, text: str, read: Reader) -> tuple[Fraction, ...]:
    found = tuple(read.quantity(path, word, "angle") for word in _words(text))
    return tuple(value for value in found if value is not None)


def _firing_angles(path: Path, text: str, cylinders: int, read: Reader) -> tuple[Fraction, ...]:
    angles = _angles(path, text, read)
    if not angles:
        return ()
    rising = all(a < b for a, b in pairwise(angles))
    if len(angles) != cylinders or angles[0] != 0 or not rising or angles[-1] >= _CYCLE:
        read.fault(path, f"'{text}'", f"{cylinders} crank angles in firing order, from 0, rising, "
                   f"below {_CYCLE}")  # fmt: skip
        return ()
    return angles


# Steps and first start


def _step(
    i: int,
    row: MakerStepForm,
    form: SheetForm,
    limits: Mapping[str, Limit],
    names: Names,
    read: Reader,
) -> MakerStep:
    path: Path = ("assembly", i)
    _source(path, row.source, form.sources, read)
    if row.joint and row.joint not in form.tightening:
        hint = nearest(row.joint, tuple(form.tightening))
        read.fault((*path, "joint"), f"'{row.joint}'", "a joint listed under `tightening`",
                   f"Did you mean '{hint}'?" if hint else "")  # fmt: skip
    return MakerStep(
        row.step,
        row.title,
        _words(row.after),
        tuple(row.do),
        row.lubricant,
        row.sealant,
        row.orientation,
        row.fasteners,
        row.marks,
        row.align,
        _words(row.parts),
        _checks((*path, "checks"), row.checks, limits, names, read),
        row.joint,
        _words(row.operations),
        row.source,
    )


def _first_start(
    form: FirstStartForm,
    sources: Mapping[str, str],
    limits: Mapping[str, Limit],
    names: Names,
    read: Reader,
) -> FirstStart:
    path: Path = ("first start",)
    _source(path, form.source, sources, read)
    return FirstStart(
        form.oil,
        form.coolant,
        form.prime,
        _checks((*path, "checks"), form.checks, limits, names, read),
        tuple(RunInStage(row.stage, row.speed, row.load, row.time, row.watch)
              for row in form.run_in),
        tuple(form.afterwards),
        form.source,
    )  # fmt: skip


def _checks(
    path: Path, rows: Mapping[str, str], limits: Mapping[str, Limit], names: Names, read: Reader
) -> tuple[MakerCheck, ...]:
    found = []
    for name, text in rows.items():
        said = text.strip()
        if "/" in name:
            read.fault((*path, name), f"'{name}'", "a name without '/'")
        elif said == SEEN:
            found.append(MakerCheck(name, SEEN))
        elif said == _FROM_LIMITS:
            if names.split(name) is None or name not in limits:
                read.fault((*path, name), f"'{_FROM_LIMITS}' for '{name}'",
                           "a characteristic with a limit under `limits`")  # fmt: skip
                continue
            found.append(MakerCheck(name, names.dimension(names.split(name)[1])))  # type: ignore[index]
        elif names.split(name) is not None:
            read.fault((*path, name), f"'{said}' for a characteristic the program knows",
                       f"'{_FROM_LIMITS}'", "Put its figures under `limits`.")  # fmt: skip
        else:
            check = _own(path, name, said, read)
            if check is not None:
                found.append(check)
    return tuple(found)


def _own(path: Path, name: str, said: str, read: Reader) -> MakerCheck | None:
    """A check of the maker's own with limits in any unit."""
    angle = said.endswith(("deg", "degrees", "°"))
    for dimension in (*_DIMENSIONS, *(("angle",) if angle else ())):
        try:
            limits = parse_range(said, dimension)
        except QuantityError:
            continue
        return MakerCheck(name, dimension, replace(Bounds(limits.low, limits.high), typed=said))
    read.fault((*path, name), f"'{said}'",
               f"'{SEEN}', '{_FROM_LIMITS}', or limits with a unit, such as 'at most 8 N·m'",
               )  # fmt: skip
    return None

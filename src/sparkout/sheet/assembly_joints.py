"""The joints of a data sheet from their form: stages, map and order read and held together."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from itertools import combinations
from types import MappingProxyType

from sparkout.mechanics.bolts.threads import Thread, metric_thread, unified_thread
from sparkout.sheet.assembly_form import LUBRICATION, JointForm
from sparkout.sheet.assembly_model import (
    Again,
    FastenerPlace,
    Joint,
    Pattern,
    Retorque,
    Stage,
    StageKind,
)
from sparkout.sheet.convert import Path, Reader
from sparkout.sheet.nearest import nearest
from sparkout.units import QuantityError, parse, quoted

__all__ = ["to_joints"]

_MOST = 200
_PATTERNS: Mapping[str, Pattern] = MappingProxyType(
    {
        Pattern.RINGS.value: Pattern.RINGS,
        Pattern.ROWS.value: Pattern.ROWS,
        "by rows": Pattern.ROWS,
        Pattern.CROSS.value: Pattern.CROSS,
        Pattern.GIVEN.value: Pattern.GIVEN,
    }
)
_AGAIN = MappingProxyType({item.value: item for item in Again if item.value})
# Kinds of feature a joint can be repeated on.
_EACH = dict.fromkeys(("rod", "head", "main housing", "bore", "deck", "injector", "cam bush"))


def to_joints(
    forms: Mapping[str, JointForm], sources: Mapping[str, str], read: Reader
) -> Mapping[str, Joint]:
    """Every joint that can be read; what is wrong with the others is in `read.faults`."""
    found = {}
    for name, form in forms.items():
        joint = _joint(name, form, sources, read)
        if joint is not None:
            found[name] = joint
    return MappingProxyType(found)


def _joint(name: str, form: JointForm, sources: Mapping[str, str], read: Reader) -> Joint | None:
    path: Path = ("tightening", name)
    before = len(read.faults)
    if not (form.lubrication or "").strip():
        read.fault((*path, "lubrication"), f"torques of '{name}' without a state of lubrication",
                   "such as 'engine oil on thread and under the head', or 'dry'",
                   LUBRICATION)  # fmt: skip
    if form.source not in sources:
        hint = nearest(form.source, tuple(sources))
        read.fault((*path, "source"), f"'{form.source}'" if form.source else "no source",
                   "a name listed under `sources`",
                   f"Did you mean '{hint}'?" if hint else "")  # fmt: skip
    if form.each:
        read.one_of((*path, "each"), form.each, _EACH)
    thread = _thread((*path, "thread"), form.thread, read)
    stages = _stages((*path, "stages"), form.stages, read)
    count = read.whole((*path, "count"), form.count)
    if not 1 <= count <= _MOST:
        read.fault((*path, "count"), f"'{form.count}'", f"1 to {_MOST} fasteners")
        return None
    places = _places(path, form, count, read)
    if places is not None and thread is not None:
        _apart(path, places, thread, read)
    mapped = places is not None
    if places is None:
        if count > 2:
            read.fault(path, f"{count} fasteners without a map",
                       "`places`, or `rows` and `columns` with `pitch`, or `circle`",
                       "Their order cannot be worked out without knowing where they are.",
                       )  # fmt: skip
            return None
        places = tuple(FastenerPlace(str(k + 1), Fraction(k), Fraction(0)) for k in range(count))
    order, pattern = _order(path, form, places, read)
    again, longest = _again(path, form, read)
    share = read.percent((*path, "tolerance"), form.tolerance, Fraction(0))
    turn = read.quantity((*path, "angle tolerance"), form.angle_tolerance, "angle")
    retorque = None
    if form.after_warm_up is not None:
        later = _stages((*path, "after warm up", "stages"), form.after_warm_up.stages, read)
        retorque = Retorque(form.after_warm_up.when, later)
    if len(read.faults) > before:
        return None
    return Joint(
        name,
        form.fastener,
        count,
        form.thread,
        (form.lubrication or "").strip(),
        stages,
        pattern,
        places,
        order,
        form.each,
        mapped,
        again,
        longest,
        share if form.tolerance else None,
        turn,
        retorque,
        form.note,
        form.source,
    )


def _thread(path: Path, text: str, read: Reader) -> Thread | None:
    make = metric_thread if text.strip().upper().startswith("M") else unified_thread
    try:
        return make(text)
    except ValueError:
        read.fault(path, f"'{text}'", "a thread size such as M12 x 1.75 or 1/2-13 UNC")
        return None


def _stages(path: Path, texts: list[str], read: Reader) -> tuple[Stage, ...]:
    stages = tuple(_stage((*path, i), text, read) for i, text in enumerate(texts))
    known = tuple(stage for stage in stages if stage is not None)
    if len(known) == len(stages):
        _in_order(path, known, read)
    return known


def _stage(path: Path, text: str, read: Reader) -> Stage | None:
    """`snug 30 N·m`, `80 N·m`, `turn 90 deg`, `loosen fully`."""
    words = " ".join(text.split())
    first, _, rest = words.partition(" ")
    if words.casefold() in ("loosen", "loosen fully"):
        return Stage(StageKind.LOOSEN, words)
    turn = first.casefold() == "turn"
    figure = rest if turn or first.casefold() in ("snug", "torque", "tighten") else words
    turn = turn or words.endswith(("°", "deg", "degrees"))
    kind, dimension = (StageKind.TURN, "angle") if turn else (StageKind.TORQUE, "torque")
    try:
        value = parse(figure, dimension)
    except QuantityError as wrong:
        read.fault(path, wrong.found, wrong.expected, wrong.remedy or (
            "Write stages like: snug 30 N·m, 80 N·m, turn 90 deg, loosen fully."))  # fmt: skip
        return None
    if value.value <= 0:
        what = "a turn in the tightening direction" if turn else "a torque"
        read.fault(path, quoted(words), f"{what}, above zero",
                   "To undo a stage write: loosen fully.")  # fmt: skip
        return None
    return Stage(kind, words, value.value, value.step)


def _in_order(path: Path, stages: tuple[Stage, ...], read: Reader) -> None:
    """A torque first, torques rising, turns after a torque, and nothing left loose."""
    if not stages:
        read.fault(path, "no stages", "at least one, such as '80 N·m'")
        return
    torque = Fraction(0)
    turned = False
    for i, stage in enumerate(stages):
        if stage.kind is StageKind.LOOSEN:
            if torque == 0:
                read.fault((*path, i), quoted(stage.words), "a torque to loosen from before it")
            torque, turned = Fraction(0), False
        elif stage.kind is StageKind.TURN:
            if torque == 0:
                read.fault((*path, i), f"{quoted(stage.words)} with no torque before it",
                           "a turn counted from a torque, such as 'snug 30 N·m' before it",
                           )  # fmt: skip
            turned = True
        else:
            assert stage.value is not None
            if turned:
                read.fault((*path, i), f"the torque {quoted(stage.words)} after a turn",
                           "turns last: after one, a torque says nothing of the load",
                           "Loosen fully first, if the book really asks for it.")  # fmt: skip
            elif stage.value <= torque:
                read.fault((*path, i), f"{quoted(stage.words)} after {quoted(stages[i - 1].words)}",
                           "torques that rise from stage to stage")  # fmt: skip
            torque = max(torque, stage.value)
    if stages[-1].kind is StageKind.LOOSEN:
        read.fault((*path, len(stages) - 1), f"{quoted(stages[-1].words)} as the last stage",
                   "a torque or turn that it is left at")  # fmt: skip


def _places(
    path: Path, form: JointForm, count: int, read: Reader
) -> tuple[FastenerPlace, ...] | None:
    """The map, or None where none is given; a map that cannot be read is a fault and empty."""
    given = [bool(form.places), form.rows is not None, form.circle is not None]
    if sum(given) == 0:
        return None
    if sum(given) > 1:
        read.fault(path, "more than one map", "one of `places`, `rows` and `columns`, `circle`")
        return ()
    if form.places:
        places = _listed((*path, "places"), form.places, read)
    elif form.rows is not None:
        places = _grid(path, form, read)
    else:
        places = _circle(path, form, count, read)
    if places and len(places) != count:
        read.fault((*path, "count"), f"{count} fasteners, and {len(places)} on the map",
                   "as many on the map as there are")  # fmt: skip
    return places


def _listed(path: Path, rows: Mapping[str, str], read: Reader) -> tuple[FastenerPlace, ...]:
    found = []
    for name, text in rows.items():
        parts = [part.strip() for part in text.split(", ")]
        if len(parts) != 2:
            read.fault((*path, name), f"'{text}'", "x, y in mm, such as 115, 70")
            return ()
        # A unit typed once, at the end, is for both.
        unit = "in" if parts[1].endswith(("in", '"')) else "mm"
        x = read.quantity((*path, name), parts[0], "length", unit)
        y = read.quantity((*path, name), parts[1], "length", unit)
        if x is None or y is None:
            return ()
        found.append(FastenerPlace(name, x, y))
    return tuple(found)


def _grid(path: Path, form: JointForm, read: Reader) -> tuple[FastenerPlace, ...]:
    rows = read.whole((*path, "rows"), form.rows)
    columns = read.whole((*path, "columns"), form.columns)
    pitch = read.quantity((*path, "pitch"), form.pitch, "length", "mm")
    across = read.quantity((*path, "row pitch"), form.row_pitch, "length", "mm")
    if not 1 <= rows <= 26 or not 1 <= columns <= _MOST:
        read.fault((*path, "rows"), f"{rows} rows of {columns}", "1 to 26 rows, each of 1 or more")
        return ()
    if (columns > 1 and not pitch) or (rows > 1 and not across):
        read.fault(path, "rows and columns without their distances", "`pitch` and `row pitch`")
        return ()
    step, apart = pitch or Fraction(0), across or Fraction(0)
    return tuple(
        FastenerPlace(f"{chr(ord('A') + r)}{c + 1}", c * step, r * apart)
        for r in range(rows)
        for c in range(columns)
    )


def _circle(path: Path, form: JointForm, count: int, read: Reader) -> tuple[FastenerPlace, ...]:
    """Numbered clockwise from the top, evenly spaced; y runs down the page, as rows do."""
    across = read.quantity((*path, "circle"), form.circle, "length", "mm")
    if across is None or across <= 0:
        if across is not None:
            read.fault((*path, "circle"), f"'{form.circle}'", "a diameter above zero")
        return ()
    found = []
    for k in range(count):
        turn = 2 * math.pi * k / count
        x, y = (Fraction(round(f * float(across) / 2 * 1000), 1000)
                for f in (math.sin(turn), -math.cos(turn)))  # fmt: skip
        found.append(FastenerPlace(str(k + 1), x, y))
    return tuple(found)


def _apart(path: Path, places: tuple[FastenerPlace, ...], thread: Thread, read: Reader) -> None:
    """No two fasteners nearer than their thread is wide: one typed twice, or a digit slipped."""
    for one, other in combinations(places, 2):
        far = math.hypot(float(one.x - other.x), float(one.y - other.y))
        if far < thread.major:
            read.fault((*path, "places", other.name),
                       f"'{one.name}' and '{other.name}' {far:.3g} mm apart",
                       f"at least the {thread.major:.3g} mm of the thread between any two",
                       )  # fmt: skip
            return


def _order(
    path: Path, form: JointForm, places: tuple[FastenerPlace, ...], read: Reader
) -> tuple[tuple[str, ...], Pattern]:
    text = form.sequence.strip()
    pattern = Pattern.GIVEN if form.order else Pattern.RINGS
    if text:
        pattern = _PATTERNS[read.one_of((*path, "sequence"), text, _PATTERNS)]
        if (pattern is Pattern.GIVEN) != bool(form.order):
            has = "with" if form.order else "without"
            read.fault((*path, "sequence"), f"'{text}' {has} an order",
                       "'as given' together with `order`, or a pattern alone")  # fmt: skip
    elif not form.order and len(places) > 2:
        read.fault((*path, "sequence"), "no sequence", "one of " + ", ".join(_PATTERNS))
    if not form.order:
        return (), pattern
    names = tuple(place.name for place in places)
    split = form.order.split(",") if "," in form.order else form.order.split()
    order = tuple(word.strip() for word in split if word.strip())
    for word in order:
        if word not in names:
            hint = nearest(word, names)
            read.fault((*path, "order"), f"'{word}', which is not on the map",
                       "one of " + ", ".join(names),
                       f"Did you mean '{hint}'?" if hint else "")  # fmt: skip
            return (), pattern
    twice = next((word for word in order if order.count(word) > 1), "")
    left = next((name for name in names if name not in order), "")
    if twice or left:
        read.fault((*path, "order"), f"'{twice}' twice" if twice else f"'{left}' left out",
                   "each fastener once")  # fmt: skip
        return (), pattern
    return order, pattern


def _again(path: Path, form: JointForm, read: Reader) -> tuple[Again, Fraction | None]:
    longest = read.quantity((*path, "longest"), form.longest, "length")
    if not form.use_again:
        if longest is not None:
            return Again.LENGTH, longest
        return Again.UNSAID, None
    again = _AGAIN[read.one_of((*path, "use again"), form.use_again, _AGAIN)]
    if again is Again.NO and longest is not None:
        read.fault((*path, "longest"), f"'{form.longest}' for a fastener used once only",
                   "`use again: to a length`, or no `longest`")  # fmt: skip
    if again is Again.LENGTH and longest is None:
        read.fault((*path, "use again"), "'to a length' without `longest`",
                   "the free length a used one may have at most")  # fmt: skip
    return again, longest

"""Which one thing to do about a value that is not proven: what settles it with the least effort.

Everything that could be done is tried on the errors of the value: reading it more often, another
gauge of the shop, blades in between, letting part and gauge take one temperature, measuring the
mating part. Which is worth most for its minutes is worked out in judge.conformity.settle.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.judge.basis import Basis
from sparkout.measure.estimate import Component, Estimate, combine
from sparkout.measure.gauges.components import BenchReading, reading_components
from sparkout.measure.gauges.kinds import GaugeKind, Reads, facts_of
from sparkout.measure.gauges.records import Gauge
from sparkout.measure.gauges.sources import gauge_of, marks_of, proves_nothing
from sparkout.sheet.model import Bounds

TYPE_CHECKING = False
if TYPE_CHECKING:
    from sparkout.judge.conformity.settle import Action

__all__ = ["Doubt", "Part", "advice", "parts_of"]

# Minutes at the bench, a judgement of ours: they only rank what could be done.
_MORE, _BLADES, _OTHER, _MATE, _HEAT = 1.0, 2.0, 3.0, 4.0, 12.0
_TIMES = (3, 9)
_HARDLY = 0.1  # what settles it in fewer than one case of ten is no advice
_STRIP = GaugeKind.PLASTIC_STRIP
# What the table of characteristics calls in short what the register has by its full name.
_SHORT = (
    ("micrometer", GaugeKind.OUTSIDE_MICROMETER),
    ("bore gauge", GaugeKind.DIAL_BORE_GAUGE),
    ("indicator", GaugeKind.DIAL_INDICATOR),
)
_HEATED = ("temperature of the bench", "part and gauge apart", "thermometer ", "expansion of ")


@dataclass(frozen=True, slots=True)
class Part:
    """One size a doubtful value is made of, with its errors as they enter the value."""

    key: Key
    weight: Fraction
    size: Dimension
    errors: tuple[Component, ...]


@dataclass(frozen=True, slots=True)
class Doubt:
    """A value that is not proven: its doubtful end, its limits, and the sizes it is made of.

    limit: the limit it is near, as it is shown.
    """

    value: Estimate
    bounds: Bounds
    parts: tuple[Part, ...]
    basis: Basis
    limit: str = ""


def advice(doubt: Doubt) -> str:
    """One sentence: what to do first.

    The action with the largest chance of settling the verdict for each minute it takes.

    doubt: the value, its limits and what it is made of [unit of the value].
    Returns the sentence, with how often it will do [-].
    Holds for actions tried one after another; minutes are a judgement.
    Source: JCGM 106:2012, clause 8, applied to the next reading (judge.conformity.settle).

    >>> advice(Doubt(Estimate(Fraction(1)), Bounds(None, Fraction(1), ""), (), Basis()))
    'Read it again.'
    """
    errors = combine(doubt.value.components)
    if not errors:
        return "Read it again."
    plain = _said_plainly(errors, doubt) or _blade_of_the_limit(errors, doubt)
    if plain:
        return plain
    from sparkout.judge.conformity.rules import Asked
    from sparkout.judge.conformity.settle import best_action, prospects
    from sparkout.judge.conformity.zones import zones_named

    asked = Asked(doubt.bounds.low, doubt.bounds.high, doubt.basis.confidence)
    found = prospects(
        doubt.value, asked, zones_named(doubt.basis.rule), tuple(_actions(errors, doubt))
    )
    best = best_action(found)
    if best is None or best.settles < _HARDLY:
        used = " and ".join(dict.fromkeys(filter(None, (gauge_of(e.source) for e in errors))))
        finer = f"Borrow a better gauge than {used}" if used else "Borrow a better gauge"
        return (
            f"No gauge of this shop is likely to settle it, so near the limit is it. {finer}, or "
            "take it as out: that is the safe side."
        )
    return f"{best.action.name}: that settles it {_often(best.settles)}."


def _often(chance: float) -> str:
    """`in 7 cases of 10`: no more digits than such a forecast is worth."""
    if chance >= 0.95:
        return "almost surely"
    tenths = round(chance * 10)
    return f"in {tenths} case{'s' if tenths > 1 else ''} of 10"


def _said_plainly(errors: Sequence[Component], doubt: Doubt) -> str:
    """What needs no sum: an error nobody knows, a gauge nobody named."""
    if any("no blade was tried" in part.source for part in errors):
        return "Try the next blade that does not go: only one that passes is known."
    marks = [mark for mark in marks_of(errors) if "expired" not in mark]
    largest = max(errors, key=lambda part: abs(part.u))
    unknown = proves_nothing(errors)
    if not marks or not (unknown or largest.source.startswith("rule of thumb")):
        return ""
    if "setting master" in largest.source or (unknown and "setting master" in marks[0]):
        return "List the setting master in the shop's file, or set the gauge by one that is."
    if "made of" in largest.source:
        return (
            "Say under `metals` in the shop's file what the part is made of, or read it at 20 °C."
        )
    quantities = {BY_NAME[part.key.characteristic].dimension for part in doubt.parts}
    can = [g.id for g in doubt.basis.gauges.gauges if g.measures in quantities and not g.held]
    if not can:
        return "List what it is read with under `gauges` in the shop's file, and name it."
    return "Name the gauge it was read with, or read it again with one of the shop's."


def _blade_of_the_limit(errors: Sequence[Component], doubt: Doubt) -> str:
    """The trade's own go and no-go: a blade that is the limit says which side the gap is on."""
    tools = [doubt.basis.gauges.gauge(gauge_of(part.source)) for part in errors]
    feelers = [tool for tool in tools if tool is not None and _tries(tool)]
    if len(doubt.parts) != 1 or not feelers or not doubt.limit:
        return ""
    return f"Try a blade of {doubt.limit}, the limit itself: whether it goes settles it."


def _tries(gauge: Gauge) -> bool:
    return facts_of(gauge.kind).reads is Reads.INTERVAL and gauge.kind is not _STRIP


def _actions(errors: Sequence[Component], doubt: Doubt) -> Iterator[Action]:
    yield from _again(errors)
    yield from _between(errors)
    yield from _cooled(errors)
    for part in doubt.parts:
        several = len(doubt.parts) > 1
        yield from _with_others(part, errors, doubt.basis, several=several)


def _again(errors: Sequence[Component]) -> Iterator[Action]:
    from sparkout.judge.conformity.settle import Action, repeated

    mine = [part.source for part in errors if _is_repeat(part.source)]
    if not mine:
        return
    for times in _TIMES:
        parts = tuple(errors)
        for source in mine:
            parts = repeated(parts, source, times, "-", 1.0).components
        name = f"Read it {'three' if times == 3 else 'nine'} times more at the same place"
        if len(mine) > 1:
            name = f"Read each place {'three' if times == 3 else 'nine'} times more"
        yield Action(f"{name} and enter each reading", _MORE * (times + 1) * len(mine), parts)


def _is_repeat(source: str) -> bool:
    # a place has to be said for its readings to count as repeats (engine.repeats)
    rest = source.removeprefix("repeatability, ")
    return rest != source and ", " in rest and not rest.startswith("zero of ")


def _between(errors: Sequence[Component]) -> Iterator[Action]:
    from sparkout.judge.conformity.settle import replaced

    blades = [part for part in errors if part.source.startswith("blades")]
    if blades:
        halved = tuple(
            Component(f"{part.source}, between", part.u / 2, part.shape) for part in blades
        )
        sources = [part.source for part in blades]
        yield replaced(errors, sources, halved, "Try the blades in between", _BLADES * len(blades))


def _cooled(errors: Sequence[Component]) -> Iterator[Action]:
    from sparkout.judge.conformity.settle import without

    warm = [part.source for part in errors if part.source.startswith(_HEATED)]
    if warm:
        name = "Let part and gauge lie side by side overnight at 20 °C, and read it again"
        yield without(errors, warm, name, _HEAT)


def _with_others(
    part: Part, errors: Sequence[Component], basis: Basis, *, several: bool
) -> Iterator[Action]:
    """Every other gauge of the shop that reads this size, in place of what it was read with."""
    from sparkout.judge.conformity.settle import Action

    known = BY_NAME[part.key.characteristic]
    # another gauge is no cooler: heat stays
    own = {item.source for item in part.errors if not item.source.startswith(_HEATED)}
    used = {name for source in own if (name := gauge_of(source))}
    present = tuple(item for item in part.errors if item.source in own)
    assumed = part.size.how in (How.ASSUMED, How.STALE)
    rest = [item for item in errors if item.source not in own]
    for gauge in basis.gauges.gauges:
        if gauge.held or gauge.measures != known.dimension or gauge.id in used:
            continue
        if not _suits(gauge, known.gauge, (basis.gauges.gauge(name) for name in used)):
            continue
        reading = BenchReading("the next reading", part.size.low.value)
        usual = [m for name in gauge.set_by if (m := basis.gauges.master(name)) is not None]
        ring = min(usual, key=lambda m: abs(m.size - reading.value), default=None)
        fresh = [
            item.scaled(float(part.weight)) for item in reading_components(gauge, reading, ring)
        ]
        if Estimate(Fraction(0), tuple(fresh)).u >= Estimate(Fraction(0), present).u:
            continue  # a gauge that is no better settles by luck alone
        what = str(part.key) if several else "it"
        verb = "Measure" if assumed else "Read"
        name = f"{verb} {what} {'' if assumed else 'again '}with {gauge.id}"
        yield Action(name, _MATE if assumed else _OTHER, combine((*rest, *fresh)))


def _suits(gauge: Gauge, usual: str, used: Iterable[Gauge | None]) -> bool:
    """Whether a gauge reads such a size: one of the usual kind, or of the kind it was read with."""
    kind = str(gauge.kind)
    if kind in usual or (gauge.called and gauge.called in usual):
        return True
    if any(usual.startswith(short) and gauge.kind is kind for short, kind in _SHORT):
        return True
    for other in used:
        if other is not None and other.kind is gauge.kind and other.called == gauge.called:
            return True
    return False


def parts_of(
    terms: Sequence[tuple[Fraction, Key]], sizes: Mapping[Key, Dimension], *, low_end: bool
) -> tuple[Part, ...]:
    """The sizes of a fit with their errors at the end in doubt.

    The lowest value takes the low end of what adds and the high end of what takes away.

    terms: weights and sizes of the fit [-].
    sizes: what is known, by feature and characteristic [unit of the characteristic].
    low_end: whether the lowest value is in doubt, else the highest [-].
    Returns the parts; a size that is not known has none [unit of the fit].
    Holds for linear fits.
    Source: interval arithmetic.

    >>> parts_of((), {}, low_end=True)
    ()
    """
    parts = []
    for weight, key in terms:
        size = sizes.get(key)
        if size is None:
            continue
        end = size.low if (weight > 0) == low_end else size.high
        errors = tuple(item.scaled(float(weight)) for item in end.components)
        parts.append(Part(key, weight, size, errors))
    return tuple(parts)

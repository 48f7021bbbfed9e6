"""What is still to be read on an engine, and the law that each of it follows.

The limits of a data sheet say what is read: single sizes, the sizes that derived ones come from,
and the parts of every fit. A law comes from the sheet's priors, from the family's history, or from
a rule of thumb on the sheet's own limits, in that order; the first that speaks of it counts, but
history of three engines or more goes before a sheet's prior.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Key
from sparkout.engine.state import State
from sparkout.fits import FITS, Instance
from sparkout.forecast.case import Case
from sparkout.forecast.history import by_history
from sparkout.forecast.laws import Law, by_range, chance_law
from sparkout.forecast.thumb import ALIKE, CUT, CUT_AWAY, FAILS, SCATTER, THUMB, WORN
from sparkout.judge.checks import Check
from sparkout.sheet.model import Bounds, Limit, PriorSpec

__all__ = ["Unread", "law_of", "unread"]

# Read as they stand, though the trade can also work them out.
_READ = ("end play", "valve lash")


@dataclass(frozen=True, slots=True)
class Unread:
    """One characteristic of one feature that nobody has read yet, and its law."""

    key: Key
    law: Law

    @property
    def test(self) -> bool:
        return BY_NAME[self.key.characteristic].derive is Derive.TEST


def unread(case: Case, state: State) -> tuple[tuple[Unread, ...], tuple[Key, ...]]:
    """What is still to be read and has a law; and what has none: no forecast speaks of it."""
    laws = _Laws(case)
    found: dict[Key, Unread] = {}
    lawless: dict[Key, None] = {}
    for check in case.checks:
        for asked in _of(check.instance, state):
            key = _read_at(case, asked)
            if key in state.sizes or key in found:
                continue
            law = laws.of(key)
            if law is None:
                lawless[key] = None
            else:
                found[key] = Unread(key, law)
    return tuple(found.values()), tuple(key for key in lawless if key not in found)


def law_of(case: Case, key: Key) -> Law | None:
    """The law of one characteristic of one feature."""
    return _Laws(case).of(key)


def _read_at(case: Case, key: Key) -> Key:
    """Where a size is read: the deck over a bore is in line with both ends of its deck."""
    if key.feature.startswith("deck at bore "):
        bank = case.frame.bank_of(int(key.feature.rsplit(" ", 1)[-1]))
        return Key(f"deck{case.frame.bank_suffix(bank)}", key.characteristic)
    return key


def _of(instance: Instance, state: State) -> Iterable[Key]:
    for _, inner in instance.inner:
        yield from _of(inner, state)
    if instance.key in state.sizes:
        return
    if instance.name in FITS and (
        instance.by_change or instance.constant is None or instance.name in _READ
    ):
        if instance.name in BY_NAME:
            yield instance.key
        if instance.name == "end play":
            yield Key("crankshaft", "thrust washer thickness")
        return
    for _, key in instance.terms:
        if key.characteristic in BY_NAME:
            known = BY_NAME[key.characteristic]
            if known.basis and known.derive is not Derive.FIT:
                yield Key(key.feature, known.basis)
            elif known.derive is not Derive.FIT or key.characteristic not in FITS:
                yield key


class _Laws:
    """Laws as they are asked for; where a size starts can hang on where others start."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.frame = case.frame
        self.history = by_history(case.history)
        self.fits: dict[Key, list[Check]] = {}
        for check in case.checks:
            if not check.instance.inner and len(check.instance.terms) > 1:
                for _, key in check.instance.terms:
                    self.fits.setdefault(key, []).append(check)

    def of(self, key: Key) -> Law | None:
        known = BY_NAME[key.characteristic]
        limit = self.limit(key)
        prior = self.prior(key)
        if known.derive is Derive.TEST:
            return self._test(key, prior)
        start = self.start(key)
        if start is None:
            return None
        floor = 0.0 if known.derive is Derive.GAP or known.basis else -math.inf
        alike = ALIKE if known.wears else 0.0
        if prior is not None and prior.alike is not None:
            alike = float(prior.alike)
        past = self.history.get(key.characteristic)
        way = known.wears or 1
        law = None if past is None else past.law(start, way, floor)
        if law is not None:
            return law
        if prior is not None and prior.found is not None:
            low, high = prior.found.low, prior.found.high
            assert low is not None
            assert high is not None
            return by_range(
                start, way, float(low), float(high), prior.source or THUMB,
                thumb=not prior.source, alike=alike, floor=floor,
            )  # fmt: skip
        ends = self._by_thumb(key, limit, start)
        if ends is None:
            return None
        return by_range(start, way, *ends, THUMB, thumb=True, alike=alike, floor=floor)

    def _test(self, key: Key, prior: PriorSpec | None) -> Law:
        past = self.history.get(key.characteristic)
        chance = None if past is None else past.fails()
        if chance is not None:
            return chance_law(chance, past.source if past else "", thumb=False, alike=0.0)
        if prior is not None and prior.fails is not None:
            alike = float(prior.alike or 0)
            source = prior.source or THUMB
            return chance_law(float(prior.fails), source, thumb=not prior.source, alike=alike)
        return chance_law(FAILS, THUMB, thumb=True, alike=0.0)

    def limit(self, key: Key) -> Limit | None:
        feature = self.frame.feature(key.feature)
        return self.case.sheet.limit_for(
            key.characteristic, feature.tags if feature is not None else ()
        )

    def prior(self, key: Key) -> PriorSpec | None:
        feature = self.frame.feature(key.feature)
        priors = self.case.sheet.priors
        for tag in feature.tags if feature is not None else ():
            for prior in priors.values():
                if prior.qualifier == tag and prior.characteristic == key.characteristic:
                    return prior
        return priors.get(key.characteristic)

    # Where a size starts ---------------------------------------------------------------------

    def start(self, key: Key) -> float | None:
        """As new: from its limit, the sheet's geometry, the part as sold, or the fit it is in."""
        known = self._stated(key)
        return self._by_fit(key) if known is None else known

    def _stated(self, key: Key) -> float | None:
        known = BY_NAME.get(key.characteristic)
        if known is None or key.characteristic == "liner shim thickness":
            return 0.0
        limit = self.limit(key)
        if limit is not None:
            start = _start(limit, known.wears, known.derive)
            if start is not None:
                return start
        figure = self.case.sheet.geometry.get(key.characteristic)
        if figure is not None:
            return float(figure)
        sold = self._sold(key)
        if sold is None and known.derive is Derive.GAP:
            return 0.0
        return sold

    def _sold(self, key: Key) -> float | None:
        """Middle of what a standard part of this kind brings."""
        feature = self.frame.feature(key.feature)
        bore = self.case.sheet.geometry.get("bore")
        for part in self.case.sheet.parts:
            bounds = part.sizes.get(key.characteristic)
            if bounds is None or bounds.low is None or bounds.high is None:
                continue
            over = part.undersize or (part.for_bore is not None and part.for_bore != bore)
            wrong = part.fits and feature is not None and part.fits not in feature.tags
            if not over and not wrong:
                return float(bounds.middle)
        return None

    def _by_fit(self, key: Key) -> float | None:
        """What makes a fit as its limit asks for new.

        Where nothing is known of two of its sizes only their difference counts: the last of them
        stands at zero.
        """
        for check in self.fits.get(key, ()):
            new = check.limit.new or check.limit.service
            instance = check.instance
            if new is None or new.low is None or new.high is None:
                continue
            if instance.constant is None or instance.by_change:
                continue
            starts = {other: self._stated(other) for _, other in instance.terms}
            open_ = [other for other, start in starts.items() if start is None]
            if len(open_) > 2:
                continue
            if len(open_) == 2 and key == open_[-1]:
                return 0.0
            total = float(new.middle - instance.constant)
            total -= sum(float(w) * (starts[k] or 0.0) for w, k in instance.terms if k != key)
            own = sum(float(w) for w, k in instance.terms if k == key)
            if own:
                return total / own
        return None

    # Rules of thumb --------------------------------------------------------------------------

    def _by_thumb(self, key: Key, limit: Limit | None, start: float) -> tuple[float, float] | None:
        """Ends of the range eight engines in ten lie in, by the limits of the sheet."""
        known = BY_NAME[key.characteristic]
        if known.wears:
            room = None if limit is None else _room(limit, known.wears, start)
            share = 1.0
            if room is None:
                room, share = self._fit_room(key)
            if not room:
                return None
            parts = CUT if key.characteristic in CUT_AWAY else WORN
            ends = [start + known.wears * part * room * share for part in parts]
            return min(ends), max(ends)
        bounds = None if limit is None else limit.side("service")
        if bounds is not None and bounds.low is not None and bounds.high is not None:
            half = SCATTER * float(bounds.high - bounds.low) / 2
            middle = float(bounds.middle)
            return middle - half, middle + half
        if bounds is not None and bounds.high is not None and known.derive is Derive.GAP:
            return WORN[0] * float(bounds.high), SCATTER * float(bounds.high)
        room, share = self._fit_room(key)
        if not room:
            return None
        return start - SCATTER * room * share / 4, start + SCATTER * room * share / 4

    def _fit_room(self, key: Key) -> tuple[float | None, float]:
        """The room of the fit a size is in, and its share where several sizes use it up."""
        for check in self.fits.get(key, ()):
            new, service = check.limit.new, check.limit.service
            if new is None or new.low is None or new.high is None:
                continue
            last = new if service is None else service
            width = float(new.high - new.low)
            room = width if last.high is None else float(last.high - new.middle)
            weight = next(abs(float(w)) for w, k in check.instance.terms if k == key)
            return max(room, width / 2), 1.0 / (len(check.instance.terms) * weight)
        return None, 1.0


def _start(limit: Limit, wears: int, derive: Derive) -> float | None:
    new = limit.new
    if new is not None and new.low is not None and new.high is not None:
        return float(new.middle)
    if derive is Derive.GAP or derive in (Derive.OUT_OF_ROUND, Derive.TAPER, Derive.SPREAD):
        return 0.0
    if new is not None:
        end: Bounds = new
        only = end.low if end.low is not None else end.high
        if only is not None and end.high is None:
            return float(only)
    service = limit.service
    if not wears and service is not None and service.low is not None and service.high is not None:
        return float(service.middle)
    if limit.new is not None and limit.new.low is None and limit.new.high is not None:
        return 0.0
    return None


def _room(limit: Limit, wears: int, start: float) -> float | None:
    """What wear may use up before the last limit of a characteristic."""
    for bounds in (limit.service, limit.new):
        if bounds is None:
            continue
        end = bounds.high if wears > 0 else bounds.low
        if end is not None:
            room = wears * (float(end) - start)
            if room > 0:
                return room
    return None


def sources(rows: Iterable[Unread]) -> Mapping[str, tuple[str, ...]]:
    """For every source of a law, the characteristics it speaks for."""
    found: dict[str, dict[str, None]] = {}
    for row in rows:
        found.setdefault(row.law.source, {})[row.key.characteristic] = None
    return {source: tuple(names) for source, names in found.items()}

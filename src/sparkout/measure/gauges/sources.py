"""The names of sources of uncertainty: one error, one name, and what a name tells a reader.

A component carries where it comes from in its name, so that whatever is worked out from a reading
still says that no gauge was named, or that a certificate had expired.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType

from sparkout.measure.estimate import Component, Shape

__all__ = [
    "NOTHING_KNOWN",
    "expired",
    "gauge_of",
    "marks_of",
    "proves_nothing",
    "thumb_component",
    "unknown_component",
]

# Half-width in the base unit of a reading of which nothing is known: more than anything an engine
# has of that quantity, so that no limit is ever proven by it, whatever the decision rule.
NOTHING_KNOWN: Mapping[str, float] = MappingProxyType(
    {"length": 1000.0, "ratio": 20.0, "volume": 1e6, "mass": 1e6, "force": 1e5, "pressure": 100.0}
)
_OTHERWISE = 1000.0

_EXPIRED = re.compile(r"^(?P<name>.+) calibration, expired (?P<on>\d{4}-\d\d-\d\d)$")
_THUMB = re.compile(r"^rule of thumb (?P<what>.+?): (?P<why>.+?) \| ")
_UNKNOWN = "nothing known of the error: "
_ROOT3 = 3.0**0.5


def gauge_of(source: str) -> str:
    """The gauge or master whose calibration a source is, empty for another kind of source.

    The name before `calibration`, with or without the day it expired.

    source: name of a component [-].
    Returns the name [-].
    Holds for sources named by this package.
    Source: our own rule.

    >>> gauge_of("OM-2 calibration"), gauge_of("OM-2 calibration, expired 2026-03-01")
    ('OM-2', 'OM-2')
    >>> gauge_of("resolution, bore 2")
    ''
    """
    late = _EXPIRED.match(source)
    if late is not None:
        return late["name"]
    return source.removesuffix(" calibration") if source.endswith(" calibration") else ""


def expired(parts: Sequence[Component], name: str, on: str) -> tuple[Component, ...]:
    """Components with the calibration of a gauge marked as expired.

    The same component under a name that says so.

    parts: components of a reading [any unit].
    name: of the gauge or master [-].
    on: last day of its certificate [-], as 2026-03-01.
    Returns the components [unit of the reading].
    Holds for components named by this package.
    Source: our own rule.

    >>> expired((Component("OM-2 calibration", 0.001),), "OM-2", "2026-03-01")[0].source
    'OM-2 calibration, expired 2026-03-01'
    """
    plain = f"{name} calibration"
    return tuple(
        Component(f"{plain}, expired {on}", part.u, part.shape, part.dof)
        if part.source == plain
        else part
        for part in parts
    )


def thumb_component(half_width: Fraction | float, shown: str, why: str, reading: str) -> Component:
    """Error of a reading taken at a rule of thumb of the shop.

    u = a/√3: anywhere within ± a is equally likely.

    half_width: how far the reading may be off either way, a [unit of the reading], above zero.
    shown: the half-width in words with what it is for [-], such as "± 0.02 mm for length".
    why: why the rule is used [-], such as "no gauge named".
    reading: name of the reading, unlike that of any other [-].
    Returns the component [unit of the reading].
    Holds for errors of different readings taken as independent.
    Source: JCGM 100:2008 (GUM), 4.3.7.
    Raises ValueError naming a half-width that is not above zero.

    >>> part = thumb_component(0.03, "± 0.03 mm for length", "no gauge named", "bore 2 top")
    >>> round(part.u, 4), marks_of((part,))
    (0.0173, ('no gauge named: taken as good to ± 0.03 mm for length, a rule of thumb',))
    """
    if not half_width > 0:
        raise ValueError(f"half-width {half_width} of a rule of thumb is not above zero")
    source = f"rule of thumb {shown}: {why} | {reading}"
    return Component(source, float(half_width) / _ROOT3, Shape.RECTANGULAR)


def unknown_component(why: str, reading: str, quantity: str = "length") -> Component:
    """Error of a reading of which nothing is known: so large that it proves nothing.

    Half-width 1000 mm for a length; for others as much more than any value they have.

    why: what is not known [-], such as "no gauge named".
    reading: name of the reading [-].
    quantity: what was read [-], "length" or another.
    Returns the component [unit of the reading].
    Holds for any reading; no limit is ever held or broken by it with any probability asked for.
    Source: our own rule: a reading with no gauge is never taken as perfect.

    >>> proves_nothing((unknown_component("no gauge named", "bore 2 top"),))
    True
    """
    half = NOTHING_KNOWN.get(quantity, _OTHERWISE)
    return Component(f"{_UNKNOWN}{why} | {reading}", half / _ROOT3, Shape.RECTANGULAR)


def proves_nothing(parts: Sequence[Component]) -> bool:
    """Whether one of the errors is not known at all.

    By the name of its source.

    parts: components of a value [any unit].
    Returns whether one is of that kind [-].
    Holds for components named by this package.
    Source: our own rule.

    >>> proves_nothing((Component("OM-2 calibration", 0.001),))
    False
    """
    return any(part.source.startswith(_UNKNOWN) for part in parts)


def marks_of(parts: Sequence[Component]) -> tuple[str, ...]:
    """What must be said wherever a value with these errors is shown.

    One clause for each rule of thumb, each expired certificate and each error not known, without
    the reading's own name.

    parts: components of a value [any unit].
    Returns the clauses, each once [-].
    Holds for components named by this package.
    Source: our own rule.

    >>> marks_of((Component("OM-2 calibration, expired 2026-03-01", 0.001),))
    ('the certificate of OM-2 expired on 2026-03-01',)
    """
    found: dict[str, None] = {}
    for part in parts:
        late = _EXPIRED.match(part.source)
        if late is not None:
            found[f"the certificate of {late['name']} expired on {late['on']}"] = None
            continue
        thumb = _THUMB.match(part.source)
        if thumb is not None:
            words = f"{thumb['why']}: taken as good to {thumb['what']}, a rule of thumb"
            found[words] = None
        elif part.source.startswith(_UNKNOWN):
            why, _, _ = part.source.removeprefix(_UNKNOWN).partition(" | ")
            found[f"{why}, so nothing is proven by it"] = None
    return tuple(found)

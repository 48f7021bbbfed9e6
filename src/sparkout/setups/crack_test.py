"""Crack testing a crankshaft or a rod: what to do in which order, where to look, what to leave.

Sources: AC 43.13-1B, 5-41, 5-48 and 5-51, with table 5-5 for what hides a crack (parts read in a
stored copy); TM 5-3895-346-14, crankshaft, inspection for cracks (read in a stored copy). What is
in neither is common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from sparkout.mechanics.materials import Material
from sparkout.plan.order import Step
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups.record import SetUp

__all__ = ["crack_test"]

PARTICLES = "crack-test by magnetic particles"
PENETRANT = "crack-test by penetrant"

_MAGNETIC = ("grey iron", "ductile iron", "steel")

_WHERE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "crankshaft": (
            "Look at every fillet all the way round, the edge of every oil hole, keyways, threaded "
            "holes and the flange; on ground journals for fine lines close together: grinding "
            "cracks.",
        ),
        "rod": (
            "Look all over: seats and holes of the bolts, both eyes, flanks and edges of the beam, "
            "and where it was bent back; the cap likewise.",
            "For cracks that leave the eyes put a bar through each and the current through the "
            "bar.",
        ),
    }
)
_VERDICT: Mapping[str, str] = MappingProxyType(
    {
        "crankshaft": (
            "A crack that starts at an oil hole and runs at 45° to the axis rejects the shaft "
            "(TM 5-3895-346-14); one in a fillet likewise, and any other unless the maker allows "
            "it (common practice)."
        ),
        "rod": "A crack of any length rejects the rod (common practice).",
    }
)

_BY_PARTICLES = (
    "Clean: off with oil, scale and paint, dry it; plug oil holes so that no powder stays in them.",
    "Magnetise round it: current through the part from end to end, firm clean contact so that "
    "nothing burns. Flow the particles over it while the current is on; look. It shows cracks "
    "along the part.",
    "Demagnetise. Magnetise along it: a coil over its whole length, particles and look again. It "
    "shows cracks across the part. Along comes last: only that field can be read with a meter.",
    "Mark each indication, wipe it and try again: a crack comes back, a scratch does not. Enter "
    "length, direction and place, with a photograph.",
)
_LEAVE_NO_FIELD = (
    "Demagnetise and verify: field meter at ends, fillets and oil holes, or a clip on a thread "
    "that no longer leans to it. Limit by the shop's own procedure.",
    "Wash: plugs out, brush and flush every oil passage until it runs clear, dry, oil against "
    "rust.",
)
_BY_PENETRANT = (
    "Clean: off with oil, scale and paint, dry it. No blasting and no wire brush: they smear the "
    "metal over a crack.",
    "Penetrant on, and time to creep in as its maker says. Wipe the rest off with a cloth; spray "
    "no cleaner on the part, it washes the crack out too.",
    "A thin coat of developer, wait as its maker says, look under the light it needs. It shows "
    "only cracks that are open at the surface.",
    "Mark each indication; enter length, direction and place, with a photograph.",
    "Wash: developer and penetrant off, passages flushed, dry.",
)
_UNSAID = (
    "Metal not said, iron or steel taken: what a magnet does not hold to (aluminium, titanium, "
    "bronze, some steels) is tested by penetrant instead."
)
_SOURCE = "AC 43.13-1B, 5-41 to 5-51 and table 5-5; TM 5-3895-346-14; the rest common practice"


def crack_test(part: str, metal: Material | None = None) -> SetUp:
    """How one part is tested for cracks, from the first cleaning to the last wash.

    Iron and steel by magnetic particles, magnetised in two directions, since a field shows only
    cracks that lie across it; other metals by penetrant.

    part: `crankshaft` or `rod` [-].
    metal: what it is made of, from `mechanics.materials`, or None where nobody said [-].
    Returns the set-up: no numbers, what to do as notes in their order, where to look.
    Holds for bare parts; who may test and judge is the law's, the class's or the maker's word.
    Source: AC 43.13-1B, 5-41, 5-48, 5-51 and table 5-5; TM 5-3895-346-14, inspection for cracks;
    the rest is common practice.
    Raises ValueError for another part.

    >>> from sparkout.mechanics.materials import material
    >>> crack_test("rod").kind, crack_test("rod", material("aluminium 6061")).kind
    ('crack-test by magnetic particles', 'crack-test by penetrant')
    """
    if part not in _WHERE:
        raise ValueError(f"part is {part!r}; it has to be one of {', '.join(_WHERE)}")
    magnetic = metal is None or metal.name.startswith(_MAGNETIC)
    if magnetic:
        steps: tuple[str, ...] = (*_BY_PARTICLES, _VERDICT[part], *_LEAVE_NO_FIELD)
    else:
        steps = (*_BY_PENETRANT[:-1], _VERDICT[part], _BY_PENETRANT[-1])
    notes = tuple(f"{place}. {text}" for place, text in enumerate(steps, 1))
    unsaid = (_UNSAID,) if metal is None else ()
    return SetUp(
        PARTICLES if magnetic else PENETRANT,
        features=(part,),
        looks=_WHERE[part] if magnetic else _WHERE[part][:1],
        notes=(*unsaid, *notes, f"By {_SOURCE}."),
        source=_SOURCE,
    )


def crack_testing(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One for all parts of the step: they are tested alike."""
    part = step.operation.removeprefix("crack-test ")
    grade = look.grade(part)
    made = crack_test(part, None if isinstance(grade, Missing) else grade)
    return (replace(made, features=step.features),)

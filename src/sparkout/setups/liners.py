"""Fitting dry liners: how tight each is in its own bore, how far it will stand out and close in.

Source: common practice; the share by which a fitted liner closes is the data sheet's.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import given, total, worked_out
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made, present
from sparkout.setups.number import Number, Plain
from sparkout.setups.pressing import press_in
from sparkout.setups.record import SetUp

__all__ = ["fit_liner"]

KIND = "fit a liner"


def fit_liner(
    outside: Plain,
    parent_bore: Plain,
    outside_least: Plain | None = None,
    parent_most: Plain | None = None,
    flange: Plain | None = None,
    shim: Plain = 0,
    ledge: Plain | None = None,
    least_protrusion: Plain | None = None,
    most_protrusion: Plain | None = None,
    inside: Plain | None = None,
    closing: Plain | None = None,
    press: dict[str, Any] | None = None,
) -> SetUp:
    """How one liner goes into its parent bore, where it sits, and what its bore becomes.

    fit and force after `press_in`; stands out = flange + shim − ledge; bore closes by a share of
    the interference.

    outside: largest outside diameter of the liner [mm], above zero.
    parent_bore: smallest diameter of the parent bore [mm], above zero.
    outside_least: smallest outside diameter [mm], or None when there is one reading.
    parent_most: largest diameter of the parent bore [mm], or None when there is one reading.
    flange: thickness of the flange [mm], or None for a liner without.
    shim: under the flange [mm], zero or more.
    ledge: depth of the ledge from the deck as it will be [mm], or None.
    least_protrusion: smallest allowed [mm], or None.
    most_protrusion: largest allowed [mm], or None.
    inside: bore of the liner, free [mm], or None.
    closing: share of the interference that comes off a fitted bore [-], or None.
    press: what else `press_in` takes [-], or None.
    Returns the set-up: fit, force, protrusion seated, bore when settled.
    Holds for finished liners; a rough one is bored after it has settled.
    Source: common practice; `press_in` names its own.
    Raises ValueError naming the number when it is out of range.

    >>> made = fit_liner(104.014, 104.009, flange=10.035, ledge=9.99, press={"holds": False})
    >>> float(made.number("stands out when seated").value)
    0.045
    """
    set_up = press_in(outside, parent_bore, outside_least, parent_most, **(press or {}))
    numbers: list[Number] = list(set_up.numbers)
    if flange is not None and ledge is not None:
        under = given(shim, "shim")
        top = given(flange, "flange") + under if under.counts else given(flange, "flange")
        stack = top - given(ledge, "ledge")
        low, high = (
            None if end is None else given(end, "").value
            for end in (least_protrusion, most_protrusion)
        )
        seated = total("stands out when seated", stack, Sense.AXIAL)
        numbers.append(seated.held(low, high, "limit" if low is not None else ""))
    if inside is not None and closing is not None:
        free, share = given(inside, "free bore"), given(closing, "closes by", "ratio")
        tight = numbers[1] if len(numbers) > 1 and numbers[1].label.startswith("interf") else None
        most = (tight or numbers[0]).given("interference")
        if most.value > 0:
            shrinks = worked_out(most * share, "closing")
            numbers.append(total("bore when settled, least", free - shrinks, Sense.DIAMETRAL))
        else:
            numbers.append(total("bore when settled, least", free, Sense.DIAMETRAL))
    return replace(
        set_up,
        kind=KIND,
        numbers=tuple(numbers),
        looks=(
            "Fit one, seat it at force, let it settle, measure, compare; only then the rest.",
            *set_up.looks,
        ),
    )


def fitting_liners(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each liner with its own parent bore."""
    fit = look.limit("liner fit")
    bounds = None if fit is None else fit.side("new")
    stands = look.new_bounds("liner protrusion")
    loose = bounds is not None and bounds.low is not None and bounds.low < 0
    found = []
    for bore in step.features:
        number = bore.rsplit(" ", 1)[-1]
        liner, parent = f"liner {number}", f"parent bore {number}"
        flanged = look.frame.cylinder_kind.flanged
        shim = look.planned(liner, "liner shim thickness")
        closing = look.nominal("liner closing", "closes by")
        press = {
            "holds": not loose,
            "least_interference": None if bounds is None else bounds.low,
            "most_interference": None if bounds is None else bounds.high,
            "length": present(look.known("liner length", bore)),
            "part_inside": present(look.planned(liner, "liner inside diameter")),
            "wall_outside": present(look.known("block wall outside diameter", bore)),
            "part_grade": present(look.grade("liner")),
            "wall_grade": present(look.grade("block")),
            "friction": look.bench.friction,
            "system": look.system,
        }
        wanted: dict[str, Any] = {}
        if flanged:
            wanted = {
                "flange": look.planned(liner, "liner flange thickness", "middle"),
                "ledge": look.planned(f"ledge {number}", "ledge depth"),
            }
        inside = look.planned(liner, "liner inside diameter", "low")
        if not isinstance(inside, Missing) and not isinstance(closing, Missing):
            wanted |= {"inside": inside, "closing": closing}
        found.append(
            made(
                KIND,
                fit_liner,
                (bore, liner),
                {
                    "outside": look.planned(liner, "liner outside diameter", "high"),
                    "parent_bore": look.planned(parent, "parent bore diameter", "low"),
                },
                wanted,
                {
                    "outside_least": present(look.planned(liner, "liner outside diameter", "low")),
                    "parent_most": present(look.planned(parent, "parent bore diameter", "high")),
                    "shim": 0 if isinstance(shim, Missing) or not shim.value else shim,
                    "least_protrusion": None if stands is None else stands.low,
                    "most_protrusion": None if stands is None else stands.high,
                    "press": press,
                },
            )
        )
    return tuple(found)

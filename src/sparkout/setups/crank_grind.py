"""Grinding a journal: size, stock on the side that is worn least, throw, fillet, wheel, clean-up.

Source: common practice: the throw is indicated on the least-worn part of the pin, so the stock per
side is half of what the largest reading stands above the target; the worst journal goes first.
"""

from __future__ import annotations

from fractions import Fraction

from sparkout.engine.characteristics import Sense
from sparkout.plan.order import Step
from sparkout.setups._build import above_zero, given, not_below_zero, plain, total
from sparkout.setups._lookup import Lookup, Missing
from sparkout.setups._making import made, present
from sparkout.setups._practice import Cuts, passes_by_habit
from sparkout.setups.number import Given, Number, Plain
from sparkout.setups.record import SetUp

__all__ = ["grind_journal"]

KIND = "grind a journal"
_COARSE = Fraction(1, 10)


def grind_journal(
    largest: Plain,
    target: Plain,
    clean_up: Plain | None = None,
    polish_stock: Plain = 0,
    stroke: Plain | None = None,
    fillet_least: Plain | None = None,
    fillet_most: Plain | None = None,
    width: Plain | None = None,
    housing: Plain | None = None,
    shell_wall: Plain | None = None,
    least_clearance: Plain | None = None,
    most_clearance: Plain | None = None,
    index: Plain | None = None,
    hold: Fraction | None = None,
    system: str = "mm",
    cuts: Cuts | None = None,
) -> SetUp:
    """Everything dialled in for one journal of a crankshaft.

    grind to = target + polish stock; stock per side = (largest − grind to) ÷ 2; throw = stroke ÷ 2;
    to spare = clean-up − target; oil clearance = housing − 2 × wall − target.

    largest: largest diameter of the journal now, where it is worn least [mm], above zero.
    target: finished diameter, polished [mm], above zero.
    clean_up: largest diameter at which it cleans up on its old centre [mm], or None.
    polish_stock: left on diameter for polishing [mm], zero or more.
    stroke: of the engine, for a rod journal [mm], or None.
    fillet_least: smallest fillet radius allowed [mm], or None.
    fillet_most: largest fillet radius allowed [mm], or None.
    width: of the journal between the webs [mm], or None.
    housing: bore the shells go in [mm], or None.
    shell_wall: of the shell in hand [mm], or None.
    least_clearance: smallest oil clearance allowed [mm], or None.
    most_clearance: largest oil clearance allowed [mm], or None.
    index: angle of this throw from the first [°], or None.
    hold: how well the grinder hits its size, either way [mm], or None.
    system: `mm` or `inch`, for depths of cut of common practice [-].
    cuts: the shop's own depths of cut, or None for common practice [-].
    Returns the set-up: size, stock, clean-up, throw, fillet, widest wheel, oil clearance, passes.
    Holds for a shaft straight before grinding and cracked nowhere.
    Source: common practice; AC 43.13-1B: fillet radii are not to be reduced.
    Raises ValueError when the journal does not clean up or there is nothing to grind, naming it.

    >>> made = grind_journal(64.988, 64.740, clean_up=64.902, polish_stock=0.008)
    >>> [float(made.number(n).value) for n in ("stock per side, least-worn part", "to spare")]
    [0.12, 0.162]
    """
    now, aim = given(largest, "largest now"), given(target, "finished size")
    polish = given(polish_stock, "left for polishing")
    above_zero(largest=now, target=aim)
    not_below_zero(polish_stock=polish)
    finish = total("finished, polished", aim, Sense.DIAMETRAL)
    ground = total("grind to", aim + polish if polish.value else aim, Sense.DIAMETRAL)
    side = total("stock per side, least-worn part", (now - ground.given("grind to")) / 2,
                 Sense.RADIAL)  # fmt: skip
    if side.value <= 0:
        raise ValueError(
            f"largest is {float(now.value):.6g} mm, not above the size to grind to, "
            f"{float(ground.value):.6g} mm: nothing to grind; it has to be a smaller undersize"
        )
    numbers: list[Number] = [
        ground,
        finish.within(hold, "as well as the grinder hits"),
        side,
    ]
    if clean_up is not None:
        clean = given(clean_up, "cleans up at")
        spare = total("to spare", clean - aim, Sense.DIAMETRAL)
        if spare.value < 0:
            raise ValueError(
                f"clean_up is {float(clean.value):.6g} mm, below the target of "
                f"{float(aim.value):.6g} mm: it does not clean up; the next undersize is needed"
            )
        numbers.append(spare)
    numbers += _shape(stroke, fillet_least, fillet_most, width, index)
    read_first: list[str] = []
    if housing is not None and shell_wall is not None:
        gap = given(housing, "housing") - given(shell_wall, "shell wall").times(2) - aim
        oil = total("oil clearance with the shells in hand", gap, Sense.DIAMETRAL)
        low, high = plain(least_clearance), plain(most_clearance)
        numbers.append(oil.held(low, high, "" if low is None and high is None else "limit"))
    if fillet_least is None and fillet_most is None:
        read_first.append("fillet radius: the data sheet gives none; read it with radius gauges")
    if width is None:
        read_first.append("for the wheel: width of the journal between its webs")
    return SetUp(
        KIND,
        numbers=tuple(numbers),
        passes=passes_by_habit("grind journals", side.value, system, Sense.RADIAL, cuts),
        looks=("Worst journal first; a dark spot left near size means stop: no clean-up.",),
        notes=("Indicate the throw on the least-worn part of the pin. Stone the oil holes after.",),
        read_first=tuple(read_first),
    )


def _shape(
    stroke: Plain | None,
    fillet_least: Plain | None,
    fillet_most: Plain | None,
    width: Plain | None,
    index: Plain | None,
) -> list[Number]:
    """Throw, index, fillet and wheel."""
    numbers: list[Number] = []
    if stroke is not None:
        numbers.append(total("throw", given(stroke, "stroke") / 2, Sense.RADIAL))
    if index is not None:
        angle = given(index, "from the first throw", "angle", Fraction(1, 100))
        numbers.append(total("index", angle, kind="angle"))
    low, high = plain(fillet_least), plain(fillet_most)
    radius = high if low is None else low if high is None else (low + high) / 2
    if radius is not None:
        dressed = Given(radius, "middle of the fillet's limits" if low != high else "fillet",
                        step=_COARSE / 10)  # fmt: skip
        numbers.append(
            total("dress the wheel's corner to", dressed, Sense.RADIAL, step=_COARSE / 10).held(
                low, high, "fillet limit"
            )
        )
    if width is not None:
        wide = given(width, "journal width")
        numbers.append(total("widest wheel, below", wide, Sense.AXIAL, step=_COARSE))
    return numbers


def grinding(look: Lookup, step: Step) -> tuple[SetUp, ...]:
    """One set-up for each journal, the one that cleans up last first."""
    kind = step.operation.removeprefix("grind ").removesuffix("s")
    family = kind.split(" ", 1)[0]
    return tuple(
        _journal(look, step, kind, family, journal)
        for journal in sorted(step.features, key=lambda name: _to_clean(look, name, kind))
    )


def _to_clean(look: Lookup, journal: str, kind: str) -> Fraction:
    size = look.state.size(journal, f"{kind} clean-up diameter")
    return size.low.value if size is not None else Fraction(0)


def _journal(look: Lookup, step: Step, kind: str, family: str, journal: str) -> SetUp:
    feature = look.frame.feature(journal)
    number = 0 if feature is None else feature.number
    rods = look.frame.rods_on_pin[number - 1] if kind == "rod journal" else (number,)
    made_to = look.set_to(journal, f"{kind} diameter", step.operation)
    target: Given | Missing = look.aim(f"{kind} diameter", journal, "finished size")
    if made_to is not None:
        target = Given(look.to_dial(made_to.low.value), "finished size, as planned")
    holder = "rod" if kind == "rod journal" else "main housing"
    wall = look.planned(f"{family} shell {rods[0]}", f"{family} shell wall", "middle")
    housing = look.planned(f"{holder} {rods[0]}", f"{'rod' if holder == 'rod' else 'main'} housing "
                           "diameter")  # fmt: skip
    fillet, oil = look.new_bounds("fillet radius"), look.new_bounds(f"{family} oil clearance")
    pins = look.sheet.assembly.lash.pin_angles if look.sheet.assembly.lash is not None else ()
    return made(
        KIND,
        grind_journal,
        (journal,),
        {"largest": look.now(journal, f"{kind} diameter"), "target": target},
        {
            "clean_up": look.now(journal, f"{kind} clean-up diameter", "low"),
            "housing": housing,
            "shell_wall": wall,
        },
        {
            "polish_stock": look.thumb("polish stock"),
            "stroke": present(look.nominal("stroke")) if kind == "rod journal" else None,
            "index": pins[number - 1] if kind == "rod journal" and len(pins) >= number else None,
            "fillet_least": None if fillet is None else fillet.low,
            "fillet_most": None if fillet is None else fillet.high,
            "width": present(look.now(journal, f"{kind} width", "low"))
            if kind == "rod journal"
            else None,
            "least_clearance": None if oil is None else oil.low,
            "most_clearance": None if oil is None else oil.high,
            "hold": look.hold(step.operation, f"{kind} diameter"),
            "system": look.system,
            "cuts": look.own_cuts("grind journals"),
        },
    )

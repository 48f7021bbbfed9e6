"""Invented engines as models for the solver: readings drawn from a seed, tables as a planner makes.

Lengths are whole nanometres, costs whole cents, one step of a deck or head cut is 0.005 mm. Guard
bands depend on the options chosen (a measured old part and a freshly cut one differ) and add up as
the root of a sum of squares, so bounds are true tables, not sums of one number per option.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sparkout.solve import NO_BOUND, Amount, Choice, Model, Shared, Tally, Window, table, window

UM = 1000
STEP = 5 * UM
Ints = NDArray[np.int64]

UNDERSIZES = (0, 250, 500, 750, 1000)
SHELLS = (0, -3, 3)
KITS = (0, 10, 250, 500, 750, 1000, 0, 250)
KIT_CROWN = (0, 5, -20, -25, -30, -40, 10, -15)
KIT_NAMES = ("keep", "std B", "+0.25", "+0.50", "+0.75", "+1.00", "liner kit", "liner kit +0.25")
LEDGE = (0, -50, -25, 25, 50, 75, 100, 125)
GASKET_THICK = (1150, 1250, 1350, 1450)
GASKET_RANGE = ((200, 330), (300, 430), (400, 530), (500, 630))


@dataclass(frozen=True, slots=True)
class Shape:
    """What engines of one structure share."""

    layout: str = "inline"
    cylinders: int = 6
    valves: int = 4
    gasket_per_bank: bool = False
    wet_liners: bool = True

    @property
    def banks(self) -> int:
        return 2 if self.layout in ("V", "flat") and self.cylinders > 1 else 1

    @property
    def mains(self) -> int:
        return (self.cylinders if self.banks == 1 else -(-self.cylinders // 2)) + 1


def engine(shape: Shape, seed: int, tight: float = 0.0) -> Model:
    """One engine of this shape. tight from 0 (roomy) to 1: windows narrow until they bind."""
    draw = np.random.default_rng([seed, shape.cylinders, shape.valves, shape.banks])
    parts = _Parts()
    _shaft(parts, draw, "main", shape.mains, 65_000, tight, rods=False)
    _shaft(parts, draw, "pin", shape.cylinders, 53_000, tight, rods=True)
    _top(parts, draw, shape, tight)
    return parts.model()


class _Parts:
    def __init__(self) -> None:
        self.choices: list[Choice] = []
        self.amounts: list[Amount] = []
        self.windows: list[Window] = []
        self.when: dict[str, list[tuple[str, str]]] = {}
        self.tallies: list[Tally] = []

    def choice(self, name: str, options: tuple[str, ...], cost: tuple[int, ...]) -> str:
        self.choices.append(
            Choice(name, options, cost, tuple(int(k > 0) for k in range(len(options))))
        )
        return name

    def needs(self, setup: str, name: str, *options: str) -> None:
        self.when.setdefault(setup, []).extend((name, option) for option in options)

    def model(self) -> Model:
        shared = tuple(Shared(name, SETUP[name], tuple(when)) for name, when in self.when.items())
        return Model(
            tuple(self.choices),
            tuple(self.amounts),
            tuple(self.windows),
            shared,
            tuple(self.tallies),
        )


SETUP = {
    "set up grinder": 9000,
    "set up rod hone": 4000,
    "set up bush press": 2500,
    "set up straightening": 2000,
    "set up boring bar": 7000,
    "set up cylinder hone": 3000,
    "set up surfacer": 6000,
    "set up ledge cutter": 3500,
    "set up seat machine": 2500,
}


def _grid(*parts: object) -> tuple[Ints, ...]:
    """Each part along an axis of its own."""
    count = len(parts)
    return tuple(
        np.asarray(part, dtype=np.int64).reshape([-1 if k == axis else 1 for k in range(count)])
        for axis, part in enumerate(parts)
    )


def _guard(*u: object, factor: float = 1.645) -> Ints:
    """Guard band in nm from standard uncertainties in nm along their axes."""
    squares = sum(np.square(np.asarray(part, dtype=np.float64)) for part in u)
    return np.ceil(factor * np.sqrt(squares)).astype(np.int64)


def _um(values: object) -> Ints:
    return np.rint(np.asarray(values, dtype=np.float64) * UM).astype(np.int64)


def _shaft(
    parts: _Parts,
    draw: np.random.Generator,
    kind: str,
    count: int,
    nominal: int,
    tight: float,
    rods: bool,
) -> None:
    wear = draw.choice([4, 25, 90, 200], p=[0.3, 0.4, 0.2, 0.1])
    journal = _um(nominal - draw.exponential(wear, count))
    housing = _um(nominal + 4050 + draw.normal(0, 5 + 3 * tight, count))
    bad = draw.random(count) < 0.03
    sizes = tuple(f"-{u / 1000:.2f}" if u else "keep" for u in UNDERSIZES)
    grind = 2500 * count
    size = parts.choice(f"{kind} size", sizes, (0, *(grind + 300 * k for k in range(1, 5))))
    parts.needs("set up grinder", size, *sizes[1:])
    aim = f"{kind} aim"
    parts.amounts.append(Amount(aim, -8, 8))
    # Kept journals take no grinding offset.
    parts.windows.append(
        window(
            f"{aim} only when ground",
            (size,),
            (aim,),
            (1,),
            [0, -8, -8, -8, -8],
            [0, 8, 8, 8, 8],
            [
                not bad.any(),
                *((journal - 10 * UM).min() >= (nominal - u) * UM for u in UNDERSIZES[1:]),
            ],
        )
    )
    if not rods:
        line = parts.choice("saddles", ("keep", "line hone"), (0, 22_000 + 1500 * count))
    for j in range(count):
        shell = parts.choice(
            f"{kind} shell {j + 1}", ("standard", "tight", "loose"), (1400, 1500, 1500)
        )
        if rods:
            line = parts.choice(f"big end {j + 1}", ("keep", "resize"), (0, 1800))
            parts.needs("set up rod hone", line, "resize")
        clear = np.array([26, 76]) if not rods else np.array([22, 68])
        clear = clear + np.array([6, -6]) * tight
        journals = np.array([journal[j], *((nominal - u) * UM for u in UNDERSIZES[1:])])
        walls = [2 * 2000 * UM + u * UM for u in UNDERSIZES]
        # clearance = housing − 2 walls − journal (diametral); the aim is added to the journal.
        s, h, g = _grid(
            journals + walls, [housing[j], (nominal + 4050) * UM], [2 * x * UM for x in SHELLS]
        )
        us, uh, ug = _grid([1500, 900, 900, 900, 900], [1500, 1000], [500, 500, 500])
        guard = _guard(us, uh, ug)
        base = h - s - g
        parts.windows.append(
            window(
                f"{kind} clearance {j + 1}",
                (size, line, shell),
                (aim,),
                (-UM,),
                _um(clear[0]) + guard - base,
                _um(clear[1]) - guard - base,
            )
        )


def _top(parts: _Parts, draw: np.random.Generator, shape: Shape, tight: float) -> None:
    n = shape.cylinders
    bank = [i * shape.banks // n for i in range(n)]
    kit = parts.choice(
        "kit", KIT_NAMES, (0, *(9800 * n + 150 * abs(k) for k in KITS[1:6]), 21_000 * n, 21_500 * n)
    )
    gaskets = tuple(f"gasket {k + 1}" for k in range(4))
    gasket = [
        parts.choice(f"gasket {b + 1}", gaskets, (4000, 4200, 4400, 4600))
        for b in range(shape.banks if shape.gasket_per_bank else 1)
    ]
    for b in range(shape.banks):
        for part, price in (("deck", 9000), ("head", 8000)):
            surface = parts.choice(f"{part} {b + 1}", ("leave", "cut"), (0, price))
            parts.needs("set up surfacer", surface, "cut")
            parts.amounts.append(Amount(f"{part} cut {b + 1}", 0, 60, 10, 1))
            parts.windows.append(
                window(
                    f"{part} cut range {b + 1}",
                    (surface,),
                    (f"{part} cut {b + 1}",),
                    (1,),
                    [0, 10],
                    [0, 60],
                    [draw.random() > 0.4, True],
                )
            )
    wear = draw.choice([15, 60, 150])
    bore = 86_050 + draw.exponential(wear, n)
    piston_wear = draw.exponential(15, n)
    scored = draw.random(n) < 0.06
    height = 250 + draw.normal(0, 20, n) + 10 * tight
    flange = 40 + draw.normal(0, 15, n)
    work = ("leave", "hone", "bore", "new liner")
    lengths: list[tuple[tuple[str, ...], list[list[float]], list[list[float]]]] = []
    for i in range(n):
        cylinder = parts.choice(f"cylinder {i + 1}", work, (0, 2600, 5200, 14_000))
        parts.needs("set up cylinder hone", cylinder, "hone", "bore")
        parts.needs("set up boring bar", cylinder, "bore")
        parts.windows.append(
            table(
                f"bore clearance {i + 1}",
                (kit, cylinder),
                _bores(float(bore[i]), float(piston_wear[i]), bool(scored[i]), tight),
            )
        )
        bush = parts.choice(f"bush {i + 1}", ("keep", "new", "new, lower"), (0, 1600, 1900))
        parts.needs("set up bush press", bush, "new", "new, lower")
        rod = parts.choice(f"rod {i + 1}", ("leave", "straighten"), (0, 1200))
        parts.needs("set up straightening", rod, "straighten")
        parts.windows.append(table(f"rod true {i + 1}", (bush, rod), _rods(draw)))
        lengths.append(
            (
                (f"big end {i + 1}", bush, rod),
                [[0, -12], [0, float(draw.normal(0, 10)), -40], [0, float(draw.normal(8, 4))]],
                [[3, 4], [3, 4, 4], [2, 4]],
            )
        )
    for i in range(n):
        _cylinder(parts, draw, shape, tight, i, bank[i], kit, gasket, lengths[i], float(height[i]))
    if shape.wet_liners:
        for i in range(n):
            _liner(parts, i, bank[i], float(flange[i]), tight)
        for i in range(n - 1):
            if bank[i] == bank[i + 1]:
                _neighbours(parts, i, float(flange[i]), float(flange[i + 1]), tight)
    stock = 1 + n // 2 if tight < 0.5 else n // 2
    parts.tallies.append(
        Tally(
            "liners in stock",
            tuple((f"cylinder {i + 1}", "new liner", 1) for i in range(n)),
            at_most=n if n < 3 else max(stock, 1),
        )
    )
    parts.tallies.append(
        Tally(
            "valves in stock",
            tuple(
                (f"valve {i + 1}.{v + 1}", "new valve", 1)
                for i in range(n)
                for v in range(shape.valves)
            ),
            at_most=max(2, n * shape.valves // (3 if tight < 0.5 else 6)),
        )
    )


def _rods(draw: np.random.Generator) -> list[list[bool]]:
    worn, bent = draw.random() < 0.25, draw.random() < 0.15
    return [[not worn and not bent, not worn], [not bent, True], [not bent, True]]


def _bores(bore: float, worn: float, scored: bool, tight: float) -> NDArray[np.bool_]:
    """Which kit goes with which work on one cylinder (µm, diametral)."""
    allowed = np.zeros((len(KITS), 4), dtype=np.bool_)
    low, high = 30 + 4 * tight, 90 - 4 * tight
    allowed[0, 0] = not scored and low <= bore - (86_000 - worn) <= high
    allowed[0, 1] = low <= bore + 6 - (86_000 - worn) <= high
    for k, over in enumerate(KITS[1:6], start=1):
        clear = bore - (86_000 + over)
        allowed[k, 0] = False
        allowed[k, 1] = low - 15 <= clear <= high - 10 and not scored
        allowed[k, 2] = bore + 15 <= 86_000 + over + 60
        allowed[k, 3] = over < 500
    allowed[6, 3] = allowed[7, 3] = True
    return allowed


def _cylinder(
    parts: _Parts,
    draw: np.random.Generator,
    shape: Shape,
    tight: float,
    i: int,
    b: int,
    kit: str,
    gasket: list[str],
    rod: tuple[tuple[str, ...], list[list[float]], list[list[float]]],
    height: float,
) -> None:
    seal = gasket[b if shape.gasket_per_bank else 0]
    deck, head = f"deck cut {b + 1}", f"head cut {b + 1}"
    scope = (kit, *rod[0], seal)
    k, r1, r2, r3, g = _grid(_um(KIT_CROWN), *(_um(part) for part in rod[1]), _um(GASKET_THICK))
    u = _grid([4000, *[3000] * 7], *(np.multiply(part, UM) for part in rod[2]), [2000] * 4)
    stands = _um(height) + k + r1 + r2 + r3
    guard = _guard(*u)
    low = _um([a + 5 * tight for a, _ in GASKET_RANGE])
    high = _um([z - 5 * tight for _, z in GASKET_RANGE])
    parts.windows.append(
        window(
            f"piston protrusion {i + 1}",
            scope,
            (deck,),
            (STEP,),
            low + guard - stands,
            high - guard - stands,
        )
    )
    parts.windows.append(
        window(
            f"bump clearance {i + 1}",
            scope,
            (deck,),
            (-STEP,),
            _um(780 + 60 * tight) + guard - g + stands,
            NO_BOUND,
        )
    )
    # Compression volume as a height over the bore [nm]: deck takes it away, head cut 0.8 of that.
    volume = g - stands
    middle = 950 * UM
    spread = _um(220 - 90 * tight)
    parts.windows.append(
        window(
            f"compression {i + 1}",
            scope,
            (deck, head),
            (-STEP, -4 * UM),
            middle - spread + 2 * guard - volume,
            middle + spread - 2 * guard - volume + 400 * UM,
        )
    )
    for v in range(shape.valves):
        valve = parts.choice(
            f"valve {i + 1}.{v + 1}",
            ("keep", "cut", "new valve", "new seat"),
            (0, 700, 2600, 3300),
        )
        parts.needs("set up seat machine", valve, "cut", "new valve", "new seat")
        found = float(1150 + draw.normal(0, 90))
        leaks = bool(draw.random() < 0.35)
        sink, rise = float(draw.integers(20, 130)), float(draw.integers(60, 200))
        set_to = np.array([found, found + sink, found + sink - rise, 900])
        own = np.array([6.0, 8.0, 8.0, 10.0]) * UM
        # A new seat is cut after surfacing, so the head cut does not move it.
        moves = np.array([[-STEP], [-STEP], [-STEP], [0]])
        guard_valve = _guard(own)
        parts.windows.append(
            window(
                f"recession {i + 1}.{v + 1}",
                (valve,),
                (head,),
                moves,
                _um(700 + 40 * tight) + guard_valve - _um(set_to),
                _um(1300 - 40 * tight) - guard_valve - _um(set_to),
                [not leaks, True, True, True],
            )
        )
        s, o = _um(set_to), own
        guard_all = _guard(*(part[..., None] for part in u), o)
        both = np.broadcast_to(
            np.stack([np.full(4, -STEP), moves[:, 0]], axis=-1),
            (*np.broadcast_shapes(stands.shape, g.shape), 4, 2),
        )
        parts.windows.append(
            window(
                f"valve to piston {i + 1}.{v + 1}",
                (*scope, valve),
                (deck, head),
                both,
                _um(1500 + 150 * tight) + guard_all - s - (g - stands)[..., None],
                NO_BOUND,
            )
        )


def _liner(parts: _Parts, i: int, b: int, flange: float, tight: float) -> None:
    ledge = parts.choice(
        f"ledge {i + 1}",
        tuple(f"{x:+d}" if x else "keep" for x in LEDGE),
        (0, 1600, 1600, 900, 900, 950, 950, 1000),
    )
    parts.needs("set up ledge cutter", ledge, "-50", "-25")
    c, x = _grid(_um([flange, flange, flange, 60]), _um(LEDGE))
    guard = _guard(*_grid([3000, 3000, 3000, 2500], [1500, 2500, 2500, *[2000] * 5]))
    parts.windows.append(
        window(
            f"liner protrusion {i + 1}",
            (f"cylinder {i + 1}", ledge),
            (f"deck cut {b + 1}",),
            (STEP,),
            _um(20 + 8 * tight) + guard - c - x,
            _um(100 - 8 * tight) - guard - c - x,
        )
    )


def _neighbours(parts: _Parts, i: int, one: float, two: float, tight: float) -> None:
    a, x, b, y = _grid(_um([one, one, one, 60]), _um(LEDGE), _um([two, two, two, 60]), _um(LEDGE))
    parts.windows.append(
        table(
            f"liner step {i + 1} to {i + 2}",
            (f"cylinder {i + 1}", f"ledge {i + 1}", f"cylinder {i + 2}", f"ledge {i + 2}"),
            np.abs(a + x - b - y) <= _um(30 - 8 * tight),
        )
    )

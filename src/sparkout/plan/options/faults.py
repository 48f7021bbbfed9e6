"""What would leave options out, or make the plan trust a figure nobody gave: told before planning.

Sheet, shop file and supply list are sound each by itself when they get here; this is about what
they say of each other. None of it stops the work: what cannot be had is not planned with, and says
so again where it would have been chosen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType

from sparkout.engine.characteristics import BY_NAME
from sparkout.faults import Fault, Place
from sparkout.fits import FITS, Fit
from sparkout.plan.options.context import Context
from sparkout.plan.options.own import unused_operations
from sparkout.plan.options.repair_rows import LISTED, REPAIRS
from sparkout.plan.precedence import STAGES
from sparkout.sheet.model import Bounds, PartSpec
from sparkout.sheet.nearest import nearest

__all__ = ["Files", "option_faults"]


@dataclass(frozen=True, slots=True)
class Files:
    """What the files are called, so that a fault can say where to look."""

    sheet: str = "engine.yaml"
    shop: str = "shop.yaml"
    supply: str = "supply.yaml"


# Sizes without which a part of a kind cannot be planned with.
_BRINGS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "piston": ("piston skirt diameter",),
        "main shells": ("main shell wall",),
        "rod shells": ("rod shell wall",),
        "gasket": ("gasket thickness",),
        "base gasket": ("base gasket thickness",),
        "thrust washers": ("thrust washer thickness",),
        "liner": ("liner outside diameter",),
        "liner shim": ("liner shim thickness",),
        "injector washer": ("injector washer thickness",),
        "lash shim": ("lash shim",),
        "oversize valve": ("stem diameter",),
    }
)

# Sizes an operation makes: without `holds:` the plan would take them as hit exactly.
_MAKES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "align-hone mains": ("main housing diameter",),
        "line-bore mains": ("main housing diameter",),
        "grind main journals": ("main journal diameter",),
        "grind rod journals": ("rod journal diameter",),
        "grind thrust faces": ("end play",),
        "resize rod": ("rod housing diameter",),
        "re-bush rod": ("small end clearance",),
        "hone cylinder": ("bore diameter",),
        "bore parent bore": ("parent bore diameter",),
        "recut ledge": ("ledge depth",),
        "replace guide": ("stem clearance",),
        "line guide": ("stem clearance",),
        "ream guide": ("stem clearance",),
        "cut seat": ("valve recession",),
        "match rod weights": ("rod weight",),
        "match piston weights": ("piston weight",),
    }
)


def option_faults(ctx: Context, files: Files | None = None) -> tuple[Fault, ...]:
    """Every such fault of an engine, its shop and its supply; all of them warnings."""
    where = files if files is not None else Files()
    return (
        *_supplies(ctx, where),
        *_parts(ctx, where),
        *_operations(ctx, where),
        *_repairs(ctx, where),
        *_grades(ctx, where),
        *_contradictions(ctx, where),
    )


def _warn(file: str, key: str, found: str, expected: str, remedy: str = "") -> Fault:
    return Fault(Place(file, key=key), found, expected, remedy, stops=False)


def _meant(name: str, known: Iterable[str]) -> str:
    hint = nearest(name, tuple(known))
    return f"Did you mean '{hint}'?" if hint else ""


_FEW = 3  # told one by one; a job without a supply list would fill the screen


def _supplies(ctx: Context, files: Files) -> Iterator[Fault]:
    """Prices missing, stock unknown, lines for parts the sheet does not have."""
    sold = {part.name for part in ctx.sheet.parts}
    spare = [name for name in ctx.shop.supply if name not in sold]
    bare = [part.name for part in ctx.sheet.parts if part.name not in ctx.shop.supply]
    if len(bare) > _FEW:
        named = ", ".join(f"'{name}'" for name in bare[:_FEW])
        yield _warn(files.supply, "supply",
                    f"no line for {len(bare)} parts of the data sheet: {named} and "
                    f"{len(bare) - _FEW} more",
                    "their `price`, and `on hand` or `days`",
                    "Parts without a line are not planned with.")  # fmt: skip
    for part in ctx.sheet.parts:
        supply = ctx.shop.supply.get(part.name)
        if supply is None and len(bare) > _FEW:
            continue
        if supply is None:
            remedy = _meant(part.name, spare)
            yield _warn(files.supply, "supply", f"no line for '{part.name}' of the data sheet",
                        "its `price`, and `on hand` or `days`",
                        remedy or "A part without a line is not planned with.")  # fmt: skip
            continue
        key = f"supply: {part.name}"
        if supply.on_hand is None and not supply.lead_days:
            yield _warn(files.supply, key, "neither `on hand` nor `days`",
                        "how many are on the shelf, or the days to wait",
                        "Until then it is taken to be there, as many as are wanted.")  # fmt: skip
        if supply.price < 0:
            yield _warn(files.supply, key, f"a price of {float(supply.price):g}",
                        "a price of nothing or more")  # fmt: skip


def _parts(ctx: Context, files: Files) -> Iterator[Fault]:
    """Parts that do not say the size they are for."""
    for part in ctx.sheet.parts:
        for size in _BRINGS.get(part.kind, ()):
            if size not in part.sizes:
                yield _warn(files.sheet, f"parts: {part.name}", f"no `{size}` among its sizes",
                            f"the `{size}` it is sold with",
                            "An option cannot be judged by a size that nobody gave.")  # fmt: skip


def _operations(ctx: Context, files: Files) -> Iterator[Fault]:
    """Operations nothing asks for, that cost nothing, or that do not say how well they hold."""
    for name in unused_operations(ctx):
        yield _warn(files.shop, f"operations: {name}", "an operation nothing asks for",
                    "a name the program knows, or `holds:` with what it makes good",
                    _meant(name, STAGES))  # fmt: skip
    for name, rate in ctx.shop.operations.items():
        key = f"operations: {name}"
        free = rate.outside is None and rate.outside_each is None
        if free and not rate.set_up and not rate.each:
            yield _warn(files.shop, key, "no hours and no price",
                        "`each:`, `set up:` or `outside:`",
                        "The plan would take it as free.")  # fmt: skip
        if rate.outside_days and free:
            yield _warn(files.shop, key, "`outside days` without a price",
                        "`outside:` or `outside each:` as well")  # fmt: skip
        for size in _MAKES.get(name, ()):
            held = rate.holds.get(size)
            if ctx.sheet.limit_for(size) is not None and (held is None or held.width is None):
                yield _warn(files.shop, f"{key}: holds", f"no `{size}`",
                            "how well it is hit, such as `± 0.004 mm`",
                            "The plan would take it as hit exactly.")  # fmt: skip


def _repairs(ctx: Context, files: Files) -> Iterator[Fault]:
    """Repairs of the sheet that no feature, part or operation answers to."""
    kinds = ctx.frame.kinds()
    for row in ctx.sheet.repairs:
        key = f"repairs: {row.name}"
        if row.kind not in kinds:
            yield _warn(files.sheet, f"{key}: of", f"'{row.kind}'",
                        "a kind of feature this engine has", _meant(row.kind, kinds))  # fmt: skip
        for name in row.makes:
            own = BY_NAME[name].feature
            if row.kind in kinds and own != row.kind:
                yield _warn(files.sheet, f"{key}: makes new", f"'{name}', which is of a {own}",
                            f"characteristics of a {row.kind}")  # fmt: skip
        if row.operation and row.operation not in ctx.shop.operations:
            yield _warn(files.shop, "operations", f"no '{row.operation}', which the data sheet's "
                        f"repair '{row.name}' asks for", "a line for it",
                        _meant(row.operation, ctx.shop.operations))  # fmt: skip
        if row.part and not ctx.sheet.parts_of(row.part):
            sold = {part.kind for part in ctx.sheet.parts}
            yield _warn(files.sheet, f"{key}: part", f"no part of the kind '{row.part}'",
                        "a part of that kind on the data sheet",
                        _meant(row.part, sold))  # fmt: skip
    mendable = {row.part for row in (*REPAIRS, *LISTED) if row.part}
    for part in ctx.sheet.parts:
        if part.fits and part.kind in mendable and not _has_place(ctx, part):
            yield _warn(files.sheet, f"parts: {part.name}: fits", f"'{part.fits}'",
                        "a side (intake, exhaust) or a feature of this engine")  # fmt: skip


def _has_place(ctx: Context, part: PartSpec) -> bool:
    return any(
        part.fits == feature.name or part.fits in feature.tags for feature in ctx.frame.features
    )


def _grades(ctx: Context, files: Files) -> Iterator[Fault]:
    """Gasket grades by protrusion that leave a gap between them."""
    ranged = [part for part in ctx.sheet.parts_of("gasket") if part.protrusion is not None]
    rows = sorted(
        (part.protrusion.low, part.protrusion.high, part.name)
        for part in ranged
        if part.protrusion is not None
        and part.protrusion.low is not None
        and part.protrusion.high is not None
    )
    for (_, end, first), (start, _, second) in pairwise(rows):
        if start > end:
            yield _warn(files.sheet, f"parts: {second}: for largest protrusion",
                        f"nothing between {_mm(end)}, where '{first}' ends, and {_mm(start)}",
                        "grades that follow on one another")  # fmt: skip


def _mm(value: Fraction) -> str:
    return f"{float(value):g} mm"


# Limits that contradict each other ----------------------------------------------------------------


def _contradictions(ctx: Context, files: Files) -> Iterator[Fault]:
    """Fits that no new parts of this sheet can ever have: new sizes against the fit's new limit."""
    for limit in ctx.sheet.limits.values():
        fit = FITS.get(limit.characteristic)
        if fit is None or limit.new is None or limit.qualifier or not fit.whole:
            continue
        for part in _bringing(ctx, fit):
            span = _span(ctx, fit, part)
            if span is None:
                continue
            low, high = span
            over = limit.new.high is not None and low > limit.new.high
            under = limit.new.low is not None and high < limit.new.low
            if over or under:
                with_part = f" with '{part.name}'" if part is not None else ""
                yield _warn(
                    files.sheet,
                    f"limits: {limit.name}: new",
                    f"'{limit.new.typed}', while new sizes{with_part} make it "
                    f"{_mm(low)} to {_mm(high)}",
                    "limits and part sizes that can all be kept",
                    "Check the figures of both against the book.",
                )


def _bringing(ctx: Context, fit: Fit) -> list[PartSpec | None]:
    """Parts with a size in the fit; None where the limits alone give all of it."""
    names = {term.characteristic for term in fit.terms}
    parts: list[PartSpec | None] = [p for p in ctx.sheet.parts if names & set(p.sizes)]
    return parts or [None]


def _span(ctx: Context, fit: Fit, part: PartSpec | None) -> tuple[Fraction, Fraction] | None:
    """Smallest and largest a fit can be, all its sizes as new; None where one has no limit.

    Undersize shells go on journals ground by as much, oversize pistons in bores bored by it.
    """
    under = (part.undersize if part is not None else None) or Fraction(0)
    bore = ctx.nominal("bore")
    over = Fraction(0)
    if part is not None and part.for_bore is not None and bore is not None:
        over = part.for_bore - bore
    low = high = Fraction(0)
    for term in fit.terms:
        name = term.characteristic
        if term.optional:
            return None
        bounds: Bounds | None = part.sizes.get(name) if part is not None else None
        moved = Fraction(0)
        if bounds is None:
            limit = ctx.limit(name)
            bounds = None if limit is None else limit.new
            if name.endswith("journal diameter"):
                moved = -under
            elif name == "bore diameter":
                moved = over
        if bounds is None or bounds.low is None or bounds.high is None:
            return None
        ends = (term.weight * (bounds.low + moved), term.weight * (bounds.high + moved))
        low, high = low + min(ends), high + max(ends)
    return low, high

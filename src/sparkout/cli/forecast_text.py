"""A forecast in lines for a terminal."""

from __future__ import annotations

from textwrap import wrap

from sparkout.forecast.forecast import Forecast
from sparkout.forecast.summary import Range

__all__ = ["forecast_text"]

_WIDTH = 79
_NEXT = 6


def forecast_text(found: Forecast) -> list[str]:
    """The forecast as a machinist reads it."""
    whole = found.summary
    lines = [f"{found.name}: forecast"]
    if found.drawn:
        taken = "nothing is read yet" if not found.read else f"{found.read} readings are in"
        said = (
            f"{whole.draws} plausible engines drawn (seed {found.seed}), each planned to its "
            f"proven cheapest plan; {taken}, {found.drawn} still to be taken were drawn."
        )
    else:
        said = "Everything the limits ask for is read: nothing is drawn, the price is a point."
    lines += ["", *wrap(said, _WIDTH), ""]
    lines += _ranges(found)
    lines += _items(found)
    lines += _next(found)
    lines += _left(found)
    return lines + _origins(found)


def _ranges(found: Forecast) -> list[str]:
    whole = found.summary
    if whole.price is None:
        return ["No plan keeps all limits in any of the draws: no price can be given."]
    lines = [f"{'':<24}{'P10':>12}{'P50':>12}{'P90':>12}"]

    def row(name: str, value: Range | None, digits: int, scale: float = 1.0) -> None:
        if value is not None:
            cells = "".join(
                f"{v / scale:>12,.{digits}f}" for v in (value.p10, value.p50, value.p90)
            )
            lines.append(f"{name:<24}{cells}")

    row(f"price before tax, {found.currency}", whole.price, 0, 100)
    row("hours at the bench", whole.hours, 1)
    row("days, waits included", whole.days, 0)
    lines += wrap("P10: one job in ten comes to less. P90: one in ten comes to more.", _WIDTH)
    if whole.no_plan:
        lines += wrap(
            f"In {_percent(whole.no_plan)} of the draws no plan keeps all limits together; they "
            "are not in these figures.",
            _WIDTH,
        )
    return lines


def _items(found: Forecast) -> list[str]:
    if not found.items:
        return []
    lines = ["", f"{'What may be needed':<53}{'chance':>9}{'with set-ups':>16}"]
    for item in sorted(found.items, key=lambda item: -item.chance * item.cost):
        words = item.words
        if item.count > 1.05:
            words += f" ({item.count:.1f} on average)"
        first, *rest = wrap(words, 51)
        money = f"{item.cost / 100:,.0f} {found.currency}"
        lines.append(f"  {first:<51}{_percent(item.chance):>9}{money:>16}")
        lines += [f"    {line}" for line in rest]
    return lines


def _next(found: Forecast) -> list[str]:
    if not found.drawn:
        return []
    rows = [row for row in found.next if row.narrows > 0][:_NEXT]
    if not rows:
        return ["", "What to measure next: too few draws to tell (--engines 400)."]
    lines = ["", "What to measure next, by what it settles"]
    for place, row in enumerate(rows, start=1):
        count = len(row.features)
        where = f"{row.characteristic}" + (f", all {count}" if count > 1 else "")
        said = f"{place}. {where}: settles {_percent(row.settles)} of the spread of the price"
        if row.turns >= 0.01:
            said += f"; in {_percent(row.turns)} it reverses the decision on “{row.item}”"
        lines += wrap(said, _WIDTH, initial_indent="  ", subsequent_indent="     ")
    return lines


def _left(found: Forecast) -> list[str]:
    if not found.summary.hopeless:
        return []
    lines = ["", "Not in the price: nothing on the shop's lists mends it, a person decides"]
    for name, chance in found.summary.hopeless[:8]:
        lines.append(f"  {name:<51}{_percent(chance):>9}")
    return lines


def _origins(found: Forecast) -> list[str]:
    lines: list[str] = []
    if found.origins:
        lines += ["", "Where the draws come from"]
        for origin in found.origins:
            named = ", ".join(origin.characteristics)
            lines += wrap(
                f"{origin.source}: {named}", _WIDTH, initial_indent="  ", subsequent_indent="    "
            )
    if found.lawless:
        lines += wrap(
            "Not in the forecast, nothing to draw it from: " + ", ".join(found.lawless),
            _WIDTH,
            initial_indent="  ",
            subsequent_indent="    ",
        )
    return lines


def _percent(share: float) -> str:
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    return f"{100 * share:.0f} %"

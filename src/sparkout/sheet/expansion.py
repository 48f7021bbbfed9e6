"""How materials grow with heat, by the words a sheet or a shop file uses: for lengths at 20 °C."""

from __future__ import annotations

from fractions import Fraction

from sparkout.measure.temperature import Expansion

__all__ = ["LARGEST", "expansion_of", "known_materials"]

# Gauge materials: gauge-block steel 11.5 ± 1 millionths per °C (JCGM 100:2008, H.1.2 and H.1.3.5);
# carbide and ceramic are typical figures of gauge-block makers' handbooks (recalled from memory).
_GAUGES = {
    "steel": (Fraction(115, 10_000_000), Fraction(1, 1_000_000)),
    "carbide": (Fraction(5, 1_000_000), Fraction(1, 1_000_000)),
    "ceramic": (Fraction(10, 1_000_000), Fraction(1, 1_000_000)),
}
_FAMILIES = ("grey iron", "ductile iron", "aluminium", "bronze")
# How far the coefficient of one grade may be off: as GUM H.1.3.5 takes it for steel.
_SCATTER = Fraction(1, 1_000_000)
# No metal of an engine grows more [1/°C]: aluminium alloys end at 24 millionths (common practice).
LARGEST = Fraction(24, 1_000_000)


def known_materials() -> tuple[str, ...]:
    from sparkout.mechanics.materials import material_names

    return (*_GAUGES, *_FAMILIES, *material_names())


def expansion_of(name: str) -> Expansion | None:
    """Coefficient of a grade, or of a family with its whole range; None for an unknown word."""
    word = " ".join(name.casefold().split())
    if word in _GAUGES:
        return Expansion(word, *_GAUGES[word])
    from sparkout.mechanics.materials_table import ROWS

    rows = [row for row in ROWS if row.name.casefold() == word] or (
        [row for row in ROWS if row.name.casefold().startswith(word)] if word in _FAMILIES else []
    )
    if not rows:
        return None
    low = min(Fraction(str(row.expansion.low)) for row in rows)
    high = max(Fraction(str(row.expansion.high)) for row in rows)
    return Expansion(word, (low + high) / 2, (high - low) / 2 + _SCATTER)

"""Sizes at temperature: what a part measures warm or cold, and what it would measure at 20 °C.

20 °C is the reference temperature of sizes (ISO 1:2022).
"""

from __future__ import annotations

from sparkout.mechanics import _bounds

__all__ = ["REFERENCE", "reading_at_reference", "size_at", "size_at_reference"]

REFERENCE = 20.0
"""°C, ISO 1:2022: standard reference temperature for the specification of sizes."""


def _check(size: float, expansion: float, temperature: float) -> None:
    _bounds.above("size", size, 0.0, "mm")
    # No engine metal reaches 1e-4; a larger number is millionths typed without the factor.
    _bounds.within("expansion", expansion, 0.0, 1e-4, "1/°C")
    _bounds.temperature("temperature", temperature)


def size_at(size: float, expansion: float, temperature: float) -> float:
    """Size of a part at a temperature, from its size at 20 °C.

    D(t) = D20 × (1 + α × (t − 20)).

    size: size at 20 °C [mm], above zero.
    expansion: mean linear expansion [1/°C], 0 to 1e-4.
    temperature: temperature of the whole part [°C], above absolute zero.
    Returns the size at that temperature [mm].
    Holds for a part of one metal, evenly warm; α is a mean near room temperature.
    Source: ISO 1:2022 (reference temperature); definition of mean linear expansion.
    Raises ValueError naming the number when one is out of range.

    >>> round(size_at(100.0, 23.6e-6, 30.0), 4)
    100.0236
    """
    _check(size, expansion, temperature)
    return size * (1.0 + expansion * (temperature - REFERENCE))


def size_at_reference(size: float, expansion: float, temperature: float) -> float:
    """Size at 20 °C of a part whose true size at another temperature is known.

    D20 = D(t) ÷ (1 + α × (t − 20)).

    size: size at the temperature [mm], above zero.
    expansion: mean linear expansion [1/°C], 0 to 1e-4.
    temperature: temperature of the whole part [°C], above absolute zero.
    Returns the size at 20 °C [mm].
    Holds as `size_at`, of which it is the exact inverse.
    Source: ISO 1:2022 (reference temperature); definition of mean linear expansion.
    Raises ValueError naming the number when one is out of range.

    >>> round(size_at_reference(100.0236, 23.6e-6, 30.0), 4)
    100.0
    """
    _check(size, expansion, temperature)
    return size / (1.0 + expansion * (temperature - REFERENCE))


def reading_at_reference(
    reading: float,
    part_expansion: float,
    part_temperature: float,
    gauge_expansion: float,
    gauge_temperature: float,
) -> float:
    """Size at 20 °C of a part read with a gauge, when neither is at 20 °C.

    D20 = reading × (1 + αg × (tg − 20)) ÷ (1 + αp × (tp − 20)): a warm gauge is longer than its
    scale says, a warm part larger than its size at 20 °C.

    reading: what the gauge showed [mm], above zero.
    part_expansion: mean linear expansion of the part [1/°C], 0 to 1e-4.
    part_temperature: temperature of the part [°C], above absolute zero.
    gauge_expansion: mean linear expansion of the gauge and its master [1/°C], 0 to 1e-4.
    gauge_temperature: temperature of the gauge [°C], above absolute zero.
    Returns the part's size at 20 °C [mm].
    Holds for a gauge that is right at 20 °C, part and gauge each evenly warm.
    Source: ISO 1:2022; JCGM 100:2008 (GUM), H.1 uses the same relation for gauge blocks.
    Raises ValueError naming the number when one is out of range.

    >>> round(reading_at_reference(100.0, 11.4e-6, 32.0, 11.5e-6, 20.0), 4)
    99.9863
    """
    true_size = size_at(reading, gauge_expansion, gauge_temperature)
    return size_at_reference(true_size, part_expansion, part_temperature)

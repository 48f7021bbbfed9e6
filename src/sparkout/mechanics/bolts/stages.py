"""Tightening in stages, and the wrench setting when an adaptor lengthens the wrench."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sparkout.mechanics import _bounds

__all__ = ["stage_torques", "wrench_setting"]


def stage_torques(final: float, shares: Sequence[float]) -> tuple[float, ...]:
    """Torque of each stage from the final torque and the shares of it.

    T(i) = share(i) × T.

    final: torque of the last stage [N·m], above zero.
    shares: of the final torque, rising, the last one 1 [-].
    Returns the torques [N·m].
    Holds for a group tightened in its pattern stage by stage, a round at full torque to close.
    Source: ASME PCC-1 tightens in passes of 20–30 %, 50–70 % and 100 %, then circular passes
    (recalled from memory); the maker's stages win.
    Raises ValueError when shares do not rise to 1 or the torque is out of range.

    >>> stage_torques(100.0, (0.3, 0.7, 1.0))
    (30.0, 70.0, 100.0)
    """
    _bounds.above("final", final, 0.0, "N·m")
    if not shares or shares[-1] != 1.0:
        last = f"{shares[-1]:.6g}" if shares else "missing"
        raise ValueError(f"last of shares is {last}; it has to be 1, the final torque")
    before = 0.0
    for share in shares:
        if not share > before:
            raise ValueError(
                f"shares hold {share:.6g} after {before:.6g}; they have to rise, each above 0"
            )
        before = share
    return tuple(final * share for share in shares)


def wrench_setting(
    torque: float, wrench_length: float, adaptor_length: float, adaptor_angle: float = 0.0
) -> float:
    """What to set a torque wrench to when an offset adaptor changes its length.

    setting = T × L ÷ (L + E cos angle).

    torque: torque wanted at the bolt [N·m], above zero.
    wrench_length: from the middle of the grip to the square drive [mm], above zero.
    adaptor_length: from the square drive to the bolt [mm], zero or more.
    adaptor_angle: between adaptor and wrench, 0 straight on, 90 square, 180 back [°], 0 to 180.
    Returns the setting [N·m].
    Holds for the hand at the middle of the grip; square on (90°) the setting does not change.
    Source: FAA AC 43.13-1B, chapter 7 (torque wrench with adaptor; in-line form).
    Raises ValueError naming the number when one is out of range.

    >>> round(wrench_setting(100.0, 400.0, 50.0), 1)
    88.9
    """
    _bounds.above("torque", torque, 0.0, "N·m")
    _bounds.above("wrench_length", wrench_length, 0.0, "mm")
    _bounds.at_least("adaptor_length", adaptor_length, 0.0, "mm")
    _bounds.within("adaptor_angle", adaptor_angle, 0.0, 180.0, "°")
    reach = adaptor_length * math.cos(math.radians(adaptor_angle))
    _bounds.above("wrench and adaptor together", wrench_length + reach, 0.0, "mm")
    return torque * wrench_length / (wrench_length + reach)

"""Bore maps as pictures: one bore large, or all of them side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sparkout.drawings.bore_map import BoreMap, bore_map
from sparkout.drawings.palette import Verdict
from sparkout.report.measuring.bore import Bore
from sparkout.report.measuring.lengths import Lengths
from sparkout.report.pictures.bore_set import BoreSet, SmallBore, bore_set

__all__ = ["bore_picture", "bores_picture"]


def bore_picture(bore: Bore, lengths: Lengths) -> str:
    """One bore with a cross-section for each level."""
    depths = bore.depths or tuple(float(k) for k in range(len(bore.levels)))
    return bore_map(
        BoreMap(
            bore.name.capitalize(),
            tuple(depth / lengths.in_mm if bore.depths else depth for depth in depths),
            tuple(zip(bore.directions, bore.angles, strict=True)),
            _away(bore, lengths),
            _size(bore.nominal, lengths),
            lengths.fine,
            _digits(lengths),
            lengths.unit,
            _limit(bore, bore.low, lengths),
            _limit(bore, bore.high, lengths),
            levels=() if bore.depths else bore.levels,
        )
    )


def bores_picture(
    name: str, bores: Sequence[Bore], lengths: Lengths, judged: Mapping[str, Verdict]
) -> str:
    """All bores small, on one scale of colour; they share the nominal size of the first.

    judged: the verdict on each, with the uncertainty of its gauge.
    """
    first = bores[0]
    small = tuple(
        SmallBore(
            bore.name.capitalize(),
            judged.get(bore.name, Verdict.NOT_MEASURED),
            bore.levels,
            bore.directions,
            _away(bore, lengths),
            f"largest {_size(max(bore.known), lengths)}",
        )
        for bore in bores
    )
    return bore_set(
        BoreSet(
            name,
            small,
            _size(first.nominal, lengths),
            lengths.fine,
            _digits(lengths),
            _limit(first, first.low, lengths),
            _limit(first, first.high, lengths),
        )
    )


def _away(bore: Bore, lengths: Lengths) -> tuple[tuple[float | None, ...], ...]:
    return tuple(
        tuple(None if v is None else (v - bore.nominal) / lengths.fine_in_mm for v in row)
        for row in bore.diameters
    )


def _limit(bore: Bore, limit: float | None, lengths: Lengths) -> float | None:
    return None if limit is None else (limit - bore.nominal) / lengths.fine_in_mm


def _digits(lengths: Lengths) -> int:
    return 0 if lengths.fine == "µm" else 1


def _size(value: float, lengths: Lengths) -> str:
    return lengths.size(value, -1 if lengths.unit == "mm" else -2)

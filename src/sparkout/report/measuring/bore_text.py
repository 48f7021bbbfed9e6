"""A bore map in a terminal: a figure with its sign at each place, and what follows from them."""

from __future__ import annotations

from collections.abc import Sequence

from sparkout.drawings.figures import figure
from sparkout.report.measuring.bore import Bore, blind_words
from sparkout.report.measuring.lengths import Lengths
from sparkout.report.measuring.words import bulleted, count_of
from sparkout.report.text.layout import WIDTH, heading, wrapped

__all__ = ["bores_text"]

_LEVEL = 14


def bores_text(name: str, bores: Sequence[Bore], lengths: Lengths) -> list[str]:
    lines = wrapped(name)
    digits = 0 if lengths.fine == "µm" else 1
    for bore in bores:
        lines += ["", *_bore(bore, lengths, digits)]
    if any(bore.low is not None or bore.high is not None for bore in bores):
        plain = "Plain comparison with the limit: `sparkout check` judges a job with the "
        lines += ["", *wrapped(plain + "uncertainty of its gauges.")]
    shared = tuple(dict.fromkeys(word for bore in bores for word in blind_words(bore)))
    lines += [*heading("What these readings cannot show"), *bulleted(shared)]
    return lines


def _bore(bore: Bore, lengths: Lengths, digits: int) -> list[str]:
    def away(value: float) -> str:
        return figure((value - bore.nominal) / lengths.fine_in_mm, digits, signed=True)

    nominal = _size(bore.nominal, lengths)
    lines = wrapped(f"{bore.name.capitalize()}: deviation from {nominal}, {lengths.fine}")
    round_ = bore.out_of_round()
    wide = max(8, *(len(way) + 2 for way in bore.directions))
    wide = min(wide, (WIDTH - _LEVEL - 16) // len(bore.directions))
    head = "".join(f"{way[: wide - 1]:>{wide}}" for way in bore.directions)
    depth = f"  depth, {lengths.unit}" if bore.depths else ""
    lines.append(f"{depth:<{_LEVEL}}{head}  out of round".rstrip())
    for level, row, oval in zip(bore.levels, bore.diameters, round_, strict=True):
        cells = "".join(
            f"{'–' if v is None else away(v) + ('!' if bore.out(v) else ' '):>{wide}}" for v in row
        )
        said = "" if oval is None else figure(oval / lengths.fine_in_mm, digits)
        lines.append(f"  {level[: _LEVEL - 3]:<{_LEVEL - 2}}{cells}{said:>13}".rstrip())
    tapers = bore.tapers()
    if any(amount is not None for amount in tapers):
        cells = "".join(
            f"{'' if a is None else figure(a / lengths.fine_in_mm, digits) + ' ':>{wide}}"
            for a in tapers
        )
        lines.append(f"  {'taper':<{_LEVEL - 2}}{cells}".rstrip())
    largest, smallest = max(bore.known), min(bore.known)
    lines += wrapped(
        f"largest {_size(largest, lengths)} ({bore.place_of(largest)}), smallest "
        f"{_size(smallest, lengths)} ({bore.place_of(smallest)})", "  ")  # fmt: skip
    lines += _limits(bore, lengths)
    if bore.missing:
        lines += wrapped(f"{count_of(bore.missing, 'place')} not read (–)", "  ! ")
    if bore.twice:
        lines += wrapped(
            f"{count_of(bore.twice, 'place')} read again: the larger reading counts", "  ! "
        )
    return lines


def _size(value: float, lengths: Lengths) -> str:
    return lengths.size(value, -1 if lengths.unit == "mm" else -2)


def _limits(bore: Bore, lengths: Lengths) -> list[str]:
    ends = [
        f"at least {_size(bore.low, lengths)}" if bore.low is not None else "",
        f"at most {_size(bore.high, lengths)}" if bore.high is not None else "",
    ]
    given = " and ".join(end for end in ends if end)
    if not given:
        return wrapped("no limit given", "  ")
    outside = sum(bore.out(value) for value in bore.known)
    text = f"limit {given}: {outside} of {len(bore.known)} readings outside"
    return wrapped(text + (" (!)" if outside else ""), "  ✕ " if outside else "  ✓ ")

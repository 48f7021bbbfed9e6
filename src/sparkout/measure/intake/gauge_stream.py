"""Bytes from a gauge, in whatever pieces they come, to readings.

The state is a value: `feed` returns the next one. Nothing here knows the time; whoever owns the
wire calls `finish` when it has been silent for too long or was unplugged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sparkout.faults import Fault, Place
from sparkout.measure.intake.gauge_line import Item, read_line
from sparkout.measure.intake.gauge_profile import GaugeProfile

__all__ = ["LONGEST", "GaugeStream", "feed", "finish", "gauge_stream"]

LONGEST = 64
"""Bytes in one line; no gauge sends more."""

_ENDS = {"enter": b"\r\n", "tab": b"\t"}


@dataclass(frozen=True, slots=True)
class GaugeStream:
    """Where a stream stands: the gauges on it, the bytes of an unfinished line, lines so far."""

    profiles: tuple[GaugeProfile, ...]
    ends: bytes
    pending: bytes = b""
    lines: int = 0
    skipping: bool = False


def gauge_stream(profiles: Sequence[GaugeProfile]) -> GaugeStream:
    """The beginning of a stream.

    profiles: the gauges that send on it [-], at least one.
    Returns the state before the first byte [-].
    Holds for gauges that can be told apart: one alone, or each with its own prefix.
    Source: docs/gauge-lines.md.
    Raises ValueError for gauges that cannot be told apart.

    >>> gauge_stream([GaugeProfile("G7")]).lines
    0
    """
    if not profiles:
        raise ValueError("a stream needs the profile of at least one gauge")
    for at, one in enumerate(profiles):
        for other in profiles[at + 1 :]:
            if one.prefix == other.prefix:
                raise ValueError(
                    f"{one.gauge} and {other.gauge} have the same prefix {one.prefix!r}: "
                    "their readings cannot be told apart"
                )
    ends = bytes(sorted({end for one in profiles for end in _ENDS[one.terminator]}))
    return GaugeStream(tuple(profiles), ends)


def feed(stream: GaugeStream, chunk: bytes) -> tuple[GaugeStream, tuple[Item, ...]]:
    """The stream after some more bytes, and what they completed.

    stream: where it stands [-].
    chunk: bytes as they came [-], any number.
    Returns the next state and the readings, questions and faults in order [-].
    Holds for any bytes; the same bytes in other pieces give the same items.
    Source: docs/gauge-lines.md.

    >>> stream = gauge_stream([GaugeProfile("G7", decimals=3)])
    >>> stream, items = feed(stream, b"100.2")
    >>> stream, items = feed(stream, b"46\\r\\n")
    >>> items[0].typed
    '100.246'
    """
    items: list[Item] = []
    pending = bytearray(stream.pending)
    lines, skipping = stream.lines, stream.skipping
    for byte in chunk:
        if byte in stream.ends:
            if not skipping and pending:
                lines += 1
                item = read_line(_text(bytes(pending)), stream.profiles, lines)
                if item is not None:
                    items.append(item)
            pending.clear()
            skipping = False
        elif not skipping:
            pending.append(byte)
            if len(pending) > LONGEST:
                lines += 1
                items.append(_endless(lines))
                pending.clear()
                skipping = True
    state = replace(stream, pending=bytes(pending), lines=lines, skipping=skipping)
    return state, tuple(items)


def finish(stream: GaugeStream) -> tuple[GaugeStream, tuple[Item, ...]]:
    """The stream after a silence: what has no line end by now is cut short.

    stream: where it stands [-].
    Returns the state for the next line and a fault for what was left, if anything was [-].
    Holds for any state.
    Source: docs/gauge-lines.md.

    >>> stream, _ = feed(gauge_stream([GaugeProfile("G7")]), b"100.2")
    >>> finish(stream)[1][0].expected
    'a line end after each value'
    """
    clear = replace(stream, pending=b"", skipping=False)
    left = _text(stream.pending).strip(" \x00\x02\x03")
    if not left:
        return clear, ()
    fault = Fault(
        Place("gauge", stream.lines + 1),
        f"{left!r} and then nothing",
        "a line end after each value",
        "Nothing was entered: set the line end of the gauge, or take the reading again.",
    )
    return replace(clear, lines=stream.lines + 1), (fault,)


def _text(data: bytes) -> str:
    """UTF-8 where it is that, else one character for each byte."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _endless(line: int) -> Fault:
    return Fault(
        Place("gauge", line),
        f"more than {LONGEST} characters without a line end",
        "a line end after each value",
        "Nothing was entered: set the line end of the gauge.",
    )

"""Bytes from a gauge as they come: a serial device, a keyboard, a pipe or a file."""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Iterator
from pathlib import Path

from sparkout.cli.output import CannotError

__all__ = ["SPEEDS", "chunks"]

SPEEDS = (1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200)
_PIECE = 4096


def chunks(source: Path | None, speed: int, silence: float) -> Iterator[bytes]:
    """Pieces of bytes until the source ends; an empty piece where it was silent for so long [s].

    source: None for standard input. It is open, and a device set up, once this returns. Raises
    CannotError where a device cannot be set up.
    """
    if source is None:
        try:
            descriptor = sys.stdin.fileno()
        except (OSError, ValueError):
            # No real file stands behind it: all there is comes at once.
            return iter((sys.stdin.buffer.read(),))
        return _read(descriptor, silence)
    # O_NOCTTY: a gauge must not become the terminal that can interrupt us.
    descriptor = os.open(source, os.O_RDONLY | getattr(os, "O_NOCTTY", 0))
    try:
        if os.isatty(descriptor):
            _set_up(descriptor, speed, source)
    except BaseException:
        os.close(descriptor)
        raise
    return _closing(descriptor, silence)


def _closing(descriptor: int, silence: float) -> Iterator[bytes]:
    try:
        yield from _read(descriptor, silence)
    finally:
        os.close(descriptor)


def _read(descriptor: int, silence: float) -> Iterator[bytes]:
    quiet = False
    while True:
        # A silence is told once; then we wait for as long as it takes.
        ready, _, _ = select.select([descriptor], [], [], None if quiet else silence)
        if not ready:
            quiet = True
            yield b""
            continue
        quiet = False
        try:
            piece = os.read(descriptor, _PIECE)
        except OSError:  # the device was unplugged
            return
        if not piece:
            return
        yield piece


def _set_up(descriptor: int, speed: int, source: Path) -> None:
    """Eight bits, no parity, one stop bit, nothing translated and nothing echoed."""
    try:
        import termios
        import tty
    except ImportError as missing:
        raise CannotError(
            f"{source}: serial devices cannot be set up on this system.",
            "Let the gauge type into standard input instead.",
        ) from missing
    try:
        # Now, not after a flush: what the gauge has already sent must not be thrown away.
        tty.setraw(descriptor, termios.TCSANOW)
        set_to = termios.tcgetattr(descriptor)
        rate = getattr(termios, f"B{speed}")
        set_to[4] = set_to[5] = rate
        termios.tcsetattr(descriptor, termios.TCSANOW, set_to)
    except termios.error as refused:
        raise CannotError(f"{source}: {refused.args[-1]}; it cannot be set up.") from refused

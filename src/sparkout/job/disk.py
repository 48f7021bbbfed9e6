"""The few things done to files here, each on the disk when it returns."""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["FLAGS", "flush_folder", "read_span", "write_new"]

FLAGS = os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0)
"""How a log is opened: every write goes to its end."""


def read_span(fd: int, start: int, length: int) -> bytes:
    """Exactly these bytes of the file."""
    parts: list[bytes] = []
    os.lseek(fd, start, os.SEEK_SET)  # writes go to the end all the same
    while length:
        part = os.read(fd, length)
        if not part:
            raise OSError(f"the file ended {length} bytes early while it was read")
        parts.append(part)
        length -= len(part)
    return b"".join(parts)


def flush_folder(folder: Path) -> None:
    """Put the folder's list of files on the disk, where the system lets a folder be opened."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    fd = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)


def write_new(path: Path, data: bytes) -> None:
    """A new file with this content. Raises FileExistsError; leaves nothing half written."""
    out = path.open("xb")
    try:
        with out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
    except BaseException:
        path.unlink()
        raise
    flush_folder(path.parent)

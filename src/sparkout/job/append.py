"""The only writer of logs: one whole line at the end, on the disk before it is acknowledged.

An entry is written by one call to the system under a lock, then flushed to the disk; only then
does `append` return. Whatever fails before that leaves the log as it was. The one thing a crash
can leave behind is a torn last line: it is never mended by guessing, never deleted and never in
the way of reading; `set_aside` moves it to a file of its own.
"""

from __future__ import annotations

import os
import re
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import NamedTuple

from sparkout.faults import Place
from sparkout.job.border import body_as_dict
from sparkout.job.canonical import digest
from sparkout.job.disk import FLAGS, flush_folder, read_span
from sparkout.job.entry import Clock, Draft, Entry, IdSource, seal, timestamp
from sparkout.job.errors import AppendError, damaged, id_is_taken, refused_by_the_system
from sparkout.job.line import entry_of_line
from sparkout.job.lock import locked
from sparkout.job.reader import torn

__all__ = ["PATIENCE", "LogWriter", "append"]

PATIENCE = 20.0
"""Seconds to wait for another writer before giving up."""

# The tail of a canonical line, in which every field the writer needs stands. Inside a JSON text a
# quote is always escaped, so these keys cannot be imitated by what somebody typed.
_TAIL = re.compile(
    rb'"device":"([^"\\]+)","form":\d+,"hash":"([0-9a-f]{64})","id":"([0-9A-Za-z_-]+)",'
    rb'"kind":"(?:[^"\\]|\\.)*","number":(\d+),"previous":"[0-9a-f]*"\}\r?$'
)


class _Head(NamedTuple):
    number: int
    hash: str


@dataclass(frozen=True, slots=True)
class _Span:
    start: int
    length: int


class LogWriter:
    """An open log. Keeps in mind what it has read, so that an append reads only what is new.

    Several writers, also in several threads and processes, may have the same log open.
    """

    def __init__(self, path: str | os.PathLike[str], *, patience: float = PATIENCE) -> None:
        """Open the log, making it where there is none. Raises AppendError."""
        self._path = Path(path)
        self._patience = patience
        self._fd = -1
        self._threads = threading.Lock()
        self._forget()
        with refused_by_the_system(self._path):
            self._open()

    def __enter__(self) -> LogWriter:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file. Everything acknowledged is on the disk already."""
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1

    def append(self, draft: Draft, clock: Clock, device: str, id_source: IdSource) -> Entry:
        """Write one entry and return it once it is on the disk.

        An id that is in the log already with the same content is a resend: the entry that is
        there is returned. Raises AppendError; then nothing has been written.
        """
        id_ = id_source()
        with self._held():
            known = self._spans.get(id_)
            if known is not None:
                return self._resent(known, draft, device)
            head = self._heads.get(device, _Head(0, ""))
            entry = seal(
                draft,
                id_=id_,
                device=device,
                number=head.number + 1,
                previous=head.hash,
                at=timestamp(clock()),
            )
            self._write(entry.line.encode() + b"\n")
            return entry

    def absorb(self, entries: Iterable[Entry]) -> int:
        """Write entries of other devices as they are, those that are not here yet; how many.

        Raises AppendError where an entry is damaged or its id is here with other content; then
        nothing has been written.
        """
        with self._held():
            lines: list[bytes] = []
            coming: dict[str, Entry] = {}
            for entry in entries:
                known = self._spans.get(entry.id)
                here = self._entry_at(known) if known else coming.get(entry.id)
                if digest(entry.text) != entry.hash:
                    raise AppendError("damaged", damaged(entry))
                if here is None:
                    coming[entry.id] = entry
                    lines.append(entry.line.encode() + b"\n")
                elif here.text != entry.text:
                    raise AppendError("id", id_is_taken(entry.id, here, entry.place))
            if lines:
                self._write(b"".join(lines))
            return len(lines)

    # -- the file

    def _open(self) -> None:
        self._fd = os.open(self._path, FLAGS | os.O_CREAT, 0o644)
        self._forget()

    def _forget(self) -> None:
        self._read_to = 0
        self._lines = 0
        self._heads: dict[str, _Head] = {}
        self._spans: dict[str, _Span] = {}

    @contextmanager
    def _held(self) -> Iterator[None]:
        """Hold the lock on the file that stands at our path now, caught up with its end."""
        with self._threads, refused_by_the_system(self._path):
            while True:
                with locked(self._fd, self._path, self._patience):
                    if self._is_in_place():
                        self._catch_up()
                        yield
                        return
                # Somebody put another file there (a restored copy): that one is the log.
                self.close()
                self._open()

    def _is_in_place(self) -> bool:
        try:
            there = os.stat(self._path)
        except FileNotFoundError:
            return False
        return os.path.samestat(there, os.fstat(self._fd))

    def _catch_up(self) -> None:
        """Read what was added since we looked last. Raises AppendError for a torn tail."""
        size = os.fstat(self._fd).st_size
        if size < self._read_to:
            self._forget()  # a torn line was set aside, or the file was cut
        if size == self._read_to:
            return
        new = read_span(self._fd, self._read_to, size - self._read_to)
        *lines, tail = new.split(b"\n")
        if tail:
            here = Place(str(self._path), self._lines + len(lines) + 1)
            fault = torn(here, tail)
            remedy = "A write was cut short. Set it aside, then enter again what is missing."
            raise AppendError("torn", fault._replace(remedy=remedy, stops=True))
        start = self._read_to
        for line in lines:
            self._learn(line, start)
            start += len(line) + 1
        self._read_to = size
        self._lines += len(lines)

    def _learn(self, line: bytes, start: int) -> None:
        found = _TAIL.search(line)
        if found is not None:
            device, hash_, id_, number = (part.decode() for part in found.groups())
            at = int(number)
        else:
            entry, _ = entry_of_line(line, Place())
            if entry is None:
                return  # a damaged line: `read_log` and `verify` report it, work goes on
            device, hash_, id_, at = entry.device, entry.hash, entry.id, entry.number
        self._spans.setdefault(id_, _Span(start, len(line)))
        known = self._heads.get(device)
        if known is None or at > known.number:
            self._heads[device] = _Head(at, hash_)

    def _entry_at(self, span: _Span) -> Entry:
        line = read_span(self._fd, span.start, span.length)
        entry, faults = entry_of_line(line, Place(str(self._path)))
        if entry is None:
            raise AppendError("id", faults[0])
        return entry

    def _resent(self, span: _Span, draft: Draft, device: str) -> Entry:
        there = self._entry_at(span)
        same = (there.kind, there.device, there.by) == (draft.kind, device, draft.by)
        if same and body_as_dict(there.body) == body_as_dict(draft.body):
            return there
        raise AppendError("id", id_is_taken(there.id, there, Place(str(self._path))))

    def _write(self, data: bytes) -> None:
        """Put the data at the end and on the disk, or leave the file as it was and raise."""
        before = self._read_to
        if before == 0:
            # First of all the file's name must be safe: then a log with anything in it has been.
            flush_folder(self._path.parent)
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[os.write(self._fd, rest) :]
            os.fsync(self._fd)
        except BaseException:
            os.ftruncate(self._fd, before)  # should this fail too, the tail is torn: never silent
            raise
        for line in data.split(b"\n")[:-1]:
            self._learn(line, self._read_to)
            self._read_to += len(line) + 1
            self._lines += 1


def append(
    path: str | os.PathLike[str],
    draft: Draft,
    clock: Clock,
    device: str,
    id_source: IdSource,
    *,
    patience: float = PATIENCE,
) -> Entry:
    """Write one entry at the end of the log at `path` and return it once it is on the disk.

    clock: gives the time, with its zone. device: the name of this device; each keeps its own
    chain. id_source: gives the id; one already in the log with the same content is a resend and
    harmless.
    Raises AppendError, and then nothing has been written.
    """
    with LogWriter(path, patience=patience) as log:
        return log.append(draft, clock, device, id_source)

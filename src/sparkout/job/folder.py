"""The job folder: one engine in one folder that can be copied, sent and kept.

engine.yaml   the data sheet
shop.yaml     gauges, rates, people
log.jsonl     the log (docs/log.md)
photos/       pictures, each under the SHA-256 of its content
out/          what was computed; can be deleted and made again
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from sparkout.faults import Fault, Place
from sparkout.job.bodies import Intake, Observation, Photo
from sparkout.job.disk import write_new
from sparkout.job.entry import Entry

__all__ = ["PHOTO", "JobFolder", "check_photos", "make_folder", "open_folder", "store_photo"]

PHOTO = re.compile(r"[0-9a-f]{64}")
"""The name of a picture in photos/."""


@dataclass(frozen=True, slots=True)
class JobFolder:
    """Where the files of one job are."""

    path: Path

    @property
    def sheet(self) -> Path:
        return self.path / "engine.yaml"

    @property
    def shop(self) -> Path:
        return self.path / "shop.yaml"

    @property
    def log(self) -> Path:
        return self.path / "log.jsonl"

    @property
    def photos(self) -> Path:
        return self.path / "photos"

    @property
    def out(self) -> Path:
        return self.path / "out"

    @property
    def torn(self) -> tuple[Path, ...]:
        """The torn lines that were set aside, in order."""
        found = self.path.glob("log.jsonl.torn-*")
        numbered = [path for path in found if path.suffix.removeprefix(".torn-").isdecimal()]
        return tuple(sorted(numbered, key=lambda path: int(path.suffix.removeprefix(".torn-"))))


def open_folder(path: str | os.PathLike[str]) -> tuple[JobFolder | None, tuple[Fault, ...]]:
    """The job in this folder, or why it is none. Nothing is made or changed."""
    folder = JobFolder(Path(path))
    if not folder.path.is_dir():
        fault = Fault(Place(str(path)), "no folder", "a job folder", "Make one first.")
        return None, (fault,)
    faults = tuple(
        Fault(Place(str(file)), "no such file", what)
        for file, what in ((folder.sheet, "the data sheet"), (folder.shop, "the shop file"))
        if not file.is_file()
    )
    if faults:
        return None, faults
    if not folder.log.exists():
        warning = Fault(
            Place(str(folder.log)),
            "no log",
            "a log",
            "It is made with the first entry.",
            stops=False,
        )
        return folder, (warning,)
    return folder, ()


def make_folder(
    path: str | os.PathLike[str], sheet: bytes, shop: bytes
) -> tuple[JobFolder | None, tuple[Fault, ...]]:
    """A new job folder with this data sheet and shop file and an empty log.

    Refuses a folder with anything in it: a job is never written over.
    Raises OSError where the disk refuses.
    """
    folder = JobFolder(Path(path))
    if folder.path.exists() and (not folder.path.is_dir() or any(folder.path.iterdir())):
        fault = Fault(Place(str(path)), "a folder with something in it", "a new or empty folder")
        return None, (fault,)
    folder.path.mkdir(parents=True, exist_ok=True)
    for sub in (folder.photos, folder.out):
        sub.mkdir()
    for file, content in ((folder.sheet, sheet), (folder.shop, shop), (folder.log, b"")):
        write_new(file, content)
    return folder, ()


def store_photo(folder: JobFolder, content: bytes, name: str) -> Photo:
    """Put a picture into the job and return what an entry says about it.

    The same content twice is one file. Raises OSError where the disk refuses.
    """
    sha256 = hashlib.sha256(content).hexdigest()
    folder.photos.mkdir(exist_ok=True)
    kept = folder.photos / sha256
    if not kept.exists():
        unfinished = folder.photos / f".{sha256}.{os.getpid()}"
        unfinished.unlink(missing_ok=True)
        write_new(unfinished, content)
        os.replace(unfinished, kept)
    return Photo(sha256=sha256, name=Path(name).name or sha256)


def check_photos(folder: JobFolder, entries: Iterable[Entry]) -> tuple[Fault, ...]:
    """Pictures that entries speak of and that are not there or are not what they were."""
    faults: list[Fault] = []
    sound: set[str] = set()
    for entry in entries:
        if not isinstance(entry.body, Observation | Intake):
            continue
        for photo in entry.body.photos:
            if photo.sha256 in sound:
                continue
            kept = folder.photos / photo.sha256
            here = Place(str(kept), key=f'"{photo.name}" of entry {entry.id}')
            if not kept.is_file():
                faults.append(Fault(here, "no such file", "the picture", "Copy it here again."))
            elif hashlib.sha256(kept.read_bytes()).hexdigest() != photo.sha256:
                faults.append(Fault(here, "a picture that was changed", "the one that was entered"))
            else:
                sound.add(photo.sha256)
    return tuple(faults)

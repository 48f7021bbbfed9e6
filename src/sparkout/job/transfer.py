"""A job as one file, and back: between two machines, or to be kept.

A sound log is written in the order in which its entries count, so two machines that hold the same
entries export the same file, byte for byte.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from sparkout.faults import Fault, Place
from sparkout.job.append import LogWriter
from sparkout.job.disk import flush_folder, write_new
from sparkout.job.folder import PHOTO, JobFolder
from sparkout.job.merge import merge
from sparkout.job.packing import LARGEST, NEEDED, pack, unpack
from sparkout.job.reader import read_log, settled

__all__ = ["bring_in", "export_job", "import_job"]


def export_job(
    folder: JobFolder, target: str | os.PathLike[str]
) -> tuple[Path | None, tuple[Fault, ...]]:
    """Write the job to one file, which must not exist yet; what is in out/ stays behind.

    A damaged log is exported as it stands, with its faults as warnings: it may be the evidence.
    Raises OSError where the disk refuses.
    """
    path = Path(target)
    if path.exists():
        return None, (Fault(Place(str(path)), "a file", "a new name for the job file"),)
    missing = tuple(
        Fault(Place(str(folder.path / name)), "no such file", "every file of a job")
        for name in NEEDED
        if not (folder.path / name).is_file()
    )
    if missing:
        return None, missing
    log = settled(folder.log)
    entries, unread = read_log(log, folder.log.name)
    merged, broken = merge(entries)
    faults = [*unread, *broken]
    if not faults:
        log = "".join(f"{entry.line}\n" for entry in merged).encode()
    files = [folder.sheet, folder.shop, *folder.torn]
    members = {file.name: file.read_bytes() for file in files}
    members["log.jsonl"] = log
    if folder.photos.is_dir():
        for photo in sorted(folder.photos.iterdir()):
            if PHOTO.fullmatch(photo.name) and photo.is_file():
                content = photo.read_bytes()
                if hashlib.sha256(content).hexdigest() == photo.name:
                    members[f"photos/{photo.name}"] = content
                else:
                    changed = "a picture that was changed; it is left behind"
                    faults.append(Fault(Place(str(photo)), changed, "what its name says"))
    write_new(path, pack(members))
    return path, tuple(fault._replace(stops=False) for fault in faults)


def import_job(
    source: str | os.PathLike[str], target: str | os.PathLike[str]
) -> tuple[JobFolder | None, tuple[Fault, ...]]:
    """Make a job folder of a job file. The folder must be new or empty.

    Everything is checked and on the disk beside the place before it is moved there in one step.
    Raises OSError where the disk refuses.
    """
    folder = JobFolder(Path(target))
    if folder.path.exists() and (not folder.path.is_dir() or any(folder.path.iterdir())):
        fault = Fault(
            Place(str(folder.path)),
            "a folder with something in it",
            "a new or empty folder",
            "To add what a job file holds to a job that is here, bring it in.",
        )
        return None, (fault,)
    unpacked, faults = _unpack_file(source)
    if unpacked is None:
        return None, faults
    folder.path.parent.mkdir(parents=True, exist_ok=True)
    beside = folder.path.with_name(f".{folder.path.name}.{os.getpid()}")
    shutil.rmtree(beside, ignore_errors=True)
    try:
        for sub in ("photos", "out"):
            (beside / sub).mkdir(parents=True)
        for name, data in unpacked.items():
            write_new(beside / name, data)
        if folder.path.exists():
            folder.path.rmdir()
        os.rename(beside, folder.path)
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)
        raise
    flush_folder(folder.path.parent)
    return folder, faults


def bring_in(
    source: str | os.PathLike[str], folder: JobFolder
) -> tuple[int | None, tuple[Fault, ...]]:
    """Add the entries, pictures and torn lines of a job file to the job here; how many entries.

    The data sheet must be the same; the shop file here stays. Entries that are here already are
    harmless. Nothing is added where the two logs contradict each other.
    Raises AppendError or OSError where the disk refuses.
    """
    unpacked, faults = _unpack_file(source)
    if unpacked is None:
        return None, faults
    if unpacked["engine.yaml"] != folder.sheet.read_bytes():
        fault = Fault(
            Place(str(source), key="engine.yaml"),
            "another data sheet than here",
            "the same one",
            "Import it into a folder of its own and compare the two sheets.",
        )
        return None, (fault,)
    theirs, wrong = read_log(unpacked["log.jsonl"], f"log of {Path(source).name}")
    ours, _ = read_log(folder.log) if folder.log.exists() else ((), ())
    _, contradictions = merge(ours, theirs)
    stopping = tuple(fault for fault in (*wrong, *contradictions) if fault.stops)
    if stopping:
        return None, stopping
    for name, data in unpacked.items():
        if name.startswith("photos/"):
            folder.photos.mkdir(exist_ok=True)
            with contextlib.suppress(FileExistsError):
                write_new(folder.path / name, data)
    with LogWriter(folder.log) as log:
        return log.absorb(theirs), (*wrong, *contradictions)


def _unpack_file(
    source: str | os.PathLike[str],
) -> tuple[Mapping[str, bytes] | None, tuple[Fault, ...]]:
    path = Path(source)
    size = path.stat().st_size
    if size > LARGEST:
        return None, (Fault(Place(str(path)), f"{size} bytes", f"at most {LARGEST}"),)
    return unpack(path.read_bytes(), str(path))

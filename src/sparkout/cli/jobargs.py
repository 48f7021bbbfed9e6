"""What every command on a job takes: the folder it lies in, and how its faults are told."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.output import CannotError, show_faults

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

    from sparkout.load import Job

__all__ = ["add_job", "demo_folder", "demo_names", "opened"]


def add_job(p: argparse.ArgumentParser) -> None:
    p.add_argument(
        "job",
        type=Path,
        help="job folder with engine.yaml, shop.yaml, log.jsonl and, if there is one, supply.yaml",
    )


def opened(folder: Path, as_json: bool = False) -> Job | int:
    """The job in a folder, or the exit status after its faults have been told."""
    from sparkout.load import files_in, load_job

    if not folder.is_dir():
        from sparkout.faults import Fault, Place

        fault = Fault(Place(str(folder)), "no such folder", "a job folder")
        return show_faults([fault], as_json)
    try:
        job, faults = load_job(files_in(folder))
    except PermissionError as refused:
        raise CannotError(f"{refused.filename}: no permission to read it.") from refused
    status = show_faults(faults, as_json)
    if job is None:
        return status or 2
    return job


def demo_names() -> tuple[str, ...]:
    import sparkout

    root = Path(sparkout.__file__).parent / "demos"
    return tuple(sorted(path.name for path in root.iterdir() if (path / "engine.yaml").exists()))


def demo_folder(name: str) -> Path:
    import sparkout

    return Path(sparkout.__file__).parent / "demos" / name

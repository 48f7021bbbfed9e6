"""sparkout merge: bring the entries of another device's log into a job's log."""

from __future__ import annotations

from pathlib import Path

from sparkout.cli.jobargs import add_job
from sparkout.cli.output import CannotError, add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Add the entries of another log of the same job: what a tablet wrote while it was away.
Any order gives the same state; what is there already is harmless."""

SCHEMA = envelope("merge", {"added": {"type": "integer"}})


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("log", type=Path, nargs="+", help="log to add (log.jsonl)")
    add_json(p)


def main(args: argparse.Namespace) -> int:
    from sparkout.job.append import LogWriter
    from sparkout.job.errors import AppendError
    from sparkout.job.merge import merge
    from sparkout.job.reader import read_log
    from sparkout.job.verify import verify
    from sparkout.load import files_in

    here = files_in(args.job).log
    mine, faults = read_log(here) if here.exists() else ((), ())
    others = []
    for path in args.log:
        entries, more = read_log(path)
        faults = (*faults, *more)
        others.append(entries)
    merged, more = merge(mine, *others)
    faults = (*faults, *more, *verify(merged))
    status = show_faults(faults, args.json)
    if status:
        return status
    try:
        with LogWriter(here) as log:
            added = log.absorb(entry for entries in others for entry in entries)
    except AppendError as refused:
        raise CannotError(str(refused.fault)) from refused
    if args.json:
        show_json("merge", {"added": added})
    else:
        print(f"{added} entries added to {here}")
    return 0

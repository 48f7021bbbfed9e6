"""sparkout log: verify a job's log, list what counts, set a torn line aside."""

from __future__ import annotations

from sparkout.cli.jobargs import add_job
from sparkout.cli.output import add_json, envelope, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Verify the log of a job: every entry's hash, every device's chain, every number. Lists
the entries that count, in the order they count."""

SCHEMA = envelope(
    "log",
    {
        "entries": {"type": "integer"},
        "counting": {"type": "integer"},
        "heads": {"type": "object", "additionalProperties": {"type": "string"}},
        "faults": {"type": "array", "items": {"type": "string"}},
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--list", action="store_true", help="list the entries that count")
    p.add_argument(
        "--mend", action="store_true", help="set a torn last line aside (it is kept beside the log)"
    )
    add_json(p)


def main(args: argparse.Namespace) -> int:
    from sparkout.job.aside import set_aside
    from sparkout.job.reader import read_log
    from sparkout.job.replay import replay
    from sparkout.job.verify import heads, verify
    from sparkout.load import files_in

    path = files_in(args.job).log
    if not path.exists():
        from sparkout.faults import Fault, Place

        fault = Fault(Place(str(path)), "no log", "a job folder with log.jsonl in it")
        return show_faults([fault], args.json)
    if args.mend:
        _, notes = set_aside(path)
        show_faults(notes)
    entries, faults = read_log(path)
    faults = (*faults, *verify(entries))
    replayed = replay(entries)
    faults = (*faults, *replayed.faults)
    ends = dict(heads(entries))
    if args.json:
        show_json(
            "log",
            {
                "entries": len(entries),
                "counting": len(replayed.effective),
                "heads": {device: head.hash for device, head in ends.items()},
                "faults": [str(fault) for fault in faults],
            },
        )
    else:
        print(f"{path.name}: {len(entries)} entries, {len(replayed.effective)} count")
        for device, head in ends.items():
            print(f"  chain of {device}: ends in {head.hash}")
        if args.list:
            for entry in replayed.effective:
                print(f"  {entry.at}  {entry.by}  {entry.kind}: {_line(entry.body)}")
    return show_faults(faults)


def _line(body: object) -> str:
    words = [
        str(getattr(body, name))
        for name in ("feature", "characteristic", "level", "direction", "typed", "what",
                     "operation", "part", "engine")
        if getattr(body, name, "")
    ]  # fmt: skip
    return " ".join(words)

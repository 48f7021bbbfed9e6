"""sparkout papers: findings sheet, work sheet and build record of a job as PDF."""

from __future__ import annotations

import os
from pathlib import Path

from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import CannotError, add_json, envelope, say, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Mapping, Sequence

    from sparkout.cautions import SafetyMessage
    from sparkout.load import Job
    from sparkout.plan.decide import Plan, Stuck
    from sparkout.report.documents.offers import Offer
    from sparkout.report.documents.source import Document, Source

HELP = """\
Write the papers of a job as PDF: the findings sheet for the customer, the work
sheet for the shop, and the build record. The same job gives the same bytes. Where a
plan is approved or work is entered they go by that: the work sheet has what is left."""

PAPERS = ("findings", "work", "record")
SIZES = ("a4", "letter")
FILES = {"findings": "findings.pdf", "work": "work-sheet.pdf", "record": "build-record.pdf"}

SCHEMA = envelope(
    "papers",
    {
        "engine": {"type": "string"},
        "possible": {"type": "boolean"},
        "follows": {"type": "string", "description": "the plan they go by, where one is approved"},
        "written": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {
                    "paper": {"enum": list(PAPERS)},
                    "path": {"type": "string"},
                    "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
                },
                "required": ["paper", "path", "sha256"],
                "additionalProperties": False,
            },
        },
    },
)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--out", type=Path, help="folder to write to (default: out in the job folder)")
    p.add_argument("--paper", choices=SIZES, default="a4", help="paper size (default: a4)")
    p.add_argument("--only", choices=PAPERS, help="write this one only")
    p.add_argument(
        "--offers",
        action="store_true",
        help="put best value and as new beside the least cost; takes longer",
    )
    add_json(p)
    p.epilog = "example:\n  sparkout papers jobs/1204 --out print --paper letter"


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.plan.decide import Plan

    source = source_for(job, args.job.resolve().name)
    out = args.job / "out" if args.out is None else args.out
    chosen = PAPERS if args.only is None else (args.only,)
    offers = offers_for(source) if args.offers else ()
    made = rendered(source, args.paper, chosen, offers)
    written = write_all(out, {FILES[name]: content for name, content in made.items()})
    possible = isinstance(source.plan, Plan)
    if args.json:
        show_json("papers", {
            "engine": job.sheet.identity.name,
            "possible": possible,
            "follows": source.follows,
            "written": [
                {"paper": name, "path": str(out / FILES[name]), "sha256": written[FILES[name]]}
                for name in chosen
            ],
        })  # fmt: skip
    else:
        for name in chosen:
            print(out / FILES[name])
    if source.follows:
        say(f"sparkout: the papers go by {source.follows}")
    if not possible:
        say("sparkout: no plan holds every limit; the papers say why.")
    return 0 if possible else 1


def source_for(job: Job, number: str, plan: Plan | Stuck | None = None) -> Source:
    """What the papers are made from. A job without entries is dated today, all others by the log.

    Raises CannotError where somebody wrote to the log while it was read.
    """
    from sparkout.job.reader import read_log
    from sparkout.job.replay import replay
    from sparkout.report.documents.source import source_of

    entries, _ = read_log(job.files.log) if job.files.log.exists() else ((), ())
    if replay(entries).effective != job.replayed.effective:
        raise CannotError("the log was written to while it was read.", "Run it again.")
    date = "" if entries else _today()
    return source_of(job, entries, number, date, plan)


def offers_for(source: Source) -> tuple[Offer, ...]:
    """Least cost, best value and as new, as far as the shop's file lets them be told apart."""
    from sparkout.plan.decide import Plan
    from sparkout.plan.offers import Offers, history_of, make_offers
    from sparkout.report.documents.offers import from_planned

    job, plan = source.job, source.decided if source.follows else source.plan
    if not isinstance(plan, Plan):
        return ()
    planned = make_offers(
        plan.compiled.problem,
        job.shop,
        source.found if source.follows else job.findings,
        job.words,
        history=history_of(job.replayed.effective, job.shop),
        left_out=plan.left_out,
    )
    return from_planned(job, planned) if isinstance(planned, Offers) else ()


def _today() -> str:
    from datetime import UTC, datetime

    return datetime.now(UTC).date().isoformat()


def rendered(
    source: Source, paper: str, chosen: Sequence[str] = PAPERS, offers: tuple[Offer, ...] = ()
) -> dict[str, bytes]:
    """Each chosen paper as PDF. offers: up to three, the least cost alone where none are given.

    The longest is made first and set while the next is made: the typesetter needs nothing of ours
    while it works.
    """
    from concurrent.futures import ThreadPoolExecutor

    from sparkout.cautions import shipped_messages
    from sparkout.report.paper import render

    messages = shipped_messages()
    with ThreadPoolExecutor(max_workers=2) as pool:
        waiting = {}
        for name in sorted(chosen, key=PAPERS.index, reverse=True):
            made = _document(source, name, messages, offers)
            waiting[name] = pool.submit(render, made.template, made.data, paper, made.drawings)
        return {name: waiting[name].result() for name in chosen}


def _document(
    source: Source, name: str, messages: Sequence[SafetyMessage], offers: tuple[Offer, ...]
) -> Document:
    if name == "findings":
        from sparkout.report.documents.findings import findings_sheet

        return findings_sheet(source, offers)
    if name == "work":
        from sparkout.report.documents.work import work_sheet

        return work_sheet(source, messages)
    from sparkout.report.documents.record import build_record

    return build_record(source, messages)


def write_all(folder: Path, files: Mapping[str, bytes]) -> dict[str, str]:
    """Write all files or none: each under another name first, then all are given their own.

    Returns the SHA-256 of each by its name. Raises CannotError saying what stands in the way.
    """
    import hashlib

    waiting: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            part = folder / f".{name}.{os.getpid()}.part"
            waiting.append((part, folder / name))
            with part.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for _, final in waiting:
            if final.is_dir():
                raise IsADirectoryError(21, "is a folder", str(final))
        for part, final in waiting:
            part.replace(final)
    except OSError as wrong:
        where = wrong.filename or str(folder)
        raise CannotError(f"{where}: {wrong.strerror}; nothing was written.") from wrong
    finally:
        for part, _ in waiting:
            _forget(part)
    return {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}


def _forget(part: Path) -> None:
    """Remove what was left lying; there is nothing where all went well."""
    try:
        part.unlink(missing_ok=True)
    except OSError:
        return  # the folder it was to lie in is not there

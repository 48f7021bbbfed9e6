"""sparkout check: judge every limit of a job against what was read."""

from __future__ import annotations

from sparkout.cli.job_shapes import CHECK
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.measuring import add_picture, picture_fault, write_picture
from sparkout.cli.output import add_json, envelope, say, show_faults, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from pathlib import Path

    from sparkout.load import Job

HELP = """\
Judge every limit of the data sheet against the readings in the log: within, out,
not proven, or not measured, each with the reason in a sentence. What was read after
work is judged by the size that the approved plan, or else the work entered, gives it."""

SCHEMA = envelope("check", CHECK)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--all", action="store_true", help="list what is within, too")
    add_picture(p)
    add_json(p)
    p.epilog = (
        "examples:\n  sparkout check jobs/1204\n"
        "  sparkout check jobs/1204 --picture limits.pdf\n\n"
        "The picture has a bar for each length that is out or in doubt, with --all for\n"
        "each that has a limit: what is allowed, what was read, how sure it is."
    )


def main(args: argparse.Namespace) -> int:
    faults = picture_fault(args.picture)
    if faults:
        return show_faults(faults, args.json)
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.cli.checking import judged_sizes
    from sparkout.judge.finding import Verdict
    from sparkout.report.documents.standing import judged

    known = judged(job)
    job, sizes = known.job, judged_sizes(known)
    if args.picture is not None:
        _draw(job, args.picture, args.all)
    if args.json:
        from sparkout.report.data import findings_data

        show_json("check", findings_data(job, sizes))
    else:
        from sparkout.cli.terminal import show_lines
        from sparkout.report.text.findings import findings_text

        show_lines(findings_text(job, sizes, whole=args.all))
    stops = any(
        finding.verdict is Verdict.OUT and finding.check.limit.must for finding in job.findings
    )
    return 1 if stops else 0


def _draw(job: Job, path: Path, whole: bool) -> None:
    from sparkout.report.pictures.limits import draw_check

    drawn = draw_check(job, all_of_them=whole)
    write_picture(path, drawn.whole, drawn.pages)
    if drawn.left_out:
        say(f"not drawn: {drawn.left_out} that are no lengths, such as tests, forces and ratios.")

"""sparkout check: judge every limit of a job against what was read."""

from __future__ import annotations

from sparkout.cli.job_shapes import CHECK
from sparkout.cli.jobargs import add_job, opened
from sparkout.cli.output import add_json, envelope, show_json

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = """\
Judge every limit of the data sheet against the readings in the log: within, out,
not proven, or not measured, each with the reason in a sentence. What was read after
work is judged by the size that the approved plan, or else the work entered, gives it."""

SCHEMA = envelope("check", CHECK)


def parser(p: argparse.ArgumentParser) -> None:
    add_job(p)
    p.add_argument("--all", action="store_true", help="list what is within, too")
    add_json(p)
    p.epilog = "example:\n  sparkout check jobs/1204"


def main(args: argparse.Namespace) -> int:
    job = opened(args.job, args.json)
    if isinstance(job, int):
        return job
    from sparkout.cli.checking import judged_sizes
    from sparkout.cli.replanning import judged
    from sparkout.judge.finding import Verdict

    known = judged(job)
    job, sizes = known.job, judged_sizes(known)
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

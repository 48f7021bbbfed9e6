"""What engine it is and how it came in: the head of every paper."""

from __future__ import annotations

from typing import Any

from sparkout.job.bodies import Approval, Intake
from sparkout.report.documents.source import Source, day

__all__ = ["approvals", "identity", "intakes"]


def intakes(source: Source) -> tuple[Intake, ...]:
    """What came through the door; a later intake adds to an earlier one."""
    standing = source.job.replayed.effective
    return tuple(entry.body for entry in standing if isinstance(entry.body, Intake))


def identity(source: Source) -> list[list[str]]:
    """Rows of name and words; what nobody entered is said to be missing, not left out."""
    sheet = source.job.sheet.identity
    came = intakes(source)
    rows = [["Engine", sheet.name]]
    if sheet.note:
        rows.append(["Data sheet says", sheet.note])
    missing = "not entered"
    last = came[-1] if came else None
    for title, name in (
        ("Customer", "customer"),
        ("Serial number", "serial"),
        ("Hours run", "hours_run"),
        ("Complaint", "complaint"),
    ):
        text = next((getattr(body, name) for body in reversed(came) if getattr(body, name)), "")
        rows.append([title, text or missing])
    for title, name in (
        ("Plates and stamps", "plates"),
        ("Castings", "castings"),
        ("Arrived", "arrived"),
        ("Missing on arrival", "missing"),
    ):
        words = dict.fromkeys(word for body in came for word in getattr(body, name))
        if words:
            rows.append([title, ", ".join(words)])
    if last is not None and last.note:
        rows.append(["Note", last.note])
    if source.follows:
        rows.append(["Goes by", f"{source.follows[0].upper()}{source.follows[1:]}"])
    where = sheet.cylinder_one
    if where:
        rows.append(["Cylinder 1", where])
    return rows


def approvals(source: Source) -> list[dict[str, Any]]:
    """Every approval in the log, with what was declined."""
    found = []
    for entry in source.job.replayed.effective:
        body = entry.body
        if not isinstance(body, Approval):
            continue
        amount = " ".join(word for word in (body.amount, body.currency) if word)
        found.append(
            {
                "day": day(entry.at),
                "what": body.what,
                "by": body.by_whom,
                "how": body.how,
                "amount": amount or "no amount said",
                "declined": list(body.declined),
                "taken": entry.by,
                "note": body.note,
            }
        )
    return found

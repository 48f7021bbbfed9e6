"""Days and money as they are typed on the command line."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from datetime import date

    from sparkout.faults import Fault

__all__ = ["add_today", "cents_of", "day_of", "today_of"]


def add_today(p: argparse.ArgumentParser) -> None:
    p.add_argument("--today", default="", metavar="DAY", help="the day it is asked (default: now)")


def today_of(args: argparse.Namespace, faults: list[Fault]) -> date:
    """The day a question is asked: as typed, else the clock's."""
    from datetime import date, datetime

    now = datetime.now().astimezone().date()
    if not args.today:
        return now
    try:
        return date.fromisoformat(args.today)
    except ValueError:
        from sparkout.faults import Fault, Place

        faults.append(Fault(Place(key="--today"), f"'{args.today}'", "a day such as 2027-03-01"))
        return now


def day_of(typed: str, key: str, today: date, faults: list[Fault]) -> date | None:
    """A day to come, as people say it."""
    from sparkout.plan.whatif.dates import until

    found = until(typed, today)
    if found is None:
        from sparkout.faults import Fault, Place

        expected = "a day from today on: 2027-03-01, 4 May, Friday, 3 weeks"
        faults.append(Fault(Place(key=key), f"'{typed}'", expected))
    return found


def cents_of(typed: str, key: str, faults: list[Fault]) -> int | None:
    """An amount of money in cents."""
    import re

    found = re.fullmatch(r"(\d{1,12})(?:[.,](\d{1,2}))?(?:\s*[A-Z]{3})?", typed.strip())
    if found is None:
        from sparkout.faults import Fault, Place

        faults.append(
            Fault(Place(key=key), f"'{typed}'", "an amount of money such as 4500 or 4500.00")
        )
        return None
    return int(found[1]) * 100 + int((found[2] or "").ljust(2, "0") or 0)

"""Days and dates as people say them: `until March`, `on 4 May`, `2 weeks`, `2027-03-01`."""

from __future__ import annotations

import re
from datetime import date, timedelta

__all__ = ["days_said", "until"]

_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september",
           "october", "november", "december")  # fmt: skip
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_COUNT = re.compile(r"(?:in\s+)?(\d{1,4})\s*(day|week|month)s?")
_DAY_MONTH = re.compile(r"(\d{1,2})\.?\s+([a-z]{3,})\.?(?:\s+(\d{4}))?")
_MONTH_DAY = re.compile(r"([a-z]{3,})\.?\s+(\d{1,2})(?:,?\s+(\d{4}))?")
_MONTH = re.compile(r"([a-z]{3,})\.?(?:\s+(\d{4}))?")
_ISO = re.compile(r"(\d{4})-(\d{2})-(\d{2})")


def days_said(text: str) -> int | None:
    """A number of days: `20 days`, `3 weeks`; None where it is none.

    >>> days_said("3 weeks"), days_said("soon")
    (21, None)
    """
    found = _COUNT.fullmatch(text.strip().casefold())
    if found is None:
        return None
    count, unit = int(found[1]), found[2]
    return count * {"day": 1, "week": 7, "month": 30}[unit]


def until(text: str, today: date) -> date | None:
    """The day meant, never before today; None where it is no date.

    A month alone is its first day. Without a year the next such day is meant.

    >>> until("March", date(2026, 11, 23)), until("4 May", date(2027, 5, 4))
    (datetime.date(2027, 3, 1), datetime.date(2027, 5, 4))
    """
    said = text.strip().casefold()
    days = days_said(said)
    if days is not None:
        return today + timedelta(days)
    if said in _WEEKDAYS:
        ahead = (_WEEKDAYS.index(said) - today.weekday()) % 7
        return today + timedelta(ahead or 7)
    iso = _ISO.fullmatch(said)
    if iso is not None:
        found = _date(int(iso[1]), int(iso[2]), int(iso[3]))
        return found if found is not None and found >= today else None
    for pattern, day_at, month_at in ((_DAY_MONTH, 1, 2), (_MONTH_DAY, 2, 1), (_MONTH, 0, 1)):
        match = pattern.fullmatch(said)
        if match is None:
            continue
        month = _month(match[month_at])
        if month is None:
            continue
        day = int(match[day_at]) if day_at else 1
        year = match[match.re.groups]
        return _next(day, month, None if year is None else int(year), today)
    return None


def _month(word: str) -> int | None:
    found = [i for i, name in enumerate(_MONTHS, 1) if name.startswith(word)]
    return found[0] if len(found) == 1 else None


def _next(day: int, month: int, year: int | None, today: date) -> date | None:
    if year is not None:
        found = _date(year, month, day)
        return found if found is not None and found >= today else None
    for y in range(today.year, today.year + 9):  # 29 February comes every four or eight years
        found = _date(y, month, day)
        if found is not None and found >= today:
            return found
    return None


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None

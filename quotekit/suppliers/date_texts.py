"""Dates, days and units in words as suppliers write them; what can be read in two ways is not read.

A list writes all its dates in one order. A year first says itself; 14/3/2026 can be only one thing; 3/4/2026 cannot,
and then the order is asked for in the mapping.

>>> read_date("14.03.2026", "day month year"), read_date("20260314", ""), read_date("14 Mar 2026", "")
(datetime.date(2026, 3, 14), datetime.date(2026, 3, 14), datetime.date(2026, 3, 14))
>>> read_date("03/04/2026", "") is None
True
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

DATE_ORDERS = ("day month year", "month day year", "year month day")

_PARTS = re.compile(r"([0-9]{1,4})[-./ ]([0-9]{1,2})[-./ ]([0-9]{1,4})\.?(?:[ T][0-9:.]+Z?)?")
_RUN = re.compile(r"(20[0-9]{2}|19[0-9]{2})([0-9]{2})([0-9]{2})")
_NAMED = re.compile(r"([0-9]{1,2})[-. /]+([A-Za-z]{3,9})[-. /,]+([0-9]{4}|[0-9]{2})")
_MONTHS = "jan feb mar apr may jun jul aug sep oct nov dec".split()
_LEAD = re.compile(r"(?i)([0-9]{1,4})(?:[.,]0+)?\s*(?:d|days?|tage?|jours?|d[ií]as?|giorni|dagen|dage|dagar|dni)?\.?")
_LEAD_WEEKS = re.compile(r"(?i)([0-9]{1,3})\s*(?:w|wks?|weeks?|wochen?|semaines?|semanas?)\.?")
WORKING_DAYS_A_WEEK = 5
_FIRST_YEAR = 1800

QUANTITY_WORDS = {
    **dict.fromkeys("each ea pc pcs pce piece pieces unit units st stk stck stück pz pza u un szt ks kos".split(), 1),
    **dict.fromkeys("pair pairs pr paar paire".split(), 2),
    **dict.fromkeys("dozen doz dz dtz".split(), 12),
    **dict.fromkeys("gross gro".split(), 144),
    **dict.fromkeys("c hundred cent".split(), 100),
    **dict.fromkeys("m thousand mille tausend".split(), 1000),
    "%": 100,
    "‰": 1000,
}
"""Words for a number of units (common practice, no source): C, M, % as in wholesale, for a hundred or thousand."""


def read_date(text: str, order: str) -> date | None:
    """A day, where the text can be read one way only under the order."""
    text = text.strip()
    found = _RUN.fullmatch(text)
    if found:
        return _day(int(found[1]), int(found[2]), int(found[3]))
    named = _NAMED.fullmatch(text)
    if named:
        month = named[2][:3].lower()
        return _day(_year(named[3]), _MONTHS.index(month) + 1, int(named[1])) if month in _MONTHS else None
    parts = _PARTS.fullmatch(text)
    if parts is None:
        return None
    first, second, third = parts[1], parts[2], parts[3]
    if len(first) == 4:
        return _day(int(first), int(second), int(third))
    if order == "month day year":
        return _day(_year(third), int(first), int(second))
    if order == "year month day":
        return _day(_year(first), int(second), int(third))
    if order == "day month year":
        return _day(_year(third), int(second), int(first))
    readings = {_day(_year(third), int(second), int(first)), _day(_year(third), int(first), int(second))} - {None}
    return readings.pop() if len(readings) == 1 and len(third) == 4 else None


def _year(text: str) -> int:
    return int(text) + 2000 if len(text) <= 2 else int(text)


def _day(year: int, month: int, day: int) -> date | None:
    """A day of the calendar; one of a year such as 226 or 0206 is a slip of the hand."""
    try:
        return date(year, month, day) if year >= _FIRST_YEAR else None
    except ValueError:
        return None


def decide_order(texts: Iterable[str]) -> tuple[str, str]:
    """The order in which a list writes its days, and why; empty where each date says itself or none says.

    Only what is a day in one order alone counts; where some say one and some the other, most count, and it is told.

    >>> decide_order(["03/04/2026", "03/14/2026"])
    ('month day year', 'as in “03/14/2026”')
    >>> decide_order(["2026-03-04"]), decide_order(["03/04/2026"])[0]
    (('', 'the year comes first'), '')
    """
    doubtful = ""
    votes: dict[str, list[str]] = {order: [] for order in DATE_ORDERS[:2]}
    for text in map(str.strip, texts):
        parts = _PARTS.fullmatch(text)
        if parts is None or len(parts[1]) == 4:
            continue
        orders = [order for order in votes if read_date(text, order)]
        if len(orders) == 1:
            votes[orders[0]].append(text)
        doubtful = doubtful or (text if len(orders) == 2 else "")
    order, other = sorted(votes, key=lambda each: -len(votes[each]))
    if votes[other]:
        against = f"“{votes[other][0]}” ({len(votes[other])} such) has the other order"
        return order, f"as in “{votes[order][0]}” ({len(votes[order])} such), but {against}"
    if votes[order]:
        return order, f"as in “{votes[order][0]}”"
    return ("", f"“{doubtful}” could be two days, and no date says which") if doubtful else ("", "the year comes first")


def read_lead_days(text: str) -> int | None:
    """Working days until a part is there; a week is five.

    >>> read_lead_days("3 days"), read_lead_days("2 weeks"), read_lead_days("on request")
    (3, 10, None)
    """
    days = _LEAD.fullmatch(text.strip())
    if days:
        return int(days[1])
    weeks = _LEAD_WEEKS.fullmatch(text.strip())
    return int(weeks[1]) * WORKING_DAYS_A_WEEK if weeks else None


def read_quantity_words(text: str) -> int | None:
    """A number of units said in words or with a unit: `10 pcs`, `per 100`, `C`, `dozen`.

    >>> [read_quantity_words(text) for text in ("10 pcs", "per 100", "C", "PK/25", "EA", "some")]
    [10, 100, 100, 25, 1, None]
    """
    words = re.sub(r"^(?:per|pro|par|je|pack of|pk\s?/?|bx\s?/?|/)\s*", "", text.strip().lower())
    word = QUANTITY_WORDS.get(words.rstrip("."))
    if word is not None:
        return word
    found = re.fullmatch(r"([0-9]{1,6})(?:\s*([a-zü]+)\.?)?", words)
    if found is None or (found[2] and QUANTITY_WORDS.get(found[2]) != 1):
        return None
    return int(found[1]) or None

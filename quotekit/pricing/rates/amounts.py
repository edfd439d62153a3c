"""An amount of the Rate builder as its kind wants it: money of a year, hours of a year, or a percentage.

A cell that says percent is a percentage; any other number up to 1 is one where a percentage may stand, and a number
over 100 is money there. What lies between could be either, so the owner is asked.
A percentage ends at 100 %, an efficiency at 200 %: a bench that is paid by book hours may beat the book. Above 100 % it
must say percent: 110 % or `110%`; a plain 1.1 or 110 is asked about.
Units: money of a year in the shop's currency, hours of a year, fractions. Source: DESIGN.md 3; the rest shop policy.
"""

from __future__ import annotations

from fractions import Fraction

from quotekit.model.rate import Amount, RateLine
from quotekit.money import Exact, shown_hours
from quotekit.problems import Problem, error

MOST_PERCENT = 100
"""No number above it is a percentage of anything else on this sheet."""

MOST_EFFICIENCY = 200
"""No bench keeps more than twice the pace that is charged."""

Read = tuple[Fraction | None, list[Problem]]


def money_of(line: RateLine) -> Read:
    """Money of a year."""
    return _whole_amount(line, "an amount of money", "Type the money of a whole year.")


def hours_of(line: RateLine) -> Read:
    """Hours of a year."""
    return _whole_amount(line, "a number of hours", "Type the hours that are paid for in a whole year.")


def share_of(line: RateLine) -> Read:
    """A percentage, where nothing else makes sense."""
    value, most = line.amount.value, MOST_EFFICIENCY if line.kind == "efficiency" else MOST_PERCENT
    if line.amount.percent and value * 100 > most:
        return None, [_too_big(line, most)]
    if line.amount.percent or value <= 1:
        return Fraction(value), []
    if value > most:
        message = f"{plain(value)} is no percentage, and {line.kind} is one"
        return None, [_wrong(line, "not-an-amount", message, "Type a percentage such as 10%.")]
    readings = [plain(reading) for reading in (value, value * 100) if reading <= most]
    message = f"{plain(value)} is not formatted as percent: is it {' % or '.join(readings)} %?"
    which = "whichever is meant" if readings[1:] else "if that is meant"
    remedy = f"Type {'% or '.join(readings)}% {which}."
    return None, [_wrong(line, "percent-unclear", message, remedy)]


def money_or_share(line: RateLine) -> tuple[Amount | None, list[Problem]]:
    """Money of a year or a percentage, as the cell says; asks where it could be either."""
    value = line.amount.value
    if line.amount.percent and value > 1:
        return None, [_too_big(line, MOST_PERCENT)]
    if line.amount.percent or 0 < value < 1:
        return Amount(value=value, percent=True), []
    if value == 0 or value > MOST_PERCENT:
        return line.amount, []
    message = f"{plain(value)} is not formatted as percent: is it {plain(value)} % or an amount of money?"
    remedy = f"Type {plain(value)}% if it is a percentage; put so small an amount in one row with another."
    return None, [_wrong(line, "amount-unclear", message, remedy)]


def plain(value: Exact) -> str:
    """A number in a sentence, without zeros at its end; four decimals of one that has no end.

    >>> plain(Fraction(125, 2)), plain(Fraction(1, 3)), plain(shown_hours(1000))
    ('62.5', '0.3333', '1000')
    """
    text = f"{shown_hours(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _whole_amount(line: RateLine, wanted: str, remedy: str) -> Read:
    value = line.amount.value
    if line.amount.percent or 0 < value < 1:
        message = f"{line.kind} is {wanted}, and the cell holds a percentage"
        return None, [_wrong(line, "not-an-amount", message, remedy)]
    return Fraction(value), []


def _too_big(line: RateLine, most: int) -> Problem:
    message = f"{plain(line.amount.value * 100)} % is more than {most} %, the most that {line.kind} can be"
    return _wrong(line, "percent-too-big", message, "Check the percentage.")


def _wrong(line: RateLine, code: str, message: str, remedy: str) -> Problem:
    return error(line.source.place("Amount"), code, message, remedy, as_typed(line))


def as_typed(line: RateLine) -> str:
    """The amount as its cell shows it."""
    value = line.amount.value
    return f"{plain(value * 100)}%" if line.amount.percent else plain(value)

"""Hours that can be sold: what part of the hours paid for is spent at the bench, and at what pace.

Formula: sold hours = clock hours x share at the bench x efficiency, for each line of clock hours; then their sum.
A share or an efficiency belongs to the clock hours its line names (`names.py`), to all of them where it names nobody.
Hours without one of the two are not taken as sold in full: dividing a year by the hours paid for is the usual mistake.
Units: hours of a year, fractions. Source: shop policy; sold and paid hours never mix (common practice, no source).

Example: 48 weeks of 42 hours, 60 % of them at the bench at 95 % of the pace that is charged: 2,016 x 0.60 x 0.95
= 1,149.12 hours.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from quotekit.model.rate import BenchHours, RateKind, RateLine
from quotekit.pricing.rates.amounts import as_typed, hours_of, share_of
from quotekit.pricing.rates.names import meant_by, misspelt, names_nobody
from quotekit.problems import Place, Problem, error, warning

HOURS_OF_A_WEEK = 168
"""Clock hours up to here may be those of a week."""

Shares = dict[RateLine, tuple[RateLine, Fraction]]
"""The row that gives a line of clock hours its share, and the share."""


def read_hours(lines: Sequence[RateLine], sheet: Place) -> tuple[list[BenchHours], list[Problem]]:
    """The hours of each line of clock hours; none where something is missing or unclear."""
    problems: list[Problem] = []
    clocks: list[tuple[RateLine, Fraction]] = []
    for line in lines:
        if line.kind == "clock hours":
            hours, found = hours_of(line)
            problems += found
            if hours is not None:
                clocks.append((line, hours))
    if not clocks:
        return [], problems or [_no_clock_hours(sheet)]
    rows = [line for line, _ in clocks]
    shares, found = _shares(lines, "share at the bench", rows)
    paces, more = _shares(lines, "efficiency", rows)
    problems += [*found, *more]
    if not problems:
        problems += [*_missing(rows, shares, "share at the bench"), *_missing(rows, paces, "efficiency")]
    if problems:
        return [], problems
    hours_sold = [_bench(line, hours, shares[line][1], paces[line][1]) for line, hours in clocks]
    return hours_sold, [*_none_sold(hours_sold), *_hours_of_a_week(rows)]


def _bench(line: RateLine, clock: Fraction, share: Fraction, efficiency: Fraction) -> BenchHours:
    return BenchHours(line=line.line, clock=clock, share=share, efficiency=efficiency, source=line.source)


def _shares(lines: Sequence[RateLine], kind: RateKind, clocks: Sequence[RateLine]) -> tuple[Shares, list[Problem]]:
    """The percentage of one kind that each line of clock hours has."""
    shares: Shares = {}
    problems: list[Problem] = []
    for line in lines:
        if line.kind != kind:
            continue
        share, found = share_of(line)
        problems += found
        meant, found = _clocks_of(line, clocks)
        problems += found
        for clock in meant:
            if clock in shares:
                problems.append(_twice(line, clock, shares[clock][0]))
            elif share is not None:
                shares[clock] = line, share
    return shares, problems


def _clocks_of(line: RateLine, clocks: Sequence[RateLine]) -> tuple[list[RateLine], list[Problem]]:
    meant = meant_by(line.line, clocks, lambda clock: clock.line)
    if meant:
        return meant, []
    close = misspelt(line.line, [clock.line for clock in clocks])
    if len(clocks) == 1 and not close and not names_nobody(line.line):
        return list(clocks), []
    message = f"it is not clear whose {line.kind} {line.line} is"
    hint = f"Did you mean {close}? " if close else ""
    remedy = f"{hint}Give it the same Line as the clock hours it belongs to."
    return [], [error(line.source.place("Line"), "line-unclear", message, remedy, f"{line.line}: {as_typed(line)}")]


def _twice(line: RateLine, clock: RateLine, first: RateLine) -> Problem:
    message = f"{clock.line} has a row of {line.kind} already, row {first.source.row}"
    remedy = "Keep one of the two, or give each the Line of the clock hours it belongs to."
    return error(line.source.place("Amount"), "share-twice", message, remedy, as_typed(line))


def _missing(clocks: Sequence[RateLine], shares: Shares, kind: RateKind) -> Iterator[Problem]:
    for clock in clocks:
        if clock not in shares:
            message = f"{clock.line} has clock hours and no {kind}"
            remedy = f"Add a row of the kind {kind} with the same Line; 100% where another row counts it already."
            yield error(clock.source.place("Line"), "share-missing", message, remedy, clock.line)


def _none_sold(hours: Sequence[BenchHours]) -> list[Problem]:
    if any(each.sold for each in hours):
        return []
    message = "no hour is sold, so there is no rate that covers the cost"
    remedy = "Check the clock hours, the share at the bench and the efficiency: one of them is zero everywhere."
    return [error(hours[0].source.place("Amount"), "no-sold-hours", message, remedy)]


def _hours_of_a_week(clocks: Sequence[RateLine]) -> Iterator[Problem]:
    for line in clocks:
        if 0 < line.amount.value <= HOURS_OF_A_WEEK:
            message = f"{line.line} has {as_typed(line)} clock hours: are these the hours of a week?"
            remedy = "Type the hours paid for in a whole year, if they are."
            yield warning(line.source.place("Amount"), "hours-of-a-week", message, remedy, as_typed(line))


def _no_clock_hours(sheet: Place) -> Problem:
    message = "there is no row of the kind clock hours, so it is not known how many hours are sold"
    remedy = "Add a row for each person at the bench: the hours paid for in a year, kind clock hours."
    return error(sheet, "no-clock-hours", message, remedy)

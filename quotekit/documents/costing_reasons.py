"""Reasons and warnings: why a tier or remedy is not there, what to look at next, old prices, every warning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from quotekit.documents.costing_sources import part_of, short_place, where
from quotekit.documents.costing_style import head, note, quantity, section, sheet
from quotekit.documents.quote_json import plain
from quotekit.documents.sheet import Cell, Row, Sheet, blank, day, row, text
from quotekit.model.job import at_side
from quotekit.model.quote import Quote
from quotekit.model.shop_book import FitsOnlyIf, Part
from quotekit.problems import Problem

COLUMNS = 4
WIDTHS = (29.0, 34.0, 36.0, 22.0)


def lay_out_reasons(quote: Quote, problems: Sequence[Problem], name: str) -> Sheet:
    """The sheet, one section a kind of reason; what there is none of is said in one line."""
    sections = [
        _not_offered(quote),
        _not_permitted(quote),
        _only_with(quote),
        _next(quote, "Measure next", quote.measure_next, "A limit needs this measurement and the job lacks it."),
        _next(quote, "Look next", quote.look_next, "What was found says to check this too."),
        _old_prices(quote),
        _warnings(quote, problems),
    ]
    none = [one.none for one in sections if not one.rows]
    rows = [
        row(text("Reasons and warnings", "title", COLUMNS)),
        *([note(" ".join(none), COLUMNS)] if none else []),
        *(line for one in sections if one.rows for line in (*section(one.title, COLUMNS), one.head, *one.rows)),
    ]
    return sheet(quote, name, rows, WIDTHS)


class _Section(NamedTuple):
    """A kind of reason: its rows under a heading, or a sentence where there is none."""

    title: str
    head: Row
    rows: list[Row]
    none: str


def _table(title: str, titles: tuple[str | tuple[str, int], ...], rows: Iterable[Row], none: str) -> _Section:
    return _Section(title, head(*titles), list(rows), none)


def _not_offered(quote: Quote) -> _Section:
    rows = (
        row(text(f"{tier.name} ({tier.code})"), text(tier.reason or "no reason is recorded", across=3))
        for tier in quote.tiers
        if not tier.offered
    )
    return _table("Tiers that are not offered", ("Tier", ("Why", 3)), rows, "Every tier is offered.")


def _not_permitted(quote: Quote) -> _Section:
    rows = (
        row(
            _remedy(quote, refused.remedy, refused.side),
            text(refused.why, across=2),
            text(_limit_cells(quote, refused.remedy), "cell"),
        )
        for refused in quote.not_permitted
    )
    titles = ("Remedy", ("Why", 2), "Cells")
    return _table("Remedies that are not permitted", titles, rows, "No remedy is kept out by a limit.")


def _only_with(quote: Quote) -> _Section:
    rows = (
        row(
            _remedy(quote, only.remedy, only.side),
            text(f"fits only together with {' or '.join(only.with_)}", across=2),
            text(_limit_cells(quote, only.remedy), "cell"),
        )
        for only in quote.only_with
    )
    titles = ("Remedy", ("With", 2), "Cells")
    return _table("Remedies that fit only with another", titles, rows, "None fits only with another.")


def _remedy(quote: Quote, code: str, side: str | None) -> Cell:
    known = quote.book.remedies.get(code)
    return text(f"{known.remedy} ({at_side(code, side)})" if known else at_side(code, side))


def _limit_cells(quote: Quote, remedy: str) -> str:
    return "\n".join(_limit_cell(quote, limit) for limit in quote.book.limits_of.get(remedy, ()))


def _limit_cell(quote: Quote, limit: FitsOnlyIf) -> str:
    low = "any" if limit.from_ is None else plain(limit.from_)
    high = "any" if limit.to is None else plain(limit.to)
    return f"{where(limit.source, 'From', quote)} {limit.finding} {low} to {high}".strip()


def _next(quote: Quote, title: str, keys: Sequence[str], why: str) -> _Section:
    rows = [row(text(key, "strong"), text(_finding_name(quote, key), across=3)) for key in keys]
    return _Section(title, note(why, COLUMNS), rows, f"Nothing to {title[0].lower()}{title[1:]}.")


def _finding_name(quote: Quote, key: str) -> str:
    finding = quote.book.findings.get(key.partition("@")[0])
    if finding is None:
        return ""
    return f"{finding.finding}{f', measure {finding.measure}' if finding.measure else ''}"


def _old_prices(quote: Quote) -> _Section:
    limit = quote.book.settings.price_age_limit_days
    used = {line.part: line for tier in quote.tiers for line in tier.part_lines if not line.own}
    parts = [part for part in (part_of(quote, code) for code in used) if part is not None]
    rows = (line for part in parts for line in _age(quote, part, limit))
    titles = ("Part", "Cost date", f"Age in days (limit {limit})", "Cells")
    return _table("Prices that are old or have no date", titles, rows, "Every price used is dated and young enough.")


def _age(quote: Quote, part: Part, limit: int) -> Iterator[Row]:
    name = text(f"{part.part} ({part.code})")
    cell = text(where(part.source, "Cost date", quote), "cell")
    if part.cost_date is None:
        yield row(name, text("no date"), blank(), cell)
        return
    age = (quote.job.quote_date - part.cost_date).days
    if age > limit:
        yield row(name, day(part.cost_date, "left"), quantity(age, "left"), cell)


def _warnings(quote: Quote, problems: Sequence[Problem]) -> _Section:
    rows = (
        row(text(problem.message, across=2), text(problem.remedy), text(_spot(quote, problem), "cell"))
        for problem in problems
    )
    return _table("Warnings", (("What", 2), "What to do", "Cell"), rows, "No warnings.")


def _spot(quote: Quote, problem: Problem) -> str:
    return short_place(problem.place, quote) or problem.place.file

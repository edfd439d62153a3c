"""All proposals of one or several lists: rows compared, effects worked out, quotes and remedies found, all in order.

Effect on the shop of a row of Parts: units used in the year before the day x change in the cost of one, and x change
in its selling price. Where the row gives way to another part of the book, the change is to that part's new cost and
price, since quotes hold that part then; where it gave way already, its units count with that part. A row of Offers has
none: it is another supplier's price for a part that is bought elsewhere.
Order: parts that were used first; then by the larger of the two effects, in size; then by the change in the cost of
one, as a share, in size (a cost that was zero before all others); then in the order of the book.
Units: money, exact, rounded where shown. Source: shop policy.

Worked example: 40 units used, cost 3.95 to 4.15, price 7.51 to 7.89: 8.00 more to pay a year, 15.20 more to sell for.
10 units of BELT, 20.00, replaced by LONG, which costs 22.00 now and 23.00 by the list: 30.00 more to pay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal, localcontext
from fractions import Fraction

from quotekit.model.open_quotes import OpenQuote
from quotekit.model.proposed_prices import (
    ListUsed,
    NotProposed,
    PriceProposal,
    ProposedPrices,
)
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.proposals.book_rows import PARTS, book_with, instead_of, replaced_by, rows_of
from quotekit.pricing.proposals.one_row import Lists, propose_row
from quotekit.pricing.proposals.open_quotes import Waiting, price_open
from quotekit.pricing.proposals.standing_uses import touched_uses
from quotekit.pricing.proposals.successors import Found, only_once
from quotekit.pricing.proposals.touched import Changed
from quotekit.pricing.proposals.units_used import in_place_of
from quotekit.pricing.review.done import code_key
from quotekit.record import record


@record
class Compared:
    """A supplier's list with what it says of the book's numbers."""

    used: ListUsed
    found: Found


@record
class Ledger:
    """What the ledger says: units by code as compared, and from which day on they were counted."""

    used_from: date
    units: Mapping[str, Fraction]


def propose_prices(
    book: ShopBook,
    lists: Sequence[Compared],
    day: date,
    limit: Decimal,
    *,
    ledger: Ledger | None = None,
    waiting: Iterable[Waiting] = (),
) -> ProposedPrices:
    """Everything the lists would change in a book, and what it would do to the shop. Pure."""
    with localcontext(EXACT):
        found = list(_found(book, lists, day, limit))
        proposals = [one for one in found if isinstance(one, PriceProposal)]
        new = book_with(book, proposals)
        quotes = _priced(book, new, proposals, waiting)
        proposals = [replace(one, instead=instead_of(one, new)) for one in proposals]
        told = _with_effects(book, new, proposals, ledger, quotes)
        touched = tuple(quote for quote in quotes if quote.touched or quote.trouble)
        return ProposedPrices(
            book_file=book.file,
            book_sha256=book.sha256,
            shop_name=book.settings.shop_name,
            currency=book.settings.currency,
            language=book.settings.language,
            day=day,
            limit=limit,
            lists=tuple(one.used for one in lists),
            proposals=tuple(sorted(told, key=_order)),
            same=sum(one is None for one in found),
            left=tuple(one for one in found if isinstance(one, NotProposed)),
            quotes=touched,
            quotes_untouched=len(quotes) - len(touched),
            used_from=None if ledger is None else ledger.used_from,
        )


def _found(
    book: ShopBook, lists: Iterable[Compared], day: date, limit: Decimal
) -> Iterator[PriceProposal | NotProposed | None]:
    """Every row held against its supplier's list, in the order of the lists and of the book."""
    line = replaced_by(book)
    for one in lists:
        rows = rows_of(book, one.used.supplier)
        codes = only_once((row.terms.number.strip(), row.code) for row in rows if row.sheet == PARTS)
        told = Lists(book=book, found=one.found, codes=codes, day=day, limit=limit, line=line)
        for row in rows:
            said = propose_row(told, row)
            if isinstance(said, PriceProposal) and row.sheet == PARTS:
                line[row.code] = said.new.replaced_by
            yield said


def _priced(
    book: ShopBook, new: ShopBook, proposals: Iterable[PriceProposal], waiting: Iterable[Waiting]
) -> list[OpenQuote]:
    """The open quotes under all proposals, the first that runs out first."""
    of_parts = [one for one in proposals if one.row.sheet == PARTS]
    changed = Changed(
        amounts=frozenset(one.row.code for one in of_parts if one.alters),
        places=frozenset(one.row.code for one in of_parts if one.gives_way),
        leads=frozenset(one.row.code for one in of_parts if one.other_lead),
    )
    quotes = [price_open(one, book, new, changed) for one in waiting]
    return sorted(quotes, key=lambda quote: (quote.valid_until, quote.job, quote.version))


def _with_effects(
    book: ShopBook,
    new: ShopBook,
    proposals: Sequence[PriceProposal],
    ledger: Ledger | None,
    quotes: Sequence[OpenQuote],
) -> list[PriceProposal]:
    remedies = touched_uses(proposals, book, new)
    holding = _by_part((quote.name, quote.parts) for quote in quotes)
    offering = _by_part((quote.name, quote.extra_parts) for quote in quotes)
    units = None if ledger is None else in_place_of(ledger.units, book)
    told = []
    for one in proposals:
        code = one.row.code
        if one.row.sheet == PARTS:
            named, uses = holding.get(code, ()), remedies.get(code, ())
            one = replace(one, remedies=uses, quotes=named, extra_quotes=offering.get(code, ()))
            one = _with_effect(one, units)
        told.append(one)
    return told


def _by_part(quotes: Iterable[tuple[str, Iterable[str]]]) -> Mapping[str, tuple[str, ...]]:
    """Names of quotes by part."""
    found: dict[str, tuple[str, ...]] = {}
    for name, parts in quotes:
        for part in parts:
            found[part] = (*found.get(part, ()), name)
    return found


def _with_effect(one: PriceProposal, counted: Mapping[str, Fraction] | None) -> PriceProposal:
    if counted is None:
        return one
    units = counted.get(code_key(one.row.code), Fraction(0))
    old, new = one.row.terms, one.then
    return replace(
        one,
        used=units,
        cost_effect=units * (new.cost_each - old.cost_each),
        price_effect=units * (Fraction(new.price or 0) - Fraction(old.price or 0)),
    )


def _order(one: PriceProposal) -> tuple[bool, Fraction, bool, Fraction]:
    """Used before never used, then by effect, then by change; equal ones stay as they were."""
    change = one.cost_change_then
    size = Fraction(0) if change is None else abs(change)
    return (not one.used, -one.effect, change is not None, -size)

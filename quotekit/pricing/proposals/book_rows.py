"""The rows of the shop book that a supplier's list speaks of, and a row's selling price by the shop's own bands.

A list speaks of the rows of Parts and of Offers that name its supplier. A part's selling price is worked out by the
same function as in a quote; what Offers says is bought and never sold. Units: money per unit of the part.
Source: DESIGN.md 5.4 and 5.9 (supplier of a part); shop policy.

Worked example: SEAL at 6.40 for 2 from NORTH, and an offer of LAKE for SEAL: NORTH's list has one row here, LAKE's one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

from quotekit.model.proposed_prices import BookRow, PriceProposal, Terms
from quotekit.model.shop_book import Offer, Part, ShopBook
from quotekit.money import minor_digits
from quotekit.pricing.part_price import band_of, unit_cost, unit_price

PARTS, OFFERS = "Parts", "Offers"


def rows_of(book: ShopBook, supplier: str) -> tuple[BookRow, ...]:
    """Every row of a supplier, Parts first, in the order of the sheets."""
    digits = minor_digits(book.settings.currency)
    parts = [_of_part(part, book, digits) for part in book.parts.values() if part.supplier == supplier]
    return (*parts, *(_of_offer(offer, book) for offer in book.offers if offer.supplier == supplier))


def numbers_of(rows: Iterable[BookRow]) -> list[str]:
    """The supplier's numbers to look up; a row without one is asked for by its code, for a hint alone."""
    return list(dict.fromkeys(row.terms.number.strip() or row.code for row in rows))


def replaced_by(book: ShopBook) -> dict[str, str | None]:
    """`Replaced by` of every part."""
    return {part.code: part.replaced_by for part in book.parts.values()}


def contents_of(book: ShopBook) -> dict[str, list[str]]:
    """What each kit contains, by its code."""
    return {part.code: [content.code for content in part.contains] for part in book.parts.values() if part.contains}


def has_price(part: Part, book: ShopBook) -> bool:
    """True where the part can be sold: a fixed price, or a band that holds its unit cost."""
    return part.fixed_price_each is not None or band_of(unit_cost(part), book.markup) is not None


def sold_at(part: Part, book: ShopBook) -> Decimal:
    """The selling price of one, as a quote has it."""
    return unit_price(part, book.markup, minor_digits(book.settings.currency)).price


def part_with(part: Part, terms: Terms) -> Part:
    """The part with other terms."""
    return replace(
        part,
        pack_quantity=terms.pack_quantity,
        pack_cost=terms.pack_cost,
        list_price_each=terms.list_each,
        lead_days=terms.lead_days,
        suppliers_number=terms.number,
        replaced_by=terms.replaced_by,
        cost_date=terms.cost_date,
    )


def instead_of(one: PriceProposal, new: ShopBook) -> BookRow | None:
    """The part that takes the place of another by this proposal, at the end of the line, as the new book has it."""
    if one.row.sheet != PARTS or not one.gives_way:
        return None
    part = new.parts[one.row.code]
    while part.replaced_by is not None:
        part = new.parts[part.replaced_by]
    return _of_part(part, new, minor_digits(new.settings.currency))


def book_with(book: ShopBook, proposals: Iterable[PriceProposal]) -> ShopBook:
    """The shop book as if these proposals had been taken."""
    parts: dict[str, Part] = dict(book.parts)
    offers: Mapping[int, Terms] = dict(_offers_with(book, proposals, parts))
    changed = tuple(_offer_with(offer, offers.get(place)) for place, offer in enumerate(book.offers))
    return replace(book, parts=parts, offers=changed)


def _offers_with(
    book: ShopBook, proposals: Iterable[PriceProposal], parts: dict[str, Part]
) -> Iterator[tuple[int, Terms]]:
    """Puts new terms into the parts; gives those of offers by their place."""
    places = {(offer.part, offer.supplier, offer.source.row): place for place, offer in enumerate(book.offers)}
    for one in proposals:
        if one.row.sheet == PARTS:
            parts[one.row.code] = part_with(parts[one.row.code], one.new)
        else:
            yield places[one.row.code, one.row.supplier, one.row.source.row], one.new


def _offer_with(offer: Offer, terms: Terms | None) -> Offer:
    if terms is None:
        return offer
    return replace(
        offer,
        pack_quantity=terms.pack_quantity,
        pack_cost=terms.pack_cost,
        suppliers_number=terms.number,
        lead_days=terms.lead_days,
        dated=terms.cost_date,
    )


def _of_part(part: Part, book: ShopBook, digits: int) -> BookRow:
    terms = Terms(
        pack_quantity=part.pack_quantity,
        pack_cost=part.pack_cost,
        list_each=part.list_price_each,
        lead_days=part.lead_days,
        number=part.suppliers_number,
        replaced_by=part.replaced_by,
        cost_date=part.cost_date,
        price=unit_price(part, book.markup, digits).price,
    )
    return BookRow(
        sheet=PARTS,
        code=part.code,
        name=part.part,
        supplier=part.supplier,
        terms=terms,
        unit=part.unit,
        source=part.source,
    )


def _of_offer(offer: Offer, book: ShopBook) -> BookRow:
    part = book.parts[offer.part]
    terms = Terms(
        pack_quantity=offer.pack_quantity,
        pack_cost=offer.pack_cost,
        lead_days=offer.lead_days,
        number=offer.suppliers_number,
        cost_date=offer.dated,
    )
    return BookRow(
        sheet=OFFERS,
        code=part.code,
        name=part.part,
        supplier=offer.supplier,
        terms=terms,
        unit=part.unit,
        source=offer.source,
    )

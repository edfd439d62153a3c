"""Who sells a part: the supplier on its row, and those of the sheet Offers (DESIGN.md 3).

A part of the shop book is the same part for every job. A row of the job's own Parts sheet, and a one-off line, is a
part for that job alone: it is bought as its row says, and neither offers nor the shelf stand in for it. A part's extra
freight counts for each pack, whoever sends it; so does whether it can be returned. Lead days are the row's own, else
its supplier's. A part whose supplier is the shelf, or that has none, is kept in stock: it is taken from the shelf; only
where counted stock is short are offers of others asked. An offer of the shelf itself says nothing.
Source: shop policy.

Worked example: SEAL at NORTH in packs of 2, an offer of AXLE in packs of 5: two offers, NORTH the usual one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from quotekit.model.job import Job, OneOff
from quotekit.model.landed import PackOffer, PartFacts
from quotekit.model.shop_book import Part, ShopBook, Supplier
from quotekit.model.source import NOWHERE
from quotekit.pricing.landed.superseded import final_number
from quotekit.record import record

ZERO = Decimal(0)


@record
class Sold:
    """A part with who sells it."""

    facts: PartFacts
    offers: tuple[PackOffer, ...]


def part_key(code: str, job: Job, book: ShopBook) -> str:
    """The part that a job means by a code: the book's, or one for this job alone.

    `book` is the shop book that the job was quoted with. A one-off line goes by its text, since its code is counted by
    rows and a line put before it would move it; a second line of the same text is counted.
    """
    line = _one_off(job, code)
    if line is not None:
        return f"{_name_of(line, job)} of {job.job_number}"
    own = job.parts.get(code)
    if own is None or (code in book.parts and _same(own, book.parts[code])):
        return code
    return f"{code} of {job.job_number}"


def sold(code: str, job: Job, quoted: ShopBook, now: ShopBook) -> Sold:
    """Who sells what a job means by a code; prices of the book's parts are those of the shop book of today."""
    key, line = part_key(code, job, quoted), _one_off(job, code)
    if line is not None:
        return _sold_once(key, line, now)
    if key == code and code in now.parts:
        part = now.parts[final_number(code, now)]
        return Sold(facts=_facts(part.code, part, now), offers=(*_usual(part.code, part, now), *_others(part, now)))
    part = job.parts.get(code) or quoted.parts[code]
    return Sold(facts=_facts(key, part, now), offers=_usual(key, part, now))


def terms_by_supplier(books: list[ShopBook]) -> dict[str, Supplier]:
    """Terms of suppliers by code, of the later books where several know one."""
    return {code: terms for book in books for code, terms in (book.suppliers or {}).items()}


def is_shelf(supplier: str | None, book: ShopBook) -> bool:
    """True for the shop's own stock; no supplier at all means the shelf."""
    terms = (book.suppliers or {}).get(supplier or "")
    return not supplier or (terms is not None and terms.shelf)


def _same(own: Part, books: Part) -> bool:
    return replace(own, source=NOWHERE) == replace(books, source=NOWHERE)


def _one_off(job: Job, code: str) -> OneOff | None:
    return next((line for line in job.one_off if line.code == code and line.kind == "part"), None)


def _name_of(line: OneOff, job: Job) -> str:
    alike = [one.code for one in job.one_off if one.kind == "part" and one.line.strip() == line.line.strip()]
    place = alike.index(line.code) + 1
    return line.line.strip() if place == 1 else f"{line.line.strip()} ({place})"


def _facts(key: str, part: Part, book: ShopBook) -> PartFacts:
    return PartFacts(
        part=key,
        code=part.code,
        name=part.part,
        unit=part.unit,
        returnable=part.returnable,
        shelf=is_shelf(part.supplier, book),
        new_or_used=part.new_or_used,
    )


def _usual(key: str, part: Part, book: ShopBook) -> tuple[PackOffer, ...]:
    if is_shelf(part.supplier, book):
        return ()
    return (
        PackOffer(
            part=key,
            supplier=part.supplier,
            pack_quantity=part.pack_quantity,
            pack_cost=part.pack_cost,
            suppliers_number=part.suppliers_number,
            lead_days=part.lead_days if part.lead_days is not None else _lead_of(part.supplier, book),
            extra_freight=part.extra_freight or ZERO,
            usual=True,
            dated=part.cost_date,
        ),
    )


def _others(part: Part, book: ShopBook) -> Iterator[PackOffer]:
    for offer in book.offers:
        if offer.part == part.code and not is_shelf(offer.supplier, book):
            yield PackOffer(
                part=part.code,
                supplier=offer.supplier,
                pack_quantity=offer.pack_quantity,
                pack_cost=offer.pack_cost,
                suppliers_number=offer.suppliers_number,
                lead_days=offer.lead_days if offer.lead_days is not None else _lead_of(offer.supplier, book),
                extra_freight=part.extra_freight or ZERO,
                dated=offer.dated,
            )


def _sold_once(key: str, line: OneOff, book: ShopBook) -> Sold:
    facts = PartFacts(part=key, code=line.code, name=line.line, shelf=is_shelf(line.supplier, book))
    if facts.shelf:
        return Sold(facts=facts, offers=())
    supplier = line.supplier or ""
    offer = PackOffer(
        part=key,
        supplier=supplier,
        pack_quantity=Decimal(1),
        pack_cost=line.unit_cost or ZERO,
        lead_days=line.lead_days if line.lead_days is not None else _lead_of(supplier, book),
        usual=True,
        cost_known=line.unit_cost is not None,
    )
    return Sold(facts=facts, offers=(offer,))


def _lead_of(supplier: str, book: ShopBook) -> int | None:
    terms = (book.suppliers or {}).get(supplier)
    return terms.lead_days if terms is not None else None

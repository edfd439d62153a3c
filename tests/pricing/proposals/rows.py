"""A small shop book whose rows know their cells, and lists of a few numbers, for tests of price proposals."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.price_list import Finding, FoundPrice, ListedPrice, ListReport
from quotekit.model.proposed_prices import FIELDS, BookRow, ListUsed, NotProposed, PriceProposal
from quotekit.model.shop_book import Offer, Part, ShopBook
from quotekit.model.source import Source
from quotekit.pricing.proposals.book_rows import PARTS, replaced_by, rows_of
from quotekit.pricing.proposals.one_row import Lists, propose_row
from quotekit.pricing.proposals.propose import Compared
from quotekit.pricing.proposals.successors import Found, only_once
from tests.build import a_band, a_book, a_part, a_supplier, by_code, settings

DAY = date(2026, 12, 1)
NUMBERS = ("cost", "cost_for", "pack", "list_price", "list_for")


def columns(sheet: str, without: tuple[str, ...] = ()) -> dict[str, str]:
    """Letters of the columns of a sheet, in the order of the fields, from D on."""
    headers = [named[sheet] for named in FIELDS.values() if sheet in named]
    letters = dict(zip(headers, "DEFGHIJ", strict=False))
    return {header: letter for header, letter in letters.items() if header not in without}


def part(
    code: str, pack_cost: str, pack: str = "1", *, row: int = 5, without: tuple[str, ...] = (), **terms: Any
) -> Part:
    """A part of NORTH; its number is N- and the code unless it is given."""
    named = {"suppliers_number": f"N-{code}", "supplier": "NORTH", **terms}
    source = Source(file="book.xlsx", sheet="Parts", row=row, columns=columns("Parts", without))
    return a_part(code, pack_cost, pack, source=source, **named)


def offer(code: str, pack_cost: str, pack: str = "1", *, row: int = 3, **terms: Any) -> Offer:
    """Another supplier's price for a part."""
    named = {"suppliers_number": f"L-{code}", "supplier": "LAKE", **terms}
    source = Source(file="book.xlsx", sheet="Offers", row=row, columns=columns("Offers"))
    return Offer(part=code, pack_cost=Decimal(pack_cost), pack_quantity=Decimal(pack), source=source, **named)


def book_of(*parts: Part, **values: Any) -> ShopBook:
    """A book of these parts: 100 % up to 5.00, 50 % above."""
    given: dict[str, Any] = {
        "settings": settings(currency="USD", price_age_limit_days=90),
        "markup": (a_band(0, 5, "1"), a_band(5, None, "0.5")),
        "suppliers": by_code([a_supplier("NORTH"), a_supplier("LAKE")]),
        "parts": by_code(parts),
        "file": "book.xlsx",
        "sha256": "b" * 64,
    }
    return a_book(**(given | values))


def listed(number: str, cost: str | None = None, **says: Any) -> ListedPrice:
    """A row of a list in force; amounts as texts."""
    read = {name: Decimal(value) if name in NUMBERS and value is not None else value for name, value in says.items()}
    given = {"row": 7, "fate": "in force", "currency": "USD", **read}
    return ListedPrice(number=number, cost=None if cost is None else Decimal(cost), **given)


def exact(number: str, cost: str | None = None, **says: Any) -> FoundPrice:
    """What the list says of a number that stands in it."""
    return FoundPrice(asked=number, how="exact", price=listed(number, cost, **says))


def unpriced(number: str, how: Finding, *rows: ListedPrice, nearest: tuple[str, ...] = ()) -> FoundPrice:
    """What the list says of a number that has no price."""
    return FoundPrice(asked=number, how=how, rows=rows, nearest=nearest)


def found(*answers: FoundPrice) -> Found:
    """Answers by number."""
    return {answer.asked: answer for answer in answers}


def proposed(
    book: ShopBook,
    *answers: FoundPrice,
    code: str = "SEAL",
    supplier: str = "NORTH",
    limit: str = "0.2",
    day: date = DAY,
) -> PriceProposal | NotProposed | None:
    """What is proposed for one row of a book."""
    rows = rows_of(book, supplier)
    codes = only_once((row.terms.number.strip(), row.code) for row in rows if row.sheet == PARTS)
    lists = Lists(
        book=book, found=found(*answers), codes=codes, day=day, limit=Decimal(limit), line=replaced_by(book)
    )  # fmt: skip
    return propose_row(lists, next(row for row in rows if row.code == code))


def proposal(book: ShopBook, *answers: FoundPrice, **asked: Any) -> PriceProposal:
    """The same where there is a proposal."""
    one = proposed(book, *answers, **asked)
    assert isinstance(one, PriceProposal), one
    return one


def left(book: ShopBook, *answers: FoundPrice, **asked: Any) -> NotProposed:
    """The same where there is none, and a reason."""
    one = proposed(book, *answers, **asked)
    assert isinstance(one, NotProposed), one
    return one


def cells(one: PriceProposal) -> dict[str, tuple[str, str]]:
    """What would be changed: cell to what it says and what it would say."""
    return {f"{change.sheet}!{change.cell}": (_text(change.old), _text(change.new)) for change in one.changes}


def reasons(one: PriceProposal) -> list[str]:
    """Why a second tick is needed."""
    return [said.what for said in one.over]


def notes(one: PriceProposal) -> list[tuple[str, str]]:
    """What else is said."""
    return [(said.what, said.about) for said in one.notes]


def compared(answers: Found, supplier: str = "NORTH", file: str = "north.csv") -> Compared:
    """A list as it was compared."""
    priced = sum(answer.price is not None for answer in answers.values())
    report = ListReport(
        supplier=supplier, file=file, sha256="a" * 64, day=DAY, currency="USD", rows=priced + 1, numbers=priced,
        fates={"in force": priced, "above the table": 1}, read_as=("UTF-8",),
    )  # fmt: skip
    return Compared(used=ListUsed(report=report, supplier=supplier, asked=len(answers), not_in_book=0), found=answers)


def row_of(book: ShopBook, code: str, supplier: str = "NORTH") -> BookRow:
    """One row of a supplier."""
    return next(row for row in rows_of(book, supplier) if row.code == code)


def _text(value: object) -> str:
    return "" if value is None else f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)

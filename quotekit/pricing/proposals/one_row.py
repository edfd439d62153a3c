"""What is proposed for one row of the shop book, or why nothing is.

Only a number that stands in the list exactly as in the book is taken; one that is alike, one slip away, missing,
contradicted or without a price is told and never proposed by itself. A superseded number: where a part of the book has
the number at the end of the line, `Replaced by` is proposed, but never so that a kit comes into a kit; where none has
and the list prices it, that number takes the place with its terms; else the row's own terms stand and the number is
told.
A cost that no band of Markup holds, where no fixed price is given, is told and not proposed, as the book could not be
priced with it. What the sheet has no column for is told. Nothing is proposed where nothing differs.
Source: shop policy.

Worked example: the book has BUSH, number 2-0117, 7.90 for 2; the list says 2-0117, 8.30 for a pack of 2: the pack cost
becomes 8.30, the cost of one 3.95 becomes 4.15.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from quotekit.model.price_list import FoundPrice, ListedPrice
from quotekit.model.proposed_prices import (
    FIELDS,
    TOGETHER,
    BookRow,
    CellValue,
    ChangedField,
    Left,
    Noted,
    NotProposed,
    PriceProposal,
    ProposedChange,
    Said,
    Terms,
)
from quotekit.model.shop_book import ShopBook
from quotekit.money import minor_digits, round_to
from quotekit.pricing.proposals.book_rows import PARTS, contents_of, has_price, part_with, replaced_by, sold_at
from quotekit.pricing.proposals.new_terms import DECIMALS, TooExact, dated, finite, other_price, stated
from quotekit.pricing.proposals.second_tick import over_limit, said
from quotekit.pricing.proposals.successors import Found, end_of_line, kit_in_kit, leads_to
from quotekit.record import record


@record
class Lists:
    """What every row of a supplier is held against."""

    book: ShopBook
    found: Found
    """What the list says of each number that was asked for, superseding ones among them."""
    codes: Mapping[str, str]
    """The supplier's parts in the book by number."""
    day: date
    limit: Decimal
    line: Mapping[str, str | None]
    """`Replaced by` of every part as the proposals before this one leave it, so that they make no circle together."""


@record
class _Counting:
    """The row of the list that counts, under which number, and the part that takes the place."""

    number: str
    price: ListedPrice | None
    replaced_by: str = ""
    settled: bool = False
    """True where the book replaces the part already as the list does."""
    notes: tuple[Said[Noted], ...] = ()


def propose_row(lists: Lists, row: BookRow) -> PriceProposal | NotProposed | None:
    """The proposal for a row, why there is none, or None where the list says the same."""
    number = row.terms.number.strip()
    answer = lists.found.get(number) if number else lists.found.get(row.code)
    why = _unusable(number, answer)
    if why is not None:
        return _left(row, why, answer)
    assert answer is not None
    counting = _counting(lists, row, number, answer)
    if counting.price is None and counting.settled:
        return None
    if counting.price is None and not counting.replaced_by:
        return _left(row, "contradicted" if answer.how == "contradicted" else "no price", answer, counting)
    try:
        new, notes = _new_terms(lists, row, counting)
    except TooExact as fault:
        return NotProposed(row=row, why="too exact", about=str(fault), listed=_rows(counting))
    if new is None:
        return NotProposed(row=row, why="no band", about=_cost(counting), listed=_rows(counting))
    return _proposal(lists, row, new, counting, (*counting.notes, *notes))


def _unusable(number: str, answer: FoundPrice | None) -> Left | None:
    """Why a number can't be taken from the list at all."""
    if not number:
        return "no number"
    if answer is None or answer.how == "not found":
        return "not found"
    return answer.how if answer.how in ("near", "several") else None


def _left(row: BookRow, why: Left, answer: FoundPrice | None, counting: _Counting | None = None) -> NotProposed:
    """Nothing proposed, with what the list says near it."""
    about = counting.notes[0].about if counting is not None and counting.notes else ""
    if answer is None:
        return NotProposed(row=row, why=why, about=about)
    if why == "no number":
        hint = (row.code,) if answer.how in ("exact", "no price", "contradicted") else ()
        return NotProposed(row=row, why=why, nearest=hint)
    near = (answer.price.number,) if answer.how == "near" and answer.price is not None else ()
    listed = answer.rows if answer.price is None else (answer.price,)
    return NotProposed(row=row, why=why, about=about, nearest=(*near, *answer.nearest), listed=listed)


def _counting(lists: Lists, row: BookRow, number: str, answer: FoundPrice) -> _Counting:
    """Which row of the list counts, supersession followed."""
    end = end_of_line(number, lists.found)
    own = answer.price
    if end is None:
        return _Counting(number=number, price=own, notes=(Said(what="in a circle", about=number),))
    if end == number:
        return _Counting(number=number, price=own)
    code = lists.codes.get(end, "") if row.sheet == PARTS else ""
    if code and code != row.code:
        if leads_to(code, row.code, lists.line):
            return _Counting(number=number, price=own, notes=(Said(what="in a circle", about=code),))
        if kit_in_kit(row.code, code, contents_of(lists.book), lists.line):
            return _Counting(number=number, price=own, notes=(Said(what="kit in a kit", about=code),))
        stands = leads_to(row.code, code, replaced_by(lists.book))
        return _Counting(number=number, price=own, replaced_by="" if stands else code, settled=stands)
    there = lists.found.get(end)
    if there is not None and there.how == "exact" and there.price is not None:
        return _Counting(number=end, price=there.price)
    return _Counting(number=number, price=own, notes=(Said(what="in no price list", about=end),))


def _new_terms(lists: Lists, row: BookRow, counting: _Counting) -> tuple[Terms | None, tuple[Said[Noted], ...]]:
    """New terms with date and selling price; None where no band holds the cost. Raises TooExact."""
    new, notes = row.terms, tuple[Said[Noted], ...]()
    if counting.price is not None:
        supplier = (lists.book.suppliers or {}).get(row.supplier)
        found = stated(row.terms, counting.price, supplier.lead_days if supplier else None)
        new, notes = replace(found.terms, number=_number(row, counting)), found.notes
    if counting.replaced_by:
        new = replace(new, replaced_by=counting.replaced_by)
    new, missing = _with_columns(row, new)
    if counting.price is not None:
        new = _with_columns(row, dated(row.terms, new, lists.day, lists.book.settings.price_age_limit_days))[0]
        if new.cost_date != row.terms.cost_date and not other_price(row.terms, new):
            missing = (*missing, Said(what="confirmed"))
    if row.sheet == PARTS:
        part = part_with(lists.book.parts[row.code], new)
        if not has_price(part, lists.book):
            return None, ()
        new = replace(new, price=sold_at(part, lists.book))
    return new, (*notes, *missing)


def _number(row: BookRow, counting: _Counting) -> str:
    """The number as the book spells it where it is the same."""
    return row.terms.number if counting.number == row.terms.number.strip() else counting.number


def _with_columns(row: BookRow, new: Terms) -> tuple[Terms, tuple[Said[Noted], ...]]:
    """The terms less what the sheet has no column for, and a note for each."""
    missing: list[Said[Noted]] = []
    for field, value in _VALUES.items():
        header = FIELDS[field].get(row.sheet, "")
        if getattr(new, value) != getattr(row.terms, value) and header not in row.source.columns:
            new = replace(new, **{value: getattr(row.terms, value)})
            if header:
                missing.append(Said(what="no column", about=header))
    return new, tuple(missing)


def _proposal(
    lists: Lists, row: BookRow, new: Terms, counting: _Counting, notes: tuple[Said[Noted], ...]
) -> PriceProposal | None:
    digits = minor_digits(lists.book.settings.currency)
    reasons = over_limit(row, new, counting.price, lists.limit, digits)
    place = new.number if new.replaced_by == row.terms.replaced_by else new.replaced_by
    changes = tuple(_changes(row, new, over=bool(reasons)))
    if not changes:
        return None
    return PriceProposal(
        row=row,
        new=new,
        changes=changes,
        list_row=counting.price.row if counting.price is not None else 0,
        list_number=counting.number,
        over=said(reasons, place or ""),
        notes=notes,
    )


def _changes(row: BookRow, new: Terms, *, over: bool) -> Iterator[ProposedChange]:
    """Each cell that would change; a new pack quantity never without its pack cost."""
    differ = [field for field, value in _VALUES.items() if getattr(new, value) != getattr(row.terms, value)]
    if "pack quantity" in differ:
        differ = [field for field in _VALUES if field in differ or field in TOGETHER]
    for field in differ:
        header = FIELDS[field][row.sheet]
        yield ProposedChange(
            sheet=row.source.sheet,
            cell=row.source.place(header).cell,
            part=row.code,
            supplier=row.supplier,
            field=field,
            old=_cell(getattr(row.terms, _VALUES[field])),
            new=_cell(getattr(new, _VALUES[field])),
            over_limit=over,
        )


def _cell(value: Decimal | int | str | date | None) -> CellValue:
    """A value as a cell holds it."""
    if isinstance(value, int):
        return Decimal(value)
    return value or None if isinstance(value, str) else value


def _rows(counting: _Counting) -> tuple[ListedPrice, ...]:
    return () if counting.price is None else (counting.price,)


def _cost(counting: _Counting) -> str:
    """The cost of one, for a person."""
    each = None if counting.price is None else counting.price.cost_each
    if each is None:
        return ""
    shown = finite(each)
    return f"{round_to(each, DECIMALS) if shown is None else shown:f}"


_VALUES: Mapping[ChangedField, str] = {
    "pack quantity": "pack_quantity",
    "pack cost": "pack_cost",
    "list price each": "list_each",
    "lead days": "lead_days",
    "supplier's number": "number",
    "replaced by": "replaced_by",
    "cost date": "cost_date",
}
"""The field of `Terms` that each change is of."""

"""The sheet of rows for which nothing is proposed, by reason, with the nearest numbers: to look at, never to tick."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.costing_style import head, note, section
from quotekit.documents.price_proposals_style import gap, table_sheet, tall
from quotekit.documents.price_proposals_words import LEFT_TODO, LEFT_WORDS, left_words, short
from quotekit.documents.sheet import Row, Sheet, row, text
from quotekit.model.proposed_prices import NotProposed, ProposedPrices

NAME = "Not proposed"
TITLES = ("Part", "What it is", "Supplier", "Row", "Number in the book", "What the list says near it")
_WIDTHS = (17.0, 27.0, 11.0, 10.0, 18.0, 39.0)
_COLUMNS = len(_WIDTHS)


def lay_out_left(found: ProposedPrices) -> Sheet:
    """The sheet."""
    said = (
        "Rows of the shop book for which nothing is proposed, and why. A number that is only alike is never taken by "
        "itself: a wrong part costs more than a late price."
        if found.left
        else "Every row of the shop book has a number that the list prices."
    )
    rows = [row(text("Not proposed", "title", _COLUMNS)), note(said, _COLUMNS), gap(_COLUMNS)]
    above = len(rows)
    rows.append(head(*TITLES))
    for why, words in LEFT_WORDS.items():
        left = [one for one in found.left if one.why == why]
        if left:
            rows += section(f"{words[0].upper()}{words[1:]}", _COLUMNS)
            rows += [_row(one) for one in left]
            rows.append(note(LEFT_TODO[why], _COLUMNS))
    rows += _new(found)
    return table_sheet(found, NAME, tall(rows, _WIDTHS), _WIDTHS, above)


def _row(one: NotProposed) -> Row:
    return row(
        text(short(one.row.code)),
        text(short(one.row.name)),
        text(short(one.row.supplier)),
        text(f"{one.row.sheet} {one.row.source.row}", "small"),
        text(short(one.row.terms.number)),
        text("\n".join(left_words(one)), "small"),
    )


def _new(found: ProposedPrices) -> Iterator[Row]:
    """Numbers of the lists that the book does not have."""
    for one in found.lists:
        if one.not_in_book:
            words = f"{one.report.file}: {one.not_in_book:,} numbers in force are in no row of the book; none is added."
            yield gap(_COLUMNS)
            yield note(words, _COLUMNS)

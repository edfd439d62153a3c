"""Request `function`: one cell's function of the shop book; thousands of them come one after the other.

`{"name": "SELLING_PRICE", "arguments": [6.25, null], "document": PATH, "book": null}` gives `{"value": "11.25"}`, or
`{"reason": "..."}`: why there is no figure, and what to do; `reading` tells the reading of the shop book it holds for.
`day_zero` is the day that dates count from (0 in a cell).
A spreadsheet hands a blank cell over as 0: what can't be 0 is taken as blank where it may be left out.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.request import Words
from quotekit.cli.answers.shop_books import ShopBooks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.pricing.functions.asked import Cell, Given, Reason
    from quotekit.pricing.functions.known import Argument, CellFunction
    from quotekit.problems import Problem

BOOKS = ShopBooks()
"""Those of this process."""

DAY_ZERO = "1899-12-30"


def answer(words: Words) -> dict[str, Any]:
    """The figure as text, or the reason why there is none."""
    from quotekit.pricing.functions.asked import Reason

    today = date.today()
    found = figure_of(words, BOOKS, today)
    told = {"reason": str(found)} if isinstance(found, Reason) else {"value": f"{found:f}"}
    reading = BOOKS.reading_of(words.get("document") or "", _named(words))
    return told if reading is None else {**told, "reading": f"{reading} {today}"}


def figure_of(words: Words, books: ShopBooks, today: date) -> Decimal | Reason:
    """What a request comes to on a day, with the books that are known."""
    from quotekit.pricing.functions.asked import Asked, Reason, Refused
    from quotekit.pricing.functions.known import BY_NAME, work_out

    function = BY_NAME.get(words["name"])
    if function is None:
        return Reason(why=f"{words['name']} is no function of this version.", advice="Run `quotekit addin install`.")
    found = books.of(words.get("document") or "", _named(words))
    if isinstance(found, Reason):
        return found
    stopped = stopped_by(found.errors, function)
    if stopped is not None:
        return stopped
    if found.book is None:
        return Reason(why=f"{found.name} is no shop book.", advice="Name another as the last argument.")
    day_zero = date.fromisoformat(words.get("day_zero") or DAY_ZERO)
    try:
        given = {
            argument.name: given_of(argument, value, day_zero)
            for argument, value in zip(function.arguments, words["arguments"], strict=False)
        }
    except Refused as refused:
        return refused.reason
    return work_out(function, Asked(book=found.book, day=today, given=given))


def _named(words: Words) -> str:
    book = words.get("book")
    return book.strip() if isinstance(book, str) else ""


def stopped_by(errors: Sequence[Problem], function: CellFunction) -> Reason | None:
    """The first error of the book that a function's figure depends on: in a sheet it reads, or in the file itself."""
    if not errors:
        return None
    from quotekit.pricing.functions.asked import Reason

    others = _sheets_not_read(function)
    errors = [error for error in errors if _key(error.place.sheet) not in others]
    if not errors:
        return None
    first, more = errors[0], len(errors) - 1
    also = f" {more} more: check the shop book." if more else ""
    return Reason(why=f"The shop book has an error: {first.place}: {first.message}.", advice=f"{first.remedy}{also}")


def given_of(argument: Argument, value: Any, day_zero: date) -> Given:
    """An argument as it came over the pipe, exact: a number has the 15 digits that the cell has."""
    if isinstance(value, list):
        return tuple(tuple(_cell(cell) for cell in row) for row in value)
    if _may_be_blank(argument) and value == 0:
        return None
    cell = _cell(value)
    if argument.kind == "date" and isinstance(cell, Decimal):
        return _day(cell, day_zero)
    return cell


def _may_be_blank(argument: Argument) -> bool:
    return argument.kind != "number" or argument.optional


def _cell(value: Any) -> Cell:
    if value is None or isinstance(value, bool | str):
        return value
    if not math.isfinite(value):
        from quotekit.pricing.functions.asked import Refused

        raise Refused("An argument is not a number.", "Check the cell.")
    return Decimal(format(value, ".15g"))


def _day(days: Decimal, day_zero: date) -> Cell:
    """A day by its number; the number itself where there is no such day, which is then refused."""
    try:
        return day_zero + timedelta(days=int(days))
    except OverflowError:
        return days


def _sheets_not_read(function: CellFunction) -> frozenset[str]:
    from quotekit.workbook.columns import SHOP_BOOK

    return frozenset(_key(sheet.name) for sheet in SHOP_BOOK) - frozenset(map(_key, function.reads))


def _key(sheet: str) -> str:
    from quotekit.workbook.names import name_key

    return name_key(sheet)

"""Asks a cell function of a book, in few words."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.functions.asked import Asked, Given, Reason
from quotekit.pricing.functions.known import BY_NAME, work_out
from tests import build


def ask(book: ShopBook, name: str, *arguments: Given, day: date = build.QUOTE_DATE) -> Decimal | Reason:
    """The answer of a function to its arguments in their order."""
    function = BY_NAME[name]
    names = [argument.name for argument in function.arguments]
    return work_out(function, Asked(book=book, day=day, given=dict(zip(names, arguments, strict=False))))


def figure(book: ShopBook, name: str, *arguments: Given, day: date = build.QUOTE_DATE) -> str:
    """The same as text, an answer or its reason."""
    return str(ask(book, name, *arguments, day=day))

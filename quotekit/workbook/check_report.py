"""What the check command says about a book that is no problem: the charges each tax does not touch (DESIGN.md 3)."""

from __future__ import annotations

from quotekit.model.shop_book import CHARGE_WORDS, ShopBook
from quotekit.workbook.book_records import is_unread
from quotekit.workbook.names import or_list

STANDARD_CHARGES = tuple(word for word in CHARGE_WORDS if word not in ("all", "upgrade labour"))
"""Upgrade labour is left out: without a row of its own it is taxed as labour."""


def tax_coverage(book: ShopBook) -> list[str]:
    """One line a tax; fees and parts that a row names by themselves are told apart."""
    if is_unread(book, "Taxes"):
        return []
    if not book.taxes:
        return ["No tax: the sheet Taxes has no row."]
    return [_coverage(book, tax) for tax in dict.fromkeys(row.tax for row in book.taxes)]


def _coverage(book: ShopBook, tax: str) -> str:
    charged = {charge for row in book.taxes if row.tax == tax and row.rate for charge in row.charges}
    if book.fees and set(book.fees) <= charged:
        charged.add("fees")
    left = [charge for charge in STANDARD_CHARGES if charge not in charged and "all" not in charged]
    if not left:
        return f"{tax} touches every charge."
    fees = [code for code in book.fees if code in charged]
    parts = sorted(charged - {*book.fees, *CHARGE_WORDS})
    apart = {"fees": fees, "parts": parts}
    shown = (f"{charge} other than {or_list(apart[charge])}" if apart.get(charge) else charge for charge in left)
    return f"{tax} does not touch {', '.join(shown)}."

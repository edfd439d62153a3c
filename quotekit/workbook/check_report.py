"""What the check command says about a book that is no problem: the charges each tax does not touch (DESIGN.md 3)."""

from __future__ import annotations

from quotekit.model.shop_book import ShopBook
from quotekit.workbook.column import CHARGE_WORDS

STANDARD_CHARGES = tuple(word for word in CHARGE_WORDS if word not in ("all", "upgrade labour"))
"""Upgrade labour is left out: without a row of its own it is taxed as labour."""


def tax_coverage(book: ShopBook) -> list[str]:
    """One line a tax; a fee counts as touched only where fees, or all of them, are."""
    if not book.taxes:
        return ["No tax: the sheet Taxes has no row."]
    return [_coverage(tax, _charged(book, tax)) for tax in dict.fromkeys(row.tax for row in book.taxes)]


def _charged(book: ShopBook, tax: str) -> set[str]:
    charged = {charge for row in book.taxes if row.tax == tax and row.rate for charge in row.charges}
    if book.fees and set(book.fees) <= charged:
        charged.add("fees")
    return charged


def _coverage(tax: str, charged: set[str]) -> str:
    untouched = [charge for charge in STANDARD_CHARGES if charge not in charged and "all" not in charged]
    if not untouched:
        return f"{tax} touches every charge."
    return f"{tax} does not touch {', '.join(untouched)}."

"""Which codes have a side: each-side operations and steps, and remedies and extras that bring one (DESIGN.md 5.9)."""

from __future__ import annotations

from quotekit.model.shop_book import ShopBook
from quotekit.model.sided import operations_are_sided

__all__ = ["is_sided", "operations_are_sided"]


def is_sided(book: ShopBook, code: str) -> bool:
    """True when a remedy, extra, operation or access step has a side."""
    if code in book.remedies:
        return operations_are_sided(book, book.remedies[code].operations)
    if code in book.extras:
        return operations_are_sided(book, book.extras[code].operations)
    if code in book.operations:
        return operations_are_sided(book, [code])
    return code in book.access and book.access[code].each_side

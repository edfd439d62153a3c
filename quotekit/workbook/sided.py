"""Which codes have a side: each-side operations and steps, and remedies and extras that bring one (DESIGN.md 5.9)."""

from __future__ import annotations

from collections.abc import Iterable

from quotekit.model.shop_book import ShopBook


def operations_are_sided(book: ShopBook, codes: Iterable[str]) -> bool:
    """True when any of these operations, or one they require, is done each side."""
    waiting = list(codes)
    seen = set(waiting)
    for code in waiting:
        operation = book.operations.get(code)
        if operation is None:
            continue
        if operation.each_side:
            return True
        waiting += [after for after in operation.requires if after not in seen]
        seen.update(operation.requires)
    return False


def is_sided(book: ShopBook, code: str) -> bool:
    """True when a remedy, extra, operation or access step has a side."""
    if code in book.remedies:
        return operations_are_sided(book, book.remedies[code].operations)
    if code in book.extras:
        return operations_are_sided(book, book.extras[code].operations)
    if code in book.operations:
        return operations_are_sided(book, [code])
    return code in book.access and book.access[code].each_side

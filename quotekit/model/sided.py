"""What work has a side: an operation done each side, or one that requires such an operation (DESIGN.md 5.9)."""

from __future__ import annotations

from collections.abc import Iterable

from quotekit.model.shop_book import ShopBook


def required_codes(book: ShopBook, codes: Iterable[str]) -> tuple[str, ...]:
    """Operation codes and all they require, in the order they are reached; codes the book lacks are left out."""
    reached: dict[str, None] = {}
    waiting = list(codes)
    while waiting:
        code = waiting.pop(0)
        if code not in reached and code in book.operations:
            reached[code] = None
            waiting.extend(book.operations[code].requires)
    return tuple(reached)


def operations_are_sided(book: ShopBook, codes: Iterable[str]) -> bool:
    """True when any of these operations, or one they require, is done each side."""
    return any(book.operations[code].each_side for code in required_codes(book, codes))

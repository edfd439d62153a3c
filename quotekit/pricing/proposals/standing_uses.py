"""Which remedies and extras of the shop book use a part, whatever the job.

What they bring themselves, what their operations and those they require bring, the access steps these need, and rows of
Parts used of all of these. A part brings what replaces it (to the end of the line) and what it also needs; so a remedy
uses every part whose price can be in it. What a kit contains is taken off where it comes besides, and brought by no
kit: its price is in none. Machines and sides are not looked at.
A proposal touches what uses its part now or would then, where another part is to take a place. A part in whose place
the shop book has another one touches nothing by itself, as its price is in no remedy any more, unless that place
changes.
Source: DESIGN.md 5.2; shop policy.

Worked example: remedy FIT has the operation PRESS, whose Parts are BUSH; BUSH is replaced by BUSH-2, which also needs
PIN: FIT uses BUSH, BUSH-2 and PIN, and a new price of BUSH touches it no more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from quotekit.model.proposed_prices import PriceProposal
from quotekit.model.shop_book import Extra, Quantity, Remedy, ShopBook
from quotekit.pricing.proposals.book_rows import PARTS


def standing_uses(book: ShopBook) -> Mapping[str, tuple[str, ...]]:
    """Codes of remedies, then of extras, by part code, in the order of the sheets."""
    found: dict[str, list[str]] = {}
    standing: tuple[Remedy | Extra, ...] = (*book.remedies.values(), *book.extras.values())
    for item in standing:
        for part in _parts_of(book, item):
            of_part = found.setdefault(part, [])
            if item.code not in of_part:
                of_part.append(item.code)
    return {part: tuple(codes) for part, codes in found.items()}


def touched_uses(proposals: Iterable[PriceProposal], book: ShopBook, new: ShopBook) -> Mapping[str, tuple[str, ...]]:
    """Remedies and extras that each part with a proposal touches; `new` is the book as if all were taken."""
    now, then = standing_uses(book), standing_uses(new)
    standing = (*book.remedies, *book.extras)
    found: dict[str, tuple[str, ...]] = {}
    for one in proposals:
        code = one.row.code
        if one.row.sheet == PARTS and (one.gives_way or one.row.terms.replaced_by is None):
            using = {*now.get(code, ()), *then.get(code, ())}
            found[code] = tuple(item for item in standing if item in using)
    return found


def _parts_of(book: ShopBook, item: Remedy | Extra) -> set[str]:
    operations = _reached(item.operations, lambda code: book.operations[code].requires)
    steps = _reached(
        (step for code in operations for step in book.operations[code].access), lambda code: book.access[code].needs
    )
    brought = [*_codes(item.parts), *_used_by(book, item.code)]
    for code in operations:
        brought += [*_codes(book.operations[code].parts), *_used_by(book, code)]
    for code in steps:
        brought += [*_codes(book.access[code].parts), *_used_by(book, code)]
    return _reached(brought, lambda code: _brings(book, code))


def _brings(book: ShopBook, code: str) -> Iterable[str]:
    """Parts that come with one: what replaces it alone, else its companions."""
    part = book.parts[code]
    if part.replaced_by is not None:
        return (part.replaced_by,)
    return _codes(part.also_needs)


def _used_by(book: ShopBook, code: str) -> Iterable[str]:
    return (row.part for row in book.parts_used_by.get(code, ()))


def _codes(quantities: Iterable[Quantity]) -> Iterable[str]:
    return (one.code for one in quantities)


def _reached(start: Iterable[str], following: Callable[[str], Iterable[str]]) -> set[str]:
    reached: set[str] = set()
    waiting = list(start)
    while waiting:
        code = waiting.pop()
        if code not in reached:
            reached.add(code)
            waiting.extend(following(code))
    return reached

"""Which remedies and extras of the shop book use a part, whatever the job.

What they bring themselves, what their operations and those they require bring, the access steps these need, and rows of
Parts used of all of these. A part brings what replaces it (to the end of the line), what it also needs, and what a kit
of it contains; so a remedy uses every part whose price can be in it. Machines and sides are not looked at.
Source: shop policy.

Worked example: remedy FIT has the operation PRESS, whose Parts are BUSH; BUSH is replaced by BUSH-2, which also needs
PIN: FIT uses BUSH, BUSH-2 and PIN.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from quotekit.model.shop_book import Extra, Quantity, Remedy, ShopBook


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
    """Parts that come with one: what replaces it alone, else its companions and what it contains."""
    part = book.parts[code]
    if part.replaced_by is not None:
        return (part.replaced_by,)
    return (*_codes(part.also_needs), *_codes(part.contains))


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

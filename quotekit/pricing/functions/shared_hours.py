"""SHARED_HOURS: hours sold for a set of operations that share access (DESIGN.md 5.2 and 5.3).

Each access step is opened and closed once, required operations are added, those that a larger one includes are left
out, each further side takes its second-side hours, rust is allowed for where a condition is named; rounded up to the
hours step once for each labour rate, and the rates added up.
It is the set and nothing else: without the machine's Always work and without the minimum of a job.
Units: hours. Source: shop policy; the rules are `work` and `hours`.

Worked example: COVER opens in 0.2 and closes in 0.2. BELT 0.5 and SEAL 0.35 both need it: 0.4 + 0.85 = 1.25, sold as
1.3 at a step of 0.1. Each by itself: 0.9 and 0.8, together 1.7: sharing saves 0.4.
An operation done each side needs one: `BUSHING@left`, `BUSHING@both`, or the side argument for all that have none.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.functions.asked import Asked, Refused, find_code
from quotekit.pricing.functions.blank_job import blank_job, machine_of, positions_of, sides_of
from quotekit.pricing.hours import hours_of
from quotekit.pricing.items import Item, always_item, operation_item
from quotekit.pricing.sides import is_sided, required_codes
from quotekit.pricing.work import work_of


def shared_hours(asked: Asked) -> Decimal:
    """The hours sold for `operations`: a range of cells, or a list such as `BELT; BUSHING@left`."""
    named = [_named(entry, asked.book) for entry in asked.texts("operations")]
    if not named:
        raise Refused("No operation is named.", "Give a cell or a range with codes of Operations.")
    machine = machine_of(asked, needed=_has_sides(asked.book, [code for code, _ in named]))
    positions = positions_of(asked.book, machine)
    job = replace(blank_job("", asked.day, positions), condition=_condition(asked))  # no class: no Always work
    basis = Basis(book=asked.book, job=job)
    items = _items(basis, named, asked.text("side"))
    hours = hours_of(basis, work_of(basis, items, always_item(basis)), ZERO)
    return sum((at.billed for at in hours.by_rate.values()), ZERO)


def _named(entry: str, book: ShopBook) -> tuple[str, str]:
    """An operation's code and the side written with it, empty where none is."""
    before, at, after = entry.rpartition("@")
    if not at or entry.casefold() in {code.casefold() for code in book.operations}:
        return find_code(entry, book.operations, "Operations"), ""
    return find_code(before.strip(), book.operations, "Operations"), after.strip()


def _condition(asked: Asked) -> str | None:
    word = asked.text("condition")
    return find_code(word, asked.book.conditions, "Conditions") if word else None


def _items(basis: Basis, named: Iterable[tuple[str, str]], side: str) -> list[Item]:
    found: dict[tuple[str, str | None], Item] = {}
    for code, own_side in named:
        for at in _sides(basis, code, own_side, side):
            found[code, at] = operation_item(basis, code, at)
    return list(found.values())


def _sides(basis: Basis, code: str, own_side: str, side: str) -> Sequence[str | None]:
    """Where an operation is done: each of its sides, or once."""
    if not is_sided(basis.book, [code]):
        if own_side:
            raise Refused(f"{code} is done once, not each side.", f"Write {code} without a side.")
        return (None,)
    word = own_side or side
    if not word:
        raise Refused(f"{code} is done each side, and no side is given.", f"Write {code}@left, or give the side.")
    return sides_of(word, basis.job.positions)


def _has_sides(book: ShopBook, codes: Iterable[str]) -> bool:
    """True where the work or a step it opens is done each side, so that the positions of the machine matter."""
    operations = required_codes(book, codes)
    if is_sided(book, operations):
        return True
    steps = [step for code in operations for step in book.operations[code].access]
    reached: set[str] = set()
    while steps:
        step = steps.pop()
        if step not in reached:
            reached.add(step)
            steps += book.access[step].needs
    return any(book.access[step].each_side for step in reached)

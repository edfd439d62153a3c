"""Figures of cell functions by the oracle's own reckoning, in fractions: price, hours, tax, a remedy alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.oracle.exact import fraction, half_up
from tests.oracle.labour import labour_of
from tests.oracle.parts import price_of_cost
from tests.oracle.price import price
from tests.oracle.tax import rate_of, rows_in_force, taxes_of
from tests.oracle.tiers import a_world
from tests.oracle.work import Item, World, work_of

ZERO = Fraction(0)


def blank_world(book: ShopBook, machine: str, day: date) -> World:
    """A job of a household with nothing on it."""
    positions = book.machines[machine].positions if book.machines and machine in book.machines else ("left", "right")
    job: Job = build.a_job(machine_class=machine, quote_date=day, positions=positions, inspection_fee=0)
    return a_world(book, job)


def selling_price(book: ShopBook, cost: Fraction, list_price: Fraction | None) -> Fraction:
    """5.4, rounded."""
    world = blank_world(book, "THROWER", build.QUOTE_DATE)
    return half_up(price_of_cost(world, cost, list_price), world.digits)


def shared_hours(
    book: ShopBook, machine: str, operations: Sequence[tuple[str, str | None]], condition: str | None
) -> Fraction:
    """5.2 and 5.3 without Always work and minimum, over all rates."""
    world = blank_world(book, machine, build.QUOTE_DATE)
    world.always, world.job = (), replace(world.job, condition=condition)
    items = [Item(code, side, "operation", book.operations[code]) for code, side in dict.fromkeys(operations)]
    labour = labour_of(world, items, work_of(world, items), ZERO)
    return sum(labour.billed.values(), ZERO)


def tax_on(book: ShopBook, amount: Fraction, charge: str, day: date, machine: str, customer: str) -> Fraction:
    """5.5 item 9 for one line."""
    world = blank_world(book, machine, day)
    world.job = replace(world.job, customer_class=customer)
    line, total = half_up(amount, world.digits), ZERO
    for rows in rows_in_force(world).values():
        word = f"fee:{charge}" if charge in book.fees else charge
        if charge == "upgrade labour" and not any(charge in row.charges for row in rows):
            word = "labour"
        total += half_up((rate_of(rows, word) or ZERO) * line, world.digits)
    return total


def remedy_price(
    book: ShopBook, machine: str, code: str, sides: Sequence[str | None], day: date, tax: bool
) -> Fraction:
    """The stand-alone work of 5.7 and 5.9, and its tax without an inspection."""
    world = blank_world(book, machine, day)
    priced = price(world, [Item(code, side, "remedy", book.remedies[code]) for side in sides], alone=True)
    return priced.work + (sum((amount for _, _, amount in taxes_of(world, priced)), ZERO) if tax else ZERO)


def exactly(number: float) -> Fraction:
    """A number of a cell with its 15 digits."""
    from decimal import Decimal

    return fraction(Decimal(format(number, ".15g")))

"""Random arguments of cell functions for a book, as a spreadsheet sends them, with the figure by another reckoning.

About one in six is a slip: an unknown code, a missing side, text for a number. It has no figure, only a reason.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from random import Random
from typing import Any, NamedTuple

from quotekit.model.shop_book import ShopBook
from tests.oracle import cell_functions as oracle
from tests.oracle.work import is_sided

DAY_ZERO = date(1899, 12, 30)
TODAY = date(2026, 3, 2)


class Drawn(NamedTuple):
    """One call: function, arguments, and its figure, None where it must be refused."""

    name: str
    arguments: list[Any]
    expected: Fraction | None


def draw(random: Random, book: ShopBook, today: date = TODAY) -> Drawn:
    """One call of any function; `today` is what a date left out means."""
    drawn = random.choice(_DRAWS)(random, book, today)
    return _slipped(random, drawn) if random.random() < 1 / 6 else drawn


def _money(random: Random) -> float:
    digits = random.choice([0, 1, 2, 2, 2, 3, 4, 6])
    return max(round(random.uniform(0, random.choice([5, 50, 500, 50000])), digits), 10.0**-digits)


def _price(random: Random, book: ShopBook, today: date) -> Drawn:
    cost = _money(random)
    listed = None
    if random.random() < 0.4:
        listed = max(0.01, round(cost * random.uniform(0.7, 2.2), random.choice([0, 2, 3])))
    exact = None if listed is None else oracle.exactly(listed)
    return Drawn("SELLING_PRICE", [cost, listed], oracle.selling_price(book, oracle.exactly(cost), exact))


def _hours(random: Random, book: ShopBook, today: date) -> Drawn:
    machine, positions = _machine(book)
    side = random.choice([*positions, "all"])
    taken: list[tuple[str, str | None]] = []
    words = []
    for code in random.choices(list(book.operations), k=random.randint(1, 5)):
        word = code if random.random() < 0.5 else code.lower()
        if not is_sided(book, (code,)):
            taken.append((code, None))
        elif random.random() < 0.5:
            own = random.choice(positions)
            taken.append((code, own))
            word = f"{word}@{own.upper()}"
        else:
            taken += [(code, at) for at in (positions if side == "all" else [side])]
        words.append(word)
    condition = random.choice([None, "rusty"])
    cells: Any = "; ".join(words) if random.random() < 0.5 else [[word, ""] for word in words]
    expected = oracle.shared_hours(book, machine, taken, condition and "RUSTY")
    return Drawn("SHARED_HOURS", [cells, side, _said(random, book, machine), condition], expected)


def _tax(random: Random, book: ShopBook, today: date) -> Drawn:
    machine, _ = _machine(book)
    amount, day = _money(random), today + timedelta(days=random.randint(-400, 400))
    words = ["labour", "upgrade labour", "parts", "cores", "sublet", "supplies", "freight", "fees", "inspection"]
    charge = random.choice([*words, *book.fees])
    customer = random.choice(["household", "farm", "exempt"])
    at = random.choice([None, (day - DAY_ZERO).days, (day - DAY_ZERO).days + 0.75, day.isoformat()])
    expected = oracle.tax_on(book, oracle.exactly(amount), charge, today if at is None else day, machine, customer)
    return Drawn(
        "TAX_ON",
        [amount, charge.title() if charge in words else charge, at, _said(random, book, machine), customer],
        expected,
    )


def _remedy(random: Random, book: ShopBook, today: date) -> Drawn:
    if not book.remedies:
        return _price(random, book, today)
    machine, positions = _machine(book)
    remedy = random.choice(list(book.remedies.values()))
    day, tax = today + timedelta(days=random.randint(-400, 400)), random.random() < 0.5
    sides: list[str | None] = [None]
    word, side = remedy.code, None
    if is_sided(book, remedy.operations):
        side = random.choice([*positions, "all"])
        sides = list(positions) if side == "all" else [side]
        if random.random() < 0.3:
            word, side = f"{remedy.code}@{side}", None
    expected = oracle.remedy_price(book, machine, remedy.code, sides, day, tax)
    said = random.choice(["Yes", 1.0, True] if tax else ["No", 0.0, None, False])
    return Drawn("REMEDY_PRICE", [word, side, _said(random, book, machine), said, (day - DAY_ZERO).days], expected)


def _machine(book: ShopBook) -> tuple[str, list[str]]:
    assert book.machines is not None
    code, row = next(iter(book.machines.items()))
    return code, list(row.positions)


def _said(random: Random, book: ShopBook, machine: str) -> Any:
    """The class named, or left out where it is the only one; a blank cell comes as 0."""
    return machine if len(book.machines or {}) > 1 else random.choice([None, machine, 0.0])


def _slipped(random: Random, drawn: Drawn) -> Drawn:
    """The same call with one argument that can't be meant."""
    at = 0 if drawn.name in ("SELLING_PRICE", "SHARED_HOURS", "REMEDY_PRICE") else random.choice([0, 1])
    wrong: list[Any] = ["", None, "no such thing", "12.50", [[1.0, 2.0]]]
    if isinstance(drawn.arguments[at], float):
        wrong += [-drawn.arguments[at], 1e15, "SEAL"]
    else:
        wrong += ["REM-99", 3.0, 0.0]
    arguments = list(drawn.arguments)
    arguments[at] = random.choice(wrong)
    return Drawn(drawn.name, arguments, None)


_DRAWS: tuple[Callable[[Random, ShopBook, date], Drawn], ...] = (_price, _hours, _tax, _remedy)

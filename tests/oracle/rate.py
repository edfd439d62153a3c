"""The shop's rate (TRADE.md section 5) from a shop described in plain words, in Fractions: a second implementation.

A shop is drawn as people, costs and parts; `typed_rows` writes it as an owner would on the Rate builder, in any order.
What the engine reads from those rows is held against the shop, never against a second reading of the rows.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from random import Random

from tests.oracle.exact import half_up

ZERO = Fraction(0)
Row = tuple[str, "str | int | float", str]


@dataclass
class Person:
    """Somebody paid: pay of the year, burden (percent of pay, or money), and hours."""

    name: str
    pay: Fraction
    burden: Fraction | None
    burden_is_percent: bool
    clock: Fraction
    share: Fraction
    efficiency: Fraction

    @property
    def cost(self) -> Fraction:
        """Pay with its burden."""
        extra = ZERO if self.burden is None else self.burden * (self.pay if self.burden_is_percent else 1)
        return self.pay + extra

    @property
    def sold(self) -> Fraction:
        """Hours that can be charged."""
        return self.clock * self.share * self.efficiency


@dataclass
class Shop:
    """A shop's year. `parts` is (sales, what part of them is left); `profit` of all sales."""

    people: list[Person]
    overheads: list[tuple[str, Fraction]]
    parts: tuple[Fraction, Fraction] | None
    profit: Fraction | None
    rows: list[Row] = field(default_factory=list)

    @property
    def cost(self) -> Fraction:
        """Cost to cover."""
        return sum((one.cost for one in self.people), ZERO) + sum((amount for _, amount in self.overheads), ZERO)

    @property
    def sold(self) -> Fraction:
        """Sold hours."""
        return sum((one.sold for one in self.people), ZERO)


def rates(shop: Shop, sold: Fraction, with_parts: bool = True) -> dict[str, Fraction | None]:
    """Labour sales and rates to break even and for the profit: sales x (1 - profit) must cover what sales must cover.

    labour + left - cost = profit x (labour + sales of parts), labour never below zero
    """
    sales, part = shop.parts if shop.parts is not None and with_parts else (ZERO, ZERO)
    needed = shop.cost - sales * part
    found: dict[str, Fraction | None] = {
        "break_even_sales": half_up(max(ZERO, needed), 2),
        "break_even_rate": half_up(max(ZERO, needed) / sold, 2),
    }
    if shop.profit is not None:
        labour = max(ZERO, (needed + shop.profit * sales) / (1 - shop.profit))
        found["labour_sales"] = half_up(labour, 2)
        found["rate_for_profit"] = half_up(labour / sold, 2)
    return found


def a_shop(random: Random) -> Shop:
    """One to three people, some overheads, mostly parts and a profit wanted."""
    names = random.sample(["Owner", "Employee", "Helper", "Sam", "Ann B.", "Saturday boy"], random.choice([1, 1, 2, 3]))
    people = [_person(random, name) for name in names]
    costs = random.sample(["Rent", "Power", "Insurance", "Tools", "Vehicle", "Waste", "Training"], random.randint(1, 6))
    overheads = [(name, Fraction(random.randint(500, 15000))) for name in costs]
    parts = (Fraction(random.randint(10, 95) * 1000), Fraction(random.randint(10, 55), 100))
    profit = Fraction(random.randint(2, 25), 100) if random.random() < 0.8 else None
    shop = Shop(people, overheads, parts if random.random() < 0.8 else None, profit)
    shop.rows = typed_rows(shop, random)
    return shop


def _person(random: Random, name: str) -> Person:
    percent = random.random() < 0.7
    burden = Fraction(random.randint(5, 45), 100) if percent else Fraction(random.randint(800, 12000))
    return Person(
        name,
        Fraction(random.randint(10000, 70000)),
        burden if random.random() < 0.9 else None,
        percent,
        Fraction(random.randint(400, 2080)),
        Fraction(random.randint(40, 95), 100),
        Fraction(random.randint(60, 130), 100),
    )


def typed_rows(shop: Shop, random: Random) -> list[Row]:
    """The shop as rows in random order; pay may be split in several rows, names vary in case and spaces."""
    rows: list[Row] = []
    for one in shop.people:
        name = one.name
        rows += _pay_rows(random, one)
        if one.burden is not None:
            amount = _share(random, one.burden) if one.burden_is_percent else int(one.burden)
            rows.append((_named(random, name, "burden"), amount, "burden"))
        rows.append((_named(random, name, "clock hours"), int(one.clock), "clock hours"))
        rows.append((_named(random, name, "share at the bench"), _share(random, one.share), "share at the bench"))
        rows.append((_named(random, name, "efficiency"), f"{float(one.efficiency * 100):g}%", "efficiency"))
    rows += [(name, int(amount), "overhead") for name, amount in shop.overheads]
    if shop.parts is not None:
        rows.append(("Parts", int(shop.parts[0]), "parts contribution"))
        rows.append(("Parts", _share(random, shop.parts[1]), "parts contribution"))
    if shop.profit is not None:
        rows.append(("Profit", _share(random, shop.profit), "profit share"))
    random.shuffle(rows)
    return rows


def _pay_rows(random: Random, one: Person) -> list[Row]:
    if random.random() < 0.8:
        return [(_named(random, one.name, "pay"), int(one.pay), "pay")]
    first = int(one.pay) // 3
    return [(one.name, first, "pay"), (one.name, int(one.pay) - first, "pay")]


def _named(random: Random, name: str, kind: str) -> str:
    return random.choice([name, name, name.upper(), f"{name} ", f"{name} {kind}", f"{name}, {kind}"])


def _share(random: Random, value: Fraction) -> str | float:
    """As percent or as a fraction below one."""
    text = f"{float(value * 100):g}%"
    return random.choice([text, float(Decimal(value.numerator) / Decimal(value.denominator))])

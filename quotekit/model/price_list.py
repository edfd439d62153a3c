"""A supplier's price list as records: what a row says of one number, what was found, and what became of every row.

Money is in the currency the row names and is exact; nothing is converted. `cost` buys `cost_for` units, `list_price`
is for `list_for`.
"""

from __future__ import annotations

from dataclasses import field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from quotekit.problems import Problem
from quotekit.record import record

Fate = Literal[
    "in force",
    "earlier",
    "to come",
    "ended",
    "repeated",
    "contradicted",
    "no cost",
    "unreadable cost",
    "zero cost",
    "negative cost",
    "unreadable quantity",
    "other currency",
    "unreadable currency",
    "unreadable date",
    "no number",
    "ragged",
    "above the table",
    "heading",
    "total",
    "note",
    "blank",
]
"""What became of a row. Each row has one fate, so that their counts add up to the rows of the list."""

FATES: dict[Fate, str] = {
    "in force": "in force on the day",
    "earlier": "a later dated row of the number counts",
    "to come": "dated after the day",
    "ended": "ended before the day",
    "repeated": "says the same as a row that counts",
    "contradicted": "the number stands there with other terms too, so that none counts",
    "no cost": "no cost",
    "unreadable cost": "a cost that is no number",
    "zero cost": "a cost of zero",
    "negative cost": "a cost below zero",
    "unreadable quantity": "a pack or price quantity that is no number above zero",
    "other currency": "another currency than the shop's, never converted",
    "unreadable currency": "a currency that is not known",
    "unreadable date": "a date that cannot be read one way only",
    "no number": "no number to find it by",
    "ragged": "more fields than columns, so that what follows may be shifted",
    "above the table": "above the table, the header too",
    "heading": "the header again, or a title between",
    "total": "a sum of other rows",
    "note": "neither a number nor an amount, so no row of the table",
    "blank": "blank",
}
"""Each fate in words, in the order in which they are told."""

Finding = Literal["exact", "near", "several", "contradicted", "no price", "not found"]
"""How a number was found: as asked; alike but for case, dashes or zeros; more than one alike; with two sets of terms;
there, without a row that counts; not at all."""


@record
class ListedPrice:
    """What one row of a list says. `cost` buys `cost_for` units; a pack is what is bought at once."""

    number: str
    row: int
    fate: Fate
    cost: Decimal | None = None
    cost_for: Decimal = Decimal(1)
    pack: Decimal | None = None
    list_price: Decimal | None = None
    list_for: Decimal = Decimal(1)
    lead_days: int | None = None
    superseded_by: str = ""
    currency: str = ""
    dated: date | None = None
    until: date | None = None
    unit: str = ""
    description: str = ""

    @property
    def cost_each(self) -> Fraction | None:
        """The exact cost of one unit.

        >>> ListedPrice(number="A", row=2, fate="in force", cost=Decimal(10), cost_for=Decimal(3)).cost_each
        Fraction(10, 3)
        """
        return None if self.cost is None else Fraction(self.cost) / Fraction(self.cost_for)

    @property
    def list_each(self) -> Fraction | None:
        """The exact list price of one unit."""
        return None if self.list_price is None else Fraction(self.list_price) / Fraction(self.list_for)

    @property
    def pack_cost(self) -> Fraction | None:
        """The exact cost of one pack; of one unit where the list names no pack."""
        each = self.cost_each
        return None if each is None else each * Fraction(1 if self.pack is None else self.pack)


@record
class FoundPrice:
    """What a list says of a number that was asked for."""

    asked: str
    how: Finding
    price: ListedPrice | None = None
    """The row that counts; none where nothing may be taken without a person's word."""

    rows: tuple[ListedPrice, ...] = ()
    """Every row of the number where no row counts, or of the numbers alike; at most a few."""

    nearest: tuple[str, ...] = ()
    """Numbers of the list that are one slip of the hand away."""


@record
class Example:
    """One row that a remark speaks of, with the text that shows it."""

    row: int
    number: str
    text: str


@record
class Remark:
    """Something to know of a list: how many rows, and the first few of them."""

    code: str
    says: str
    rows: int
    examples: tuple[Example, ...] = ()


@record
class ListReport:
    """A list as it was read: every row with its fate, counted, and what is to be known of them."""

    supplier: str
    file: str
    sha256: str
    day: date
    currency: str
    rows: int
    numbers: int
    fates: dict[Fate, int]
    remarks: tuple[Remark, ...] = ()
    read_as: tuple[str, ...] = ()
    """How the file was read, in words: encoding, separator, decimal mark, currency."""

    problems: tuple[Problem, ...] = field(default_factory=tuple)

"""The second implementation: what the issue and the design say of consent, tax and money, in the plainest words.

It was written from the text of DESIGN.md 3.1, 5.5, 5.9 and TRADE.md 5 and 6, and looks at no rule of the engine. Money
is counted in Decimals and rounded half up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

CENT = Decimal("0.01")
ZERO = Decimal(0)


def cents(amount: Decimal) -> Decimal:
    """Rounded half up to two digits."""
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def number(text: str) -> Decimal:
    """A number as typed in a book: `10%` is 0.1, `1,899.00` has a separator, blank is zero."""
    text = text.strip().replace(",", "")
    if not text:
        return ZERO
    return Decimal(text[:-1]) / 100 if text.endswith("%") else Decimal(text)


@dataclass(frozen=True)
class Rule:
    """Call the customer when over a percent or an amount, the greater or the lesser of them, with or before tax."""

    percent: Decimal
    amount: Decimal
    which: str
    basis: str

    def threshold(self, authorised: Decimal) -> Decimal:
        """How far a total may pass what was authorised without a call; exact, never rounded up."""
        allowed = (self.percent * authorised, self.amount)
        return max(allowed) if self.which == "the greater" else min(allowed)

    def of(self, subtotal: Decimal, total: Decimal) -> Decimal:
        """The amount that is compared."""
        return total if self.basis == "with tax" else subtotal

    def needs_consent(self, authorised: Decimal, now: Decimal) -> bool:
        """Over the threshold; on it is within it."""
        return now - authorised > self.threshold(authorised)


@dataclass(frozen=True)
class TaxRow:
    """A row of the sheet Taxes."""

    tax: str
    rate: Decimal
    charges: frozenset[str]
    first: date | None
    last: date | None

    def holds(self, day: date) -> bool:
        """In force on a day, ends included."""
        return (self.first is None or self.first <= day) and (self.last is None or day <= self.last)


def tax_rows(rows: Iterable[Mapping[str, str]]) -> list[TaxRow]:
    """The rows of a book that has no machine and no customer class on them."""
    found = []
    for row in rows:
        charges = frozenset(each.strip().casefold() for each in row["Charge"].split(";"))
        first, last = (row.get(f"In force {end}") or "" for end in ("from", "to"))
        found.append(
            TaxRow(
                row["Tax"],
                number(row["Rate"]),
                charges,
                date.fromisoformat(first) if first else None,
                date.fromisoformat(last) if last else None,
            )
        )
    return found


def taxed(
    rows: Iterable[TaxRow], lines: Iterable[tuple[str, Decimal]], day: date, rounding: str
) -> dict[str, tuple[Decimal, Decimal]]:
    """Base and amount of each tax on lines (charge, amount): on the invoice as a whole, or line by line.

    A row for one charge wins over a row for all; no base goes below zero, and a base of nothing has no tax.
    """
    lines, result = list(lines), {}
    in_force = [row for row in rows if row.holds(day)]
    for tax in dict.fromkeys(row.tax for row in in_force):
        own = [row for row in in_force if row.tax == tax]
        base, exact, by_line = ZERO, ZERO, ZERO
        for charge, amount in lines:
            row = next((row for row in own if charge in row.charges), None)
            row = row or next((row for row in own if "all" in row.charges), None)
            if row is None or not row.rate:
                continue
            base += amount
            exact += row.rate * amount
            by_line += cents(row.rate * amount)
        if base > 0:
            result[tax] = (base, by_line if rounding == "line" else cents(exact))
    return result


def amount(told: Any) -> Decimal:
    """An amount of the JSON: a decimal string and nothing else."""
    if not isinstance(told, str):
        raise TypeError(f"{told!r} is no decimal string")
    return Decimal(told)

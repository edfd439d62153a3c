"""Numbers and names of the recount: rounding, sums, what compares."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction as F
from typing import Any

Json = dict[str, Any]
ZERO = F(0)


def rounded(value: F | None, digits: int) -> str | None:
    """Half up, away from zero, as text."""
    if value is None:
        return None
    with localcontext() as context:
        context.prec = 60
        whole = abs(value) * 10**digits
        units = int(whole + F(1, 2))
        shown = Decimal(-units if value < 0 else units).scaleb(-digits)
        return f"{shown.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP):f}"


def key_of(text: str) -> str:
    """As names and numbers compare."""
    return " ".join(text.split()).casefold()


def day_of(entry: Json) -> date:
    """The day of an entry."""
    return date.fromisoformat(entry["day"])


def total(values: Iterable[F]) -> F:
    """A sum in Fractions."""
    return sum(values, ZERO)


def signed(amount: F | str | None) -> Json:
    """An amount with F below zero and U above."""
    value = F(amount or 0)
    return {"amount": amount, "sign": "F" if value < 0 else "U" if value > 0 else ""}


def hours_shown(hours: F) -> str | F:
    """Exact where they are a finite decimal, else four decimals."""
    left = hours.denominator
    for prime in (2, 5):
        while left % prime == 0:
            left //= prime
    return hours if left == 1 else rounded(hours, 4) or ""

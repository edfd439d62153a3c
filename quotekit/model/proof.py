"""How sure a tier's choice is: the way it was found, how many choices there were, how many were priced, the bound."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from quotekit.record import record

Method = Literal["plan", "enumeration", "integer model"]


@record
class Proof:
    """Why a choice is the best by its tier's aim.

    `bound` is in money: no choice's work (its cost over the years, for least to own) is below it. For the longest life
    it is the work of choices that last as long. `gap` is what the choice found is above the bound; zero is a proof.
    """

    method: Method
    choices: str
    """How many there were, as a whole number; `more than N` where they were not counted."""
    priced: int
    bound: Decimal
    gap: Decimal
    settled: bool = True
    """False where time ran out before all choices at the same price were told apart by the tie rules."""

"""Part numbers that the shop book of today replaces: the newer one is bought, and stands for the older everywhere.

`Replaced by` is followed to its end, as in a quote. Units that a job has under an older number count, and stock of an
older number serves first what needs it. Only numbers of the shop book are replaced, never a row of the job's own.
Source: DESIGN.md 3 (`Replaced by`); that older stock may be used is shop policy.

Worked example: 117 was agreed with BELT-A; today's book says BELT-A is replaced by BELT-B. One BELT-A is on the shelf:
it is taken. Job 118, agreed with BELT-B, shares a pack of BELT-B with the next job that was agreed with BELT-A.
"""

from __future__ import annotations

from collections.abc import Iterable

from quotekit.model.landed import Lot
from quotekit.model.shop_book import ShopBook
from quotekit.problems import Place, Problem, warning


def final_number(part: str, now: ShopBook) -> str:
    """The number that is bought for a part today; a part that the book does not know stays as it is."""
    seen = {part}
    while part in now.parts and (after := now.parts[part].replaced_by) is not None and after not in seen:
        part = after
        seen.add(part)
    return part


def numbers_of(part: str, now: ShopBook) -> list[str]:
    """All numbers that a part goes by today, itself first, the older ones in text order."""
    older = (one.code for one in now.parts.values() if one.replaced_by is not None)
    return [part, *sorted(code for code in older if code != part and final_number(code, now) == part)]


def lots_under(part: str, lots: Iterable[Lot], now: ShopBook) -> list[Lot]:
    """Stock of a part under any of its numbers, as stock of the part; each keeps the number it is stored under."""
    numbers = set(numbers_of(part, now))
    return [
        Lot(part=part, units=lot.units, there_from=lot.there_from, unit_cost=lot.unit_cost, stored_as=lot.part)
        for lot in lots
        if lot.part in numbers
    ]


def told_of(agreed_as: Iterable[tuple[str, str]]) -> list[Problem]:
    """What is told of pairs of an agreed number and the one that is bought in its place."""
    return [
        warning(
            Place("parts order"),
            "part-superseded",
            f"{agreed} was agreed and is replaced by {bought}: that is ordered.",
            "See that it fits, and tell the customer where the agreed number matters.",
        )
        for agreed, bought in sorted(set(agreed_as))
        if agreed != bought
    ]

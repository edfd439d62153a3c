"""Who is not asked again: a supplier that called a part off for a job, while another sells it.

It holds for orders in which one of those jobs needs the part, and until the supplier's price of it is dated later than
the day it was called off. Where nobody else sells the part the supplier is asked again, and that is told.
Source: shop policy.

Worked example: NORTH had no belts left and called job 117's off; AXLE sells belts too, dearer: the next order for 117
buys there. In March NORTH's price is asked again and dated: it counts again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from quotekit.model.landed import OrderTask, PackOffer
from quotekit.model.story import job_key
from quotekit.pricing.landed.open_needs import ORDER
from quotekit.pricing.landed.stock import Stock
from quotekit.problems import Problem, warning


def without_called_off(task: OrderTask, stock: Stock) -> tuple[OrderTask, list[Problem]]:
    """The same order with offers that were called off marked, and what is told of parts that nobody else sells."""
    off = {offer for need in task.needs for offer in _off(task.offers, stock, need.job, need.part)}
    if not off:
        return task, []
    left = {offer.part for offer in task.offers if offer not in off}
    alone = sorted({offer.part for offer in off} - left)
    offers = tuple(replace(one, called_off=True) if one in off and one.part in left else one for one in task.offers)
    return replace(task, offers=offers), [_nobody_else(part, off) for part in alone]


def _off(offers: Iterable[PackOffer], stock: Stock, job: str, part: str) -> Iterator[PackOffer]:
    for supplier, day in stock.called_off.get((job_key(job), job_key(part)), ()):
        for offer in offers:
            if offer.part == part and offer.supplier == supplier and (offer.dated is None or offer.dated <= day):
                yield offer


def _nobody_else(part: str, off: Iterable[PackOffer]) -> Problem:
    suppliers = ", ".join(sorted({offer.supplier for offer in off if offer.part == part}))
    message = f"{part} was called off by {suppliers}, and nobody else offers it: it is ordered there again."
    return warning(
        ORDER, "called-off-before", message, "Ask before you send it, or add a supplier to the sheet Offers."
    )

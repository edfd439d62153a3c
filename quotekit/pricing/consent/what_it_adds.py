"""What each new repair of a changed job adds in money before tax, in the order in which they are told.

Each is what the work comes to with it less what it comes to without it, the ones told before it included; so together
they are what all that is new adds, and work that two of them share is counted with the first.
Units: money before tax, its parts, supplies and charges included. Source: extra work is described and priced, with a
revised total (16 CCR 3353, as read in 2026); which of two pays shared work first is shop policy.

Worked example: new are a belt (0.4 h) and a seal (0.3 h) behind one cover (0.5 h) at 100.00 an hour. The belt adds
90.00, the seal 30.00 more.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, localcontext
from itertools import pairwise

from quotekit.model.agreed import Agreed
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.bill.done import done_of, parts_done, price_done


def what_each_adds(book: ShopBook, job: Job, now: Agreed, new: Sequence[str]) -> dict[str, Decimal]:
    """By the keys of what is new, in their order."""
    with localcontext(EXACT):
        sums = [_work_without(book, job, now, new[place:]) for place in range(len(new) + 1)]
    return {key: after - before for key, (before, after) in zip(new, pairwise(sums), strict=True)}


def _work_without(book: ShopBook, job: Job, now: Agreed, gone: Sequence[str]) -> Decimal:
    done = done_of(book, job, now, gone)
    return price_done(done, parts_done(done)).total

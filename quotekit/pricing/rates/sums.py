"""A row that adds up the rows beside it, which would count them twice.

Statement: a cost whose Line says total, sum or subtotal, and whose amount is that of the rows of its kind directly
above it (one or more), of all others of its kind, or of all other costs, looks like their sum: a warning, as the
sheet wants each cost once. A sum of any other amount is taken as a cost with that name.
Units: money of a year. Source: shop policy; nothing is left out without the owner's word.

Example: rent of 14,400 and power of 4,800, then `Total` 19,200 as overhead: the overhead is counted as 38,400.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate

from quotekit.model.rate import CostLine
from quotekit.pricing.rates.amounts import plain
from quotekit.pricing.rates.names import says_sum
from quotekit.problems import Problem, warning


def counted_twice(costs: Sequence[CostLine]) -> Iterator[Problem]:
    """A warning for each row that looks like a sum of others; `costs` in the order of the sheet."""
    for place, cost in enumerate(costs):
        if cost.amount and says_sum(cost.line) and cost.amount in _sums_beside(costs, place):
            message = f"{cost.line} looks like the sum of other rows, which would be counted twice"
            remedy = "Take the row out if it is a sum; give it another Line if it is a cost of its own."
            yield warning(cost.source.place("Amount"), "sum-of-rows", message, remedy, plain(cost.amount))


def _sums_beside(costs: Sequence[CostLine], place: int) -> set[Fraction]:
    """What a row could be the sum of."""
    kind = costs[place].kind
    above = [cost.amount for cost in reversed(costs[:place]) if cost.kind == kind]
    others = [cost for at, cost in enumerate(costs) if at != place]
    of_its_kind = sum((cost.amount for cost in others if cost.kind == kind), Fraction(0))
    return {*accumulate(above), of_its_kind, sum((cost.amount for cost in others), Fraction(0))}

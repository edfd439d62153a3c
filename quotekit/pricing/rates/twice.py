"""A row that is typed twice, which counts twice.

Statement: where Line, Amount and Kind of two rows are all alike, the later one gets a warning that names the first.
Both count, as two people may be paid alike under one name; nothing is left out without the owner's word. Lines are
compared without case and spaces, amounts as numbers; an amount of zero counts nothing twice.
Units: as typed. Source: shop policy.

Example: `Rent`, 14,400, overhead in rows 6 and 15: the year costs 14,400 more, and row 15 is asked about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from quotekit.model.rate import RateLine
from quotekit.pricing.rates.amounts import as_typed
from quotekit.pricing.rates.names import text_key
from quotekit.problems import Problem, warning


def typed_twice(lines: Sequence[RateLine]) -> Iterator[Problem]:
    """A warning for each row that is like one above it; `lines` in the order of the sheet."""
    first: dict[tuple[str, Decimal, str], RateLine] = {}
    for line in lines:
        before = first.setdefault((text_key(line.line), line.amount.value, line.kind), line)
        if before is not line and line.amount.value:
            message = (
                f"{line.line} stands in row {before.source.row} already, with the same Amount and Kind; both count"
            )
            remedy = "Take one of the rows out; if both are meant, give them different Lines."
            yield warning(line.source.place("Line"), "row-twice", message, remedy, f"{line.line}: {as_typed(line)}")

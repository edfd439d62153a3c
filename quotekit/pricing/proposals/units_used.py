"""Units of each part that the shop used in a span of days: of jobs whose work was closed within it.

What was fitted counts, as the review counts it: what closing wrote down, else what was agreed less work that was not
done. Comebacks count too, as their parts are bought all the same; the customer's own parts do not. A part is counted
under the code that was fitted. Where the shop book has another part in its place by now, that one will be fitted in the
year to come: the units count there, and none are left with the old part, which no quote asks for any more.
Units: the part's own. Source: shop policy.

Worked example: a job used 2 of SEAL, a comeback 1 more: 3. Since then SEAL is replaced by SEAL-B, of which 4 were used:
SEAL-B 7, SEAL none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from quotekit.model.review import Span
from quotekit.model.shop_book import ShopBook
from quotekit.model.story import Story
from quotekit.pricing.review.done import code_key, done_within, seen_until
from quotekit.pricing.review.material import used_units
from quotekit.pricing.review.paid_costs import paid_costs


def units_used(stories: Sequence[Story], span: Span) -> Mapping[str, Fraction]:
    """Units by code as compared; parts that were never used are not there."""
    nothing = paid_costs((), (), ())
    found: dict[str, Fraction] = {}
    for story in stories:
        done = done_within(seen_until(story, span.last), span)
        for part in () if done is None else used_units(done, nothing):
            key = code_key(part.part)
            found[key] = found.get(key, Fraction(0)) + part.actual_quantity
    return {key: units for key, units in found.items() if units}


def in_place_of(units: Mapping[str, Fraction], book: ShopBook) -> Mapping[str, Fraction]:
    """The same units, each under the part that the shop book has at the end of its line."""
    ends = {code_key(code): code_key(_end_of(code, book)) for code in book.parts}
    found: dict[str, Fraction] = {}
    for key, used in units.items():
        end = ends.get(key, key)
        found[end] = found.get(end, Fraction(0)) + used
    return found


def _end_of(code: str, book: ShopBook) -> str:
    while (following := book.parts[code].replaced_by) is not None:
        code = following
    return code

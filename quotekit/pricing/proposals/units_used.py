"""Units of each part that the shop used in a span of days: of jobs whose work was closed within it.

What was fitted counts, as the review counts it: what closing wrote down, else what was agreed less work that was not
done. Comebacks count too, as their parts are bought all the same; the customer's own parts do not. A part is counted
under the code that was fitted, so a superseded number under the number that took its place.
Units: the part's own. Source: shop policy.

Worked example: a job used 2 of SEAL, a comeback 1 more: 3.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from quotekit.model.review import Span
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

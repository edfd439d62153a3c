"""The technician's own choice of what goes in a tier (DESIGN.md 4 Plan, 5.7 and 5.9).

A planned tier takes exactly its items and the asked extras. Safety and permission rules still hold:
an item that is not permitted, or leaving what the tier before fixes, is an error.
Source: shop policy.

Worked example: the plan says good takes BUSH@left. BUSH fits only with the shaft from 24.90 and it measures 24.85:
an error at the plan's row, until SHAFT-NEW is planned too.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from quotekit.model.job import PlanItem
from quotekit.pricing.fits import why_not
from quotekit.pricing.items import Item, extra_item, operation_item
from quotekit.pricing.setup import Setup
from quotekit.pricing.sides import is_sided
from quotekit.problems import Problem, error

if TYPE_CHECKING:
    from quotekit.pricing.tiers import WorkedTier


def planned_items(setup: Setup, tier: str) -> tuple[Item, ...] | None:
    """The items planned for a tier; None where the tier is not in the plan."""
    rows = [row for row in setup.basis.job.plan if row.tier == tier]
    if not rows:
        return None
    asked = {item.key for item in setup.asked}
    items = {item.key: item for item in (_planned(setup, row) for row in rows)}
    return tuple(item for key, item in items.items() if key not in asked)


def plan_problems(setup: Setup, tier: WorkedTier, before: WorkedTier | None) -> list[Problem]:
    """What is wrong with a planned tier."""
    found = []
    for item in tier.remedies:
        for check in setup.candidates.faulty_limits(item, tier.items):
            found.append(
                _error(setup, tier, item, "plan-not-permitted", f"{item.key} is not permitted: {why_not(check)}")
            )
        for key in sorted(setup.candidates.missing_needs(item, tier.fixed)):
            message = f"{item.key} must not be fitted without putting {key} right"
            found.append(_error(setup, tier, item, "plan-not-permitted", message))
    lost = sorted(before.fixed - tier.fixed) if before else []
    if lost and before:
        message = f"the planned tier {tier.tier.code} leaves what {before.tier.code} fixes: {'; '.join(lost)}"
        found.append(_error(setup, tier, None, "plan-leaves-fixed", message))
    return found


def _planned(setup: Setup, row: PlanItem) -> Item:
    book = setup.basis.book
    if row.code in book.remedies:
        remedy = book.remedies[row.code]
        side = row.side if is_sided(book, remedy.operations) else None
        item = setup.candidates.item(remedy, side)
        if item.key not in setup.candidates.checks:
            setup.candidates.add(item)
        return item
    if row.code in book.extras:
        extra = book.extras[row.code]
        return extra_item(setup.basis, extra, row.side if is_sided(book, extra.operations) else None)
    return operation_item(setup.basis, row.code, row.side)


def _error(setup: Setup, tier: WorkedTier, item: Item | None, code: str, message: str) -> Problem:
    rows: Sequence[PlanItem] = [row for row in setup.basis.job.plan if row.tier == tier.tier.code]
    row = next((row for row in rows if item is not None and row.code == item.code), rows[0])
    remedy = "Add the item that puts it right to the plan, or take this one out."
    return error(row.source.place("Item"), code, message, remedy, row.code)

"""A closed job with everything the review says of it."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.review import ReviewedJob, Tag
from quotekit.model.shop_book import LabourRate
from quotekit.money import minor_digits, round_to, shown_hours
from quotekit.pricing.review.done import Done
from quotekit.pricing.review.job_variances import job_variances
from quotekit.pricing.review.labour import hours_known, standard_hours, worked_hours
from quotekit.pricing.review.material import UsedUnits, used_units
from quotekit.pricing.review.paid_costs import PaidCosts
from quotekit.pricing.review.profit import ActualCost, actual_cost, contribution_of, profit_of
from quotekit.record import record


@record
class Figures:
    """A closed job as it is shown, with its exact costs and its parts."""

    done: Done
    job: ReviewedJob
    cost: ActualCost
    parts: tuple[UsedUnits, ...]


def review_job(done: Done, paid: PaidCosts, rates: Sequence[LabourRate] = ()) -> Figures:
    """Everything about one job."""
    digits = minor_digits(done.issued.currency)
    hours, parts = worked_hours(done, rates), used_units(done, paid)
    allowed = standard_hours(done)
    cost = actual_cost(done, hours, parts, paid)
    worked = sum((line.hours for line in hours), Fraction(0))
    left = contribution_of(done.invoiced, cost)
    profit = _money(profit_of(done.invoiced, cost), digits)
    agreed = done.agreed
    return Figures(
        done=done,
        job=ReviewedJob(
            job=done.job,
            customer=done.issued.customer,
            machine=done.issued.machine,
            closed=done.on,
            tier=agreed.tier,
            option=agreed.option,
            tags=tags_of(done),
            first_quoted=_first_quoted(done),
            agreed=agreed.subtotal,
            invoiced=done.invoiced,
            parts=_money(cost.parts, digits),
            labour=_money(cost.labour, digits),
            sublet=_money(cost.sublet, digits),
            freight=round_to(cost.freight, digits),
            profit=profit,
            unknown=cost.unknown,
            contribution=_money(left, digits),
            per_bench_hour=_money(None if left is None or not worked else left / worked, digits),
            sold_hours=shown_hours(sold_hours(done)),
            standard_hours=shown_hours(sum(allowed.values(), Fraction(0))),
            actual_hours=shown_hours(worked),
            measured_hours=sum((h.hours for h in done.closed.hours if h.measured and h.work), Decimal(0)),
            variances=job_variances(hours, allowed, _standard_costs(done), parts, digits),
            first_job="" if done.comeback is None else done.comeback.first_job,
            after_comebacks=profit,
        ),
        cost=cost,
        parts=parts,
    )


def _standard_costs(done: Done) -> dict[str, Decimal | None]:
    """The agreed cost of an hour by labour rate; of none where the hours are not known."""
    return {each.rate: each.cost_per_hour for each in done.agreed.labour} if hours_known(done) else {}


def sold_hours(done: Done) -> Fraction:
    """Hours the customer pays for, the minimum counted; of a comeback the part that is charged.

    Source: TRADE 12, sold hours are standard hours that are charged.
    """
    agreed = done.agreed
    sold = Fraction(sum((labour.billed for labour in agreed.labour), Decimal(0)) + agreed.minimum_hours)
    return sold if done.comeback is None else sold * Fraction(done.comeback.charged)


def tags_of(done: Done) -> tuple[Tag, ...]:
    """What sets a job apart."""
    agreed = done.agreed
    found: list[tuple[Tag, bool]] = [
        ("rust", bool(agreed.condition) and any(work.slowed_by_rust for work in agreed.work)),
        ("minimum", agreed.minimum_amount > 0),
        ("comeback", done.comeback is not None),
        ("supplement", done.changes > 0),
        ("not billed", done.invoiced is None),
        ("no hours", not hours_known(done)),
    ]
    return tuple(tag for tag, holds in found if holds)


def _first_quoted(done: Done) -> Decimal | None:
    """The option in the first version, before anything was added to it."""
    options = () if done.first is None else done.first.offered
    return next((option.subtotal for option in options if option.code == done.agreed.tier), None)


def _money(amount: Fraction | None, digits: int) -> Decimal | None:
    return None if amount is None else round_to(amount, digits)

"""The review as lines on a screen: the few figures that matter, and what is proposed."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.review_words import (
    VARIANCES,
    chance_words,
    days_words,
    in_hours,
    in_money,
    in_percent,
    proposal_words,
    variance_words,
)
from quotekit.model.review import Review

MOST_LOSSES = 10
"""Chances of loss shown on a screen, the highest first; the workbook holds all."""


def lay_out_review_text(review: Review) -> Iterator[str]:
    """The lines."""
    yield f"{review.shop_name or 'The shop'}, {days_words(review)}"
    yield ""
    yield from _jobs(review)
    yield from _hours(review)
    yield from _quotes(review)
    yield from _chances(review)
    yield from _proposals(review)


def _jobs(review: Review) -> Iterator[str]:
    totals = review.totals
    yield f"Jobs closed: {totals.jobs}, profit known of {totals.known}"
    if totals.known:
        yield f"  invoiced {in_money(review, totals.invoiced)}, profit {in_money(review, totals.profit)}"
        yield f"  contribution per bench hour {in_money(review, totals.per_bench_hour)}"
    for field, title, _ in VARIANCES if review.jobs else ():
        yield f"  {title}: {variance_words(review, getattr(totals.variances, field))}"
    if review.comebacks:
        yield f"  comebacks: {len(review.comebacks)}, charged to their first jobs"
    if review.other_currency:
        yield f"  in another currency, left out: {review.other_currency}"


def _hours(review: Review) -> Iterator[str]:
    found = review.productivity
    yield f"Hours sold {in_hours(review, found.sold)}, worked {in_hours(review, found.actual)}"
    if found.without_hours:
        yield f"  jobs whose hours were not written down: {found.without_hours}, in no ratio of hours"
    yield f"  efficiency {in_percent(review, found.efficiency)}"
    yield f"  labour sales per sold hour {in_money(review, found.rate_sold)}"
    if found.clock is not None:
        yield f"  productivity {in_percent(review, found.productivity)} of {in_hours(review, found.clock)} clock hours"
        yield f"  the Rate builder counts on {in_hours(review, found.planned_sold)} sold"


def _quotes(review: Review) -> Iterator[str]:
    yield f"Quotes handed over: {review.quotes}"
    for one in review.wins:
        rate = "all still open" if one.rate is None else in_percent(review, one.rate)
        yield f"  {one.name}: shown {one.shown}, chosen {one.chosen}, {rate}"
    for reason in review.lost:
        yield f"  lost, {reason.reason}: {reason.quotes}"


def _chances(review: Review) -> Iterator[str]:
    likeliest = sorted(review.losses, key=lambda one: -(one.chance or 0))[:MOST_LOSSES]
    if likeliest:
        yield "Chance that an open quote loses money"
    for one in likeliest:
        yield f"  {one.job}-{one.version} {one.name}: {chance_words(review, one)}"


def _proposals(review: Review) -> Iterator[str]:
    yield "Proposed times" if review.proposals else "No time is off by a tenth beyond what chance explains."
    for one in review.proposals:
        yield f"  {proposal_words(review, one)}"

"""The whole review of a span of days, in one call a question.

Only what happened up to the last day is seen. A job is reviewed in the span in which its work was closed, a quote in
the span in which it was handed over. Jobs in another currency than the newest are left out and counted.
Source: TRADE 12; shop policy. Each question's own rule stands in its file.

Example: a job issued in May and closed in June is among June's jobs and May's quotes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from quotekit.model.entries import Cancelled, Comeback, Ordered, Received
from quotekit.model.rate import RateBuild
from quotekit.model.review import Proposal, Review, ReviewedJob, Span
from quotekit.model.shop_book import ShopBook
from quotekit.model.story import Story, Told, job_key
from quotekit.money import minor_digits
from quotekit.pricing.rate import rates_of
from quotekit.pricing.rates.build import read_build
from quotekit.pricing.review.accuracy import Estimates, estimates, norms_in_force, shown_accuracy, shown_shop
from quotekit.pricing.review.comebacks import charge_comebacks, charged_comebacks
from quotekit.pricing.review.done import done_within, seen_until
from quotekit.pricing.review.fates import fates
from quotekit.pricing.review.loss import CostRatio, loss_chances, tier_losses
from quotekit.pricing.review.material import UsedUnits
from quotekit.pricing.review.measured import Measured, measured_of, split_hours
from quotekit.pricing.review.months import months_of
from quotekit.pricing.review.paid_costs import paid_costs
from quotekit.pricing.review.parts_margin import parts_margin
from quotekit.pricing.review.productivity import productivity
from quotekit.pricing.review.proposals import propose_allowances, propose_times, standard_times
from quotekit.pricing.review.reviewed import Figures, review_job
from quotekit.pricing.review.rust import known_allowances, rust_ratios
from quotekit.pricing.review.totals import totals_of
from quotekit.pricing.review.wins import age_bands, lost_reasons, tier_wins
from quotekit.problems import Place
from quotekit.record import record

Body = TypeVar("Body")


@record
class Kept:
    """What the ledger holds: the stories of jobs, orders and deliveries, each in order."""

    stories: Sequence[Story]
    ordered: Sequence[Told[Ordered]] = ()
    received: Sequence[Told[Received]] = ()
    cancelled: Sequence[Told[Cancelled]] = ()
    comebacks: Sequence[Told[Comeback]] = ()
    """Also of jobs whose stories are not among these: a comeback may come from one of an earlier year."""
    shop_name: str = ""
    """Where no shop book is given."""


def review_of(kept: Kept, span: Span, book: ShopBook | None = None) -> Review:
    """Everything the shop learns from a span; with a shop book also the Rate builder, its bands and proposals."""
    seen = [seen_until(story, span.last) for story in kept.stories]
    currency, language = _newest(seen)
    own = [story for story in seen if not story.issued or story.issued[-1].body.currency == currency]
    digits = minor_digits(currency)
    done = sorted(filter(None, (done_within(story, span) for story in own)), key=lambda one: (one.on, one.job))
    paid = paid_costs(_until(kept.ordered, span), _until(kept.received, span), _until(kept.cancelled, span))
    comebacks = _links(kept, own, span)
    each = [review_job(one, paid, () if book is None else book.labour_rates) for one in done]
    jobs = charge_comebacks([figures.job for figures in each], comebacks)
    measured = [one for job in done for one in measured_of(job)]
    found = estimates(measured, norms_in_force(measured, standard_times(book)))
    quotes = fates(own, span)
    past, lost = _past(each, jobs)
    return Review(
        span=span,
        currency=currency,
        shop_name=kept.shop_name if book is None else book.settings.shop_name,
        language=language if book is None else book.settings.language,
        jobs=tuple(jobs),
        totals=totals_of(jobs, digits),
        months=months_of(jobs, digits),
        comebacks=charged_comebacks(jobs, comebacks, digits),
        shop=shown_shop(found),
        accuracy=shown_accuracy(found),
        split=split_hours(done),
        proposals=_proposals(measured, found, book),
        wins=tier_wins(quotes),
        quotes=len(quotes),
        ageing=age_bands(quotes),
        lost=lost_reasons(quotes),
        parts=parts_margin(_paying_parts(each), book, digits),
        productivity=productivity(done, span, digits, *_plan(book)),
        losses=loss_chances(quotes, past),
        tier_losses=tier_losses(past, lost),
        other_currency=len(seen) - len(own),
    )


def _newest(stories: Iterable[Story]) -> tuple[str, str]:
    """Currency and language of the newest quote."""
    newest = max((story.issued[-1] for story in stories if story.issued), key=lambda told: told.entry.seq, default=None)
    return ("", "en_US") if newest is None else (newest.body.currency, newest.body.language)


def _links(kept: Kept, stories: Iterable[Story], span: Span) -> dict[str, Comeback]:
    """The newest comeback of each job that is one, by job as compared."""
    found = {job_key(told.entry.job): told.body for told in _until(kept.comebacks, span)}
    return found | {job_key(story.job): story.comeback[-1].body for story in stories if story.comeback}


def _until(told: Sequence[Told[Body]], span: Span) -> list[Told[Body]]:
    return [one for one in told if one.entry.day <= span.last]


def _proposals(measured: Sequence[Measured], found: Sequence[Estimates], book: ShopBook | None) -> tuple[Proposal, ...]:
    of_book = {} if book is None else {code: row.allowance for code, row in book.conditions.items()}
    allowances = propose_allowances(rust_ratios(measured, found), known_allowances(measured, of_book), book)
    return (*propose_times(found, book), *allowances)


def _paying_parts(each: Iterable[Figures]) -> Iterable[Sequence[UsedUnits]]:
    """The parts of jobs that are no comebacks."""
    return (figures.parts for figures in each if figures.done.comeback is None)


def _plan(book: ShopBook | None) -> tuple[RateBuild | None, Decimal | None]:
    """The Rate builder's year and its break-even rate, where it is filled in."""
    if book is None or not book.rate_builder:
        return None, None
    build, _ = read_build(book.rate_builder, Place(book.file, "Rate builder"))
    if build is None:
        return None, None
    return build, rates_of(build, minor_digits(book.settings.currency)).break_even


def _past(each: Sequence[Figures], jobs: Sequence[ReviewedJob]) -> tuple[list[CostRatio], list[tuple[str, bool]]]:
    """Cost ratios and results of the jobs that are no comebacks, from the oldest to the newest."""
    ratios, lost = [], []
    for figures, job in zip(each, jobs, strict=True):
        if figures.done.comeback is not None or job.comebacks_result is None:
            continue
        if job.after_comebacks is not None:
            lost.append((job.tier, job.after_comebacks < 0))
        agreed, total = figures.done.agreed.cost_total, figures.cost.total
        if total is not None and agreed:
            actual = total - Fraction(job.comebacks_result)
            ratios.append(CostRatio(tier=job.tier, name=job.option, agreed=Fraction(agreed), actual=actual))
    return ratios, lost

"""Which cells each figure of a tier hangs on: changing any other cell leaves the figure as it was.

A figure is worked out again on a shop book and a job that tell which cells are read, by the engine's own rules and with
nothing kept from before. What it reads is what it hangs on, and so is what decided which remedies the tier takes.
Where the figure worked out again is not the quote's, or its name is not known here, it hangs on everything that the
whole quote reads: more than need be, and never less.

Cells are apart by the rule that read them, in words. Those of `CONDITIONS` do not enter the figure; they decide whether
it is there at all, as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import timedelta
from decimal import Decimal, localcontext
from functools import partial

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook, Tier
from quotekit.model.watched import watched
from quotekit.model.watched_reads import Reads, Seen, keep
from quotekit.money import EXACT
from quotekit.pricing.build_quote import build_quote
from quotekit.pricing.explain.cells_charges import WORK
from quotekit.pricing.explain.cells_choice import CHOICE, LateSetup, what_tiers_take
from quotekit.pricing.explain.cells_figures import OFFERS, Figure, TierFigures
from quotekit.pricing.fits import look_next, measure_next, not_permitted
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import reasons_not_offered, work_out_tiers
from quotekit.pricing.totals import declined
from quotekit.problems import Place

EVERYTHING = "everything the quote reads"
OFFERED = "which options are worth offering"
CONDITIONS: tuple[str, ...] = (CHOICE, WORK, OFFERS, EVERYTHING)
"""Stages that decide whether a figure is there and what it is of, and do not enter it."""

Cells = Mapping[str, frozenset[Place]]


class FigureCells(dict[str, Cells]):
    """Cells of each figure by stage; a figure that is not known hangs on everything."""

    def __init__(self, everything: frozenset[Place]) -> None:
        super().__init__()
        self.everything: Cells = {EVERYTHING: everything}

    def __missing__(self, figure: str) -> Cells:
        return self.everything

    def all_of(self, figure: str) -> frozenset[Place]:
        """Every cell a figure names."""
        return frozenset().union(*self[figure].values())


def cells_behind(book: ShopBook, job: Job, tier_code: str) -> FigureCells:
    """Cells of each figure of a tier's JSON, and of the job's own figures, by stage.

    A figure that is not among the keys may be asked for all the same: it hangs on everything.
    """
    with localcontext(EXACT):
        seen = Seen()
        watched_book, watched_job = watched(book, job, seen)
        with seen.frame(EVERYTHING) as reads:
            quote = build_quote(watched_book, watched_job)
            _ = watched_book.settings.language  # for sentences with numbers, as they are laid out
        found = FigureCells(_together(reads))
        setup = LateSetup(seen, watched_book, watched_job)
        _add(found, setup, _of_job(setup, quote), {})
        tier = next((tier for tier in quote.tiers if tier.code == tier_code), None)
        if tier is not None:
            _add_tier(found, LateSetup(seen, watched_book, watched_job), tier)
        return found


def _add_tier(found: FigureCells, setup: LateSetup, tier: PricedTier) -> None:
    taken = what_tiers_take(setup, tier.code)
    if taken is None or taken.items is None or not tier.priced:
        return
    if sorted(item.key for item in taken.items) != sorted(item.key for item in tier.items):
        return
    with setup.seen.frame(CHOICE):
        figures = [*TierFigures(setup, taken.items, tier).all(), *_words(setup, tier)]
    condition = {CHOICE: _together(taken.reads)}
    _add(found, setup, figures, condition)
    found["compared"] = condition


def _add(found: FigureCells, setup: LateSetup, figures: Iterable[Figure], condition: Cells) -> None:
    for figure in figures:
        with setup.seen.frame(figure.stage) as reads:
            worked_out = figure.work_out()
            if figure.is_money:
                _ = setup.basis.digits
        if worked_out == figure.stated:
            found[figure.name] = _merged(condition, reads)


def _merged(condition: Cells, reads: Reads) -> Cells:
    stages = {stage: frozenset(places) for stage, places in reads.items() if places}
    more = {stage: places | stages.get(stage, frozenset()) for stage, places in condition.items()}
    return {**stages, **more}


def _together(reads: Reads) -> frozenset[Place]:
    return frozenset().union(*reads.values())


def _words(setup: LateSetup, tier: PricedTier) -> Iterator[Figure]:
    """What a tier is called, and whether it is offered: that hangs on the other tiers too."""
    reasons = keep(setup.seen, OFFERED, lambda: reasons_not_offered(work_out_tiers(set_up(setup.book, setup.job))))

    def reason() -> str | None:
        return reasons.use(setup.seen).get(tier.code)

    yield Figure("code", "the option", lambda: _tier(setup, tier.code).code, tier.code)
    yield Figure("name", "the option", lambda: _tier(setup, tier.code).tier, tier.name)
    yield Figure("offered", OFFERED, lambda: reason() is None, tier.offered)
    yield Figure("reason", OFFERED, reason, tier.reason)


def _tier(setup: LateSetup, code: str) -> Tier:
    return next(tier for tier in setup.book.tiers if tier.code == code)


def _of_job(setup: LateSetup, quote: Quote) -> Iterator[Figure]:
    """Figures of the job that no tier has."""
    job, basis, settings = setup.job, setup.basis, setup.book.settings
    yield Figure("job", "the job", lambda: job.job_number, quote.job.job_number)
    yield Figure("version", "the job", lambda: job.version, quote.job.version)
    yield Figure("quote_date", "the job", lambda: job.quote_date, quote.job.quote_date)
    yield Figure("currency", "the shop", lambda: settings.currency, quote.currency)
    days = "how long the quote holds"
    yield Figure(
        "valid_until", days, lambda: job.quote_date + timedelta(days=settings.quote_valid_days), quote.valid_until
    )
    refused: Callable[[], object] = lambda: not_permitted(setup.candidates)[0]  # noqa: E731
    together: Callable[[], object] = lambda: not_permitted(setup.candidates)[1]  # noqa: E731
    yield Figure("not_permitted", "which remedies fit", refused, quote.not_permitted)
    yield Figure("only_with", "which remedies fit", together, quote.only_with)
    yield Figure("measure_next", "which remedies fit", lambda: measure_next(setup.candidates), quote.measure_next)
    yield Figure("look_next", "what to look at next", lambda: look_next(basis), quote.look_next)
    for name in ("inspection", "reassembly", "tax", "total"):
        stated: Decimal = getattr(quote.declined, name)
        yield Figure(f"declined.{name}", "what a no costs", partial(_declined, setup, name), stated)


def _declined(setup: LateSetup, name: str) -> Decimal:
    amount: Decimal = getattr(declined(setup.basis), name)
    return amount

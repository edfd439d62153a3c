"""Changed jobs of priced quotes: the first option was agreed to, the last with extras beside it is asked for."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.documents.consent_words import new_words
from quotekit.model.consent import ChangedJob
from quotekit.model.entries import Accepted, Revision
from quotekit.model.quote import Quote
from quotekit.money import minor_digits
from quotekit.pricing.agreed import agreed_of, consent_rule
from quotekit.pricing.choice import price_choice
from quotekit.pricing.consent.changes import changes_of
from quotekit.pricing.consent.declined_safety import safety_left
from quotekit.pricing.consent.need import need_of_consent


def a_changed_job(quote: Quote, *, asks: bool = True) -> ChangedJob:
    """A change as `revise` makes one, from the first option offered to the last with the first two extras."""
    first, last = quote.offered[0], quote.offered[-1]
    keys = [extra.extra for extra in last.extras[:2]]
    priced = price_choice(quote.book, quote.job, last.code, keys) if keys else last
    before, now = agreed_of(quote.book, quote.job, first), agreed_of(quote.book, quote.job, priced, keys)
    rule = consent_rule(quote.book.settings)
    yes = Accepted(tier=first.code, extras=(), by="phone", customer="", phone="", note="", said_at="", agreed=before,
                   rule=rule)  # fmt: skip
    need, changes = need_of_consent(yes, now, minor_digits(quote.currency)), changes_of(before, now)
    revision = Revision(
        of_version=1,
        tier=now.tier,
        extras=tuple(keys),
        before=need.before,
        after=need.after,
        threshold=need.threshold,
        needs_consent=asks,
        agreed=now,
        new=new_words(changes, quote.book.settings.language),
    )
    return ChangedJob(
        quote=quote,
        before=before,
        agreed_on=date(2026, 11, 20),
        revision=revision,
        changes=changes,
        rule=rule,
        valid_until=date(2026, 12, 28),
        paid=Decimal(20),
        safety=safety_left(quote.job.findings),
    )

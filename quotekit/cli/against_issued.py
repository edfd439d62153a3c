"""A yes held against what the ledger issued: foreign, replaced, changed, expired; and the price worked out again.

Nothing is taken from what came back but the choice: every amount is that of the frozen version.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error
from quotekit.record import record

if TYPE_CHECKING:
    from datetime import date

    from quotekit.cli.said_yes import SaidYes
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.agreed import Agreed
    from quotekit.model.entries import Issued, OfferedOption
    from quotekit.model.quote import PricedTier, Quote
    from quotekit.model.story import Story, Told

_ASK = "Ask the customer which one is meant."


@record
class Chosen:
    """A choice worked out from the frozen version."""

    agreed: Agreed
    extras: tuple[str, ...]
    safety_left: tuple[str, ...]
    quote: Quote


def against_issued(yes: SaidYes, story: Story, today: date, *, hold: bool) -> list[Problem]:
    """Why a yes is not to what was issued and holds now; nothing where it is."""
    current = story.current
    if current is None:
        return []
    if yes.version is not None:
        issued = story.version(yes.version)
        if issued is None:
            message = f"Version {yes.version} of job {story.job} was never issued from this ledger."
            return [error(yes.version_at, "not-issued", message, "Find out where the customer has it from.")]
        if current.entry.version != yes.version:
            return [_replaced(yes, current)]
    return [*_marks(yes, current.body), *_too_early(yes, current, today), *_expiry(yes, current.body, today, hold=hold)]


def _replaced(yes: SaidYes, current: Told[Issued]) -> Problem:
    message = f"Version {yes.version} was replaced: version {current.entry.version} has been issued since."
    remedy = "Send the customer the newer one; or issue the older one again if it is to hold."
    return error(yes.version_at, "version-replaced", message, remedy, str(yes.version))


def _marks(yes: SaidYes, issued: Issued) -> list[Problem]:
    if yes.mark is None or (yes.mark and issued.fingerprint.startswith(yes.mark)):
        return []
    message = "It was not made from the quote that was issued: its marks are others."
    remedy = "Compare the two. Settle it with the customer, and send the quote again if it should say something else."
    return [error(yes.mark_at, "quote-changed", message, remedy, yes.mark[:12])]


def _too_early(yes: SaidYes, current: Told[Issued], today: date) -> list[Problem]:
    """Nobody can have said yes before there was a quote; what is recorded later may be of an earlier day."""
    first = min(current.body.quote_date, current.entry.day)
    if today >= first:
        return []
    message = f"The quote is of {first.isoformat()}; nobody can have agreed to it on {today.isoformat()}."
    return [error(yes.job_at, "yes-before-quote", message, "Give the day on which it was said with --on.")]


def _expiry(yes: SaidYes, issued: Issued, today: date, *, hold: bool) -> list[Problem]:
    if hold or today <= issued.valid_until:
        return []
    message = f"The quote was valid until {issued.valid_until.isoformat()}."
    again = "Type today's date as Quote date of the job and issue it again"
    remedy = f"{again}, or hold it all the same: --hold-expired REASON."
    return [error(yes.job_at, "quote-expired", message, remedy)]


def choose_frozen(ledger: Ledger, issued: Told[Issued], yes: SaidYes) -> tuple[Chosen | None, list[Problem]]:
    """The choice worked out again from the workbooks as they were issued, and held against what was issued."""
    from quotekit.cli.choice import choose
    from quotekit.cli.frozen import frozen_choice, frozen_quote, read_frozen
    from quotekit.pricing.agreed import agreed_of
    from quotekit.pricing.consent.declined_safety import safety_left
    from quotekit.problems import has_errors

    revision = issued.body.revision
    tier_word, extras = yes.tier, list(yes.extras)
    if revision is not None:
        found = _against_revision(yes, issued)
        if found:
            return None, found
        tier_word, extras = revision.tier, list(revision.extras)
    elif not tier_word:
        offered = ", ".join(f"{option.code} ({option.name})" for option in issued.body.offered)
        message = f"No option is chosen. Offered are: {offered}."
        return None, [error(yes.tier_at, "no-option-chosen", message, "Add --tier CODE.")]
    frozen = read_frozen(ledger, issued)
    quote = frozen_quote(frozen)
    problems = _option_names(yes, issued.body.offered) or list(_same_totals(quote, issued))
    tier, keys, found = choose(quote, tier_word, extras)
    problems += [_at(problem, yes) for problem in found if revision is None or problem.code != "option-not-offered"]
    if tier is None or has_errors(problems):
        return None, problems
    agreed = frozen_choice(frozen, tier.code, keys)[1] if keys else agreed_of(frozen.book, frozen.job, tier)
    if revision is not None and agreed.total != revision.agreed.total:
        problems.append(_differs(issued, tier.name, agreed.total, revision.agreed.total))
    left = safety_left(quote.job.findings, agreed.left)
    return Chosen(agreed=agreed, extras=tuple(keys), safety_left=left, quote=quote), problems


def _against_revision(yes: SaidYes, issued: Told[Issued]) -> list[Problem]:
    """A change to what was agreed is taken as it is, or not."""
    from quotekit.cli.chosen import same_words
    from quotekit.documents.consent_answer import NO_CODE

    revision = issued.body.revision
    assert revision is not None
    if yes.tier == NO_CODE:
        remedy = "Record the no: quotekit decline JOB --reason REASON."
        return [error(yes.tier_at, "work-declined", "The customer does not want the change.", remedy)]
    if not yes.tier and yes.file is not None:
        return [error(yes.tier_at, "no-option-chosen", "No answer is picked.", _ASK)]
    other = bool(yes.tier) and not same_words(yes.tier, revision.tier)
    if not other and (not yes.extras or {key.casefold() for key in yes.extras} == _folded(revision.extras)):
        return []
    agreed = ", ".join((revision.agreed.option, *revision.extras))
    message = f"Version {issued.entry.version} is a change to what was agreed ({agreed}); nothing else can be chosen."
    return [error(yes.tier_at, "change-as-it-is", message, "For another option or extra, issue a new quote.", yes.tier)]


def _folded(keys: Iterable[str]) -> set[str]:
    return {key.casefold() for key in keys}


def _option_names(yes: SaidYes, offered: Iterable[OfferedOption]) -> list[Problem]:
    """A name beside the code must not be that of another option."""
    from quotekit.documents import option_mentions

    options = [option_mentions.OfferedOption(code=option.code, label=option.name) for option in offered]
    named = option_mentions.option_meant(yes.option, options) if yes.option else None
    if named is None or named.code.casefold() == yes.tier.casefold():
        return []
    message = f"The code is not that of {named.label}, whose name stands beside it."
    return [error(yes.tier_at, "two-options-ticked", message, _ASK, f"{yes.option} [{yes.tier}]")]


def _same_totals(quote: Quote, issued: Told[Issued]) -> Iterable[Problem]:
    """That the frozen workbooks still come to what was issued."""
    now: dict[str, PricedTier] = {tier.code: tier for tier in quote.tiers}
    for option in issued.body.offered:
        tier = now.get(option.code)
        if issued.body.revision is None and (tier is None or tier.total != option.total):
            yield _differs(issued, option.name, tier.total if tier is not None else None, option.total)


def _differs(issued: Told[Issued], name: str, now: Decimal | None, then: Decimal) -> Problem:
    worked_out = "can't be worked out" if now is None else f"comes to {now:f}"
    message = f"From the workbooks as they were issued {name} {worked_out}; issued was {then:f}."
    engine = f" (version {issued.body.engine})" if issued.body.engine else ""
    remedy = f"Use the quotekit that issued it{engine}, or issue the quote again."
    place = Place(f"job {issued.entry.job}, version {issued.entry.version}")
    return error(place, "frozen-total-differs", message, remedy)


def _at(problem: Problem, yes: SaidYes) -> Problem:
    """A problem of the choice at the cell it came from; an option that is not offered can't be agreed to."""
    severity = "error" if problem.code == "option-not-offered" else problem.severity
    place = yes.tier_at if yes.file is not None else problem.place
    return replace(problem, place=place, severity=severity)

"""Which accepted jobs a parts order is for, read again as they were agreed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from quotekit.problems import Place, Problem, error

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.agreed import AgreedPart
    from quotekit.model.entries import Entry
    from quotekit.model.shop_book import ShopBook
    from quotekit.model.story import Story, Told
    from quotekit.pricing.landed.open_needs import JobToOrder
    from quotekit.pricing.landed.stock import Stock


def jobs_to_order(
    ledger: Ledger, named: Sequence[str], stock: Stock, days: Mapping[str, date]
) -> tuple[list[JobToOrder], ShopBook | None, list[Problem]]:
    """The jobs, the shop book of the last issued of them, and what is wrong with those that were named.

    Without names: every job that is agreed and not done, of which some part may not be ordered yet. `days` are the
    days by which parts must be there, by job key; an empty key stands for every job.
    """
    stories, problems = _named(ledger, named) if named else (list(_all_open(ledger, stock)), [])
    if problems:
        return [], None, problems
    read = [_read_again(ledger, story, days) for story in stories]
    newest = max(read, key=lambda one: one[1], default=None)
    return [job for job, _ in read], newest[0].book if newest is not None else None, problems


def unknown_days(ledger: Ledger, days: Iterable[str]) -> list[Problem]:
    """Jobs that a day was typed for and that nobody knows."""
    from quotekit.cli.jobs import known_job

    return [problem for job in days if job for problem in known_job(ledger, job)[1]]


def parts_of_declined(ledger: Ledger, stock: Stock) -> list[Problem]:
    """Parts that came in, or will, for jobs that the customer declined since."""
    from quotekit.ledger.last_entries import last_entries
    from quotekit.pricing.consent.authorised import agreed_now
    from quotekit.pricing.landed.open_needs import of_declined

    have = {job for (job, _), units in stock.got.items() if units}
    stories = [ledger.story(key) for key in last_entries(ledger, ["declined"]) if key in have]
    return of_declined([story.job for story in stories if agreed_now(story) is None], stock)


def orders_so_far(ledger: Ledger) -> Stock:
    """Orders, deliveries, what was called off, and the shelf, from the ledger."""
    from quotekit.pricing.landed.stock import KINDS, stock_of

    return stock_of(ledger.entries(kinds=KINDS))


def _named(ledger: Ledger, named: Iterable[str]) -> tuple[list[Story], list[Problem]]:
    from quotekit.cli.jobs import known_job
    from quotekit.model.story import job_key
    from quotekit.pricing.consent.authorised import agreed_now

    stories, problems = [], []
    for job in {job_key(job): job for job in named}.values():
        story, wrong = known_job(ledger, job)
        problems += wrong
        if story is None:
            continue
        if agreed_now(story) is None:
            message = f"The customer of job {job} has not said yes."
            problems.append(_wrong(ledger, "not-accepted", message, "Record it with `quotekit accept`.", job))
        elif _is_closed(story):
            message = f"Job {job} is done: nothing more is ordered for it."
            problems.append(_wrong(ledger, "job-done", message, "Order for a new job, or a changed one.", job))
        stories.append(story)
    return stories, problems


def _all_open(ledger: Ledger, stock: Stock) -> Iterable[Story]:
    """Stories of jobs that are agreed, not done, and may need a part; others are not read at all."""
    from quotekit.ledger.last_entries import last_entries
    from quotekit.pricing.consent.authorised import agreed_now

    done, issued = last_entries(ledger, ["closed", "billed"]), last_entries(ledger, ["issued"])
    for key, accepted in last_entries(ledger, ["accepted"]).items():
        if done.get(key, 0) > max(accepted, issued.get(key, 0)):
            continue
        story = ledger.story(key)
        agreed = agreed_now(story)
        if agreed is not None and any(not part.own and not _is_covered(stock, key, part) for part in agreed.parts):
            yield story


def _is_covered(stock: Stock, job: str, part: AgreedPart) -> bool:
    """Whether exactly what is agreed was ordered, under a name that a part may go by: then nothing is read again."""
    names = (part.part, f"{part.part} of {job}", f"{part.name} of {job}")
    return any(stock.has(job, name) == part.quantity for name in names)


def _is_closed(story: Story) -> bool:
    """True where work was finished after what is agreed now; a bill alone does not say so of a job that is named."""
    agreed = max((entry.seq for entry in (*_entries(story.accepted), *_entries(story.issued))), default=0)
    return any(entry.seq > agreed for entry in _entries(story.closed))


def _entries(told: Iterable[Told[Any]]) -> list[Entry]:
    return [one.entry for one in told]


def _read_again(ledger: Ledger, story: Story, days: Mapping[str, date]) -> tuple[JobToOrder, int]:
    from quotekit.cli.frozen import read_frozen
    from quotekit.model.story import job_key
    from quotekit.pricing.consent.authorised import agreed_now, last_yes, version_now
    from quotekit.pricing.landed.open_needs import JobToOrder

    yes, agreed = last_yes(story), agreed_now(story)
    issued = story.version(version_now(story) or 0)
    if yes is None or agreed is None or issued is None:
        raise LookupError(story.job)
    frozen = read_frozen(ledger, issued)
    job = JobToOrder(
        job=issued.entry.job,
        agreed=agreed,
        said_yes=yes.entry.day,
        book=frozen.book,
        record=frozen.job,
        by=days.get(job_key(story.job), days.get("")),
    )
    return job, issued.entry.seq


def _wrong(ledger: Ledger, code: str, message: str, remedy: str, job: str) -> Problem:
    return error(Place(ledger.address.shown), code, message, remedy, job)

"""Agreed jobs to be billed, small ones by hand and random ones, with what the tests ask of their bills."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from random import Random
from typing import Any

from quotekit.model.agreed import Agreed, ConsentRule
from quotekit.model.entries import Accepted, Billed, Closed, UsedPart
from quotekit.model.job import Job
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.agreed import agreed_of
from quotekit.pricing.bill.make_bill import bill_of_work
from quotekit.pricing.bill.to_bill import WorkToBill
from quotekit.pricing.choice import price_choice
from quotekit.problems import Problem, has_errors
from tests import build
from tests.random_jobs import a_random_case

CONSENT = Decimal(10**6)
"""A threshold no bill of a test passes."""


def accepted_of(agreed: Agreed, rule: ConsentRule | None = None, **values: Any) -> Accepted:
    """The customer's yes to what was agreed; any excess needs consent unless a rule is given."""
    named: dict[str, Any] = {
        "tier": agreed.tier,
        "extras": (),
        "by": "phone",
        "customer": "A Customer",
        "phone": "555-0100",
        "note": "",
        "said_at": "2026-03-03 10:00",
        "agreed": agreed,
        "rule": rule or ConsentRule(),
    }
    return Accepted(**named | values)


def closed(not_done: str = "", parts: str = "", cores: str = "") -> Closed:
    """A closing: items or operations not done, parts used as `SEAL x 2; BELT x 0`, old parts handed back."""
    return Closed(
        hours=(),
        parts=tuple(UsedPart(part=code, quantity=count) for code, count in _listed(parts)),
        not_done=tuple(key.strip() for key in not_done.split(";") if key.strip()),
        cores_returned=dict(_listed(cores)),
    )


def _listed(text: str) -> Iterator[tuple[str, Decimal]]:
    for entry in build.quantities(text):
        yield entry.code, entry.quantity


def to_bill(book: ShopBook, job: Job, tier: str = "good", extras: tuple[str, ...] = (), **values: Any) -> WorkToBill:
    """One option of a job with extras, agreed as it was quoted, to be billed on the day of the quote."""
    agreed = agreed_of(book, job, price_choice(book, job, tier, extras), extras)
    rule = values.pop("rule", None)
    named: dict[str, Any] = {"agreed": agreed, "accepted": accepted_of(agreed, rule), "day": job.quote_date} | values
    return WorkToBill(book=book, job=job, **named)


def bill(facts: WorkToBill) -> Billed:
    """The bill of a job that has one, warnings or not."""
    made, problems = bill_of_work(facts)
    assert made is not None, problems
    return made


def codes_of(facts: WorkToBill) -> list[str]:
    """Codes of the problems."""
    return [problem.code for problem in problems_of(facts)]


def problems_of(facts: WorkToBill) -> list[Problem]:
    """All that is wrong, or to be told."""
    return bill_of_work(facts)[1]


def amounts(made: Billed) -> dict[str, str]:
    """The amount of each line by its key."""
    return {line.key: str(line.amount) for line in made.lines}


def again(facts: WorkToBill, made: Billed, **values: Any) -> WorkToBill:
    """The same job after a bill."""
    return replace(facts, before=(*facts.before, made), **values)


@dataclass(frozen=True)
class Drawn:
    """A random agreed choice of a random job."""

    seed: int
    book: ShopBook
    job: Job
    tier: PricedTier
    """As quoted, with the extras taken."""
    extras: tuple[str, ...]
    random: Random

    def to_bill(self, **values: Any) -> WorkToBill:
        """As it is to be billed."""
        return to_bill(self.book, self.job, self.tier.code, self.extras, **values)


def drawn(seeds: range) -> Iterator[Drawn]:
    """One choice of each random job that has one to offer."""
    for seed in seeds:
        book, job = a_random_case(seed)
        quote = build_quote(book, job)
        if has_errors(quote.problems) or not quote.offered:
            continue
        random = Random(seed)
        tier = random.choice(quote.offered)
        extras = tuple(sorted(random.sample([one.extra for one in tier.extras], random.randint(0, len(tier.extras)))))
        yield Drawn(seed, book, job, price_choice(book, job, tier.code, extras), extras, random)

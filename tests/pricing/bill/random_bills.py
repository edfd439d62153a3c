"""Random stories of random jobs, billed by the engine and by the second implementation.

`python -m tests.pricing.bill.random_bills 2000 0` compares thousands.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random

from quotekit.model.agreed import Agreed, ConsentRule
from quotekit.model.entries import Billed, Closed, Comeback, UsedPart
from quotekit.model.shop_book import Tax
from quotekit.pricing.bill.make_bill import bill_of_no, bill_of_work
from quotekit.pricing.bill.to_bill import ToBill, WorkToBill
from tests.pricing.bill.cases import Drawn, drawn
from tests.pricing.bill.second import Happened, SecondBill, SecondBiller, no_bill


@dataclass
class Compared:
    """What was compared, and where the two differ."""

    wrong: list[str] = field(default_factory=list)
    seen: Counter[str] = field(default_factory=Counter)


def compare(seeds: range) -> Compared:
    """Bill the jobs of these seeds both ways."""
    found = Compared()
    for one in drawn(seeds):
        _compare_job(one, found)
    return found


def _compare_job(drawn_job: Drawn, found: Compared) -> None:
    """Perhaps a no that was billed, then two bills after one another, the second of another closing on a later day."""
    random = drawn_job.random
    facts = drawn_job.to_bill(rule=_a_rule(random), comeback=_a_comeback(random))
    second = SecondBiller(drawn_job.book, drawn_job.job, facts.agreed)
    before: list[SecondBill] = []
    told = _billed_no(drawn_job) if random.random() < 0.3 else None
    if told is not None:
        other = no_bill(drawn_job.book, drawn_job.job)
        # its taxes are compared by the quote's own second implementation
        other.total = Fraction(told.total)
        other.taxes = {tax: (Fraction(base), Fraction(amount)) for tax, base, amount in told.taxes}
        facts, before = replace(facts, before=(told,)), [other]
    for day, taxes in _days(drawn_job, facts):
        closed, paid = _a_closing(random, drawn_job, facts.agreed), Decimal(random.choice([0, 20, 900]))
        facts = replace(facts, day=day, taxes=taxes, closed=closed, payments=((day, "Paid", paid),))
        bill, problems = bill_of_work(facts)
        found.seen.update(problem.code for problem in problems)
        if bill is None:
            return
        other = second.bill(_happened(facts, closed, paid), before, day, taxes)
        found.wrong += _differences(f"seed {drawn_job.seed}, bill {len(before) + 1}", bill, other)
        found.seen.update(_kinds(bill))
        facts, before = replace(facts, before=(*facts.before, bill)), [*before, other]


def _differences(where: str, bill: Billed, other: SecondBill) -> Iterator[str]:
    taxes = {tax: (Fraction(base), Fraction(amount)) for tax, base, amount in bill.taxes}
    mine = (bill.subtotal, taxes, bill.total, bill.due, bill.refund)
    theirs = (other.subtotal, other.taxes, other.total, other.due, other.refund)
    for name, one, two in zip(("subtotal", "taxes", "total", "due", "refund"), mine, theirs, strict=True):
        if one != two:
            yield f"{where}: {name} {one}, second {two}"


def _kinds(bill: Billed) -> Iterator[str]:
    """What a bill holds, so that a run can say what it met."""
    yield "bills"
    yield from {line.key.partition(":")[0] for line in bill.lines}
    if bill.refund:
        yield "money back"
    if bill.tax < 0:
        yield "tax back"


def _billed_no(one: Drawn) -> Billed | None:
    """The bill of a no; None where a no costs nothing."""
    return bill_of_no(ToBill(book=one.book, job=one.job, day=one.job.quote_date))[0]


def _days(one: Drawn, facts: WorkToBill) -> list[tuple[date, tuple[Tax, ...] | None]]:
    """The day of the quote, then a later one, on which the rates may be others."""
    later = facts.day + timedelta(days=one.random.choice([1, 400]))
    rows = tuple(replace(row, rate=row.rate + Decimal("0.013"), in_force_to=None) for row in one.book.taxes)
    return [(facts.day, None), (later, one.random.choice([None, rows]))]


def _a_rule(random: Random) -> ConsentRule:
    return ConsentRule(
        over_percent=Decimal(random.choice(["0", "0.02", "0.1", "5"])),
        over_amount=Decimal(random.choice(["0", "4.5", "25", "9999"])),
        over=random.choice(["the greater", "the lesser"]),
        compares=random.choice(["before tax", "with tax"]),
    )


def _a_comeback(random: Random) -> Comeback | None:
    if random.random() < 0.75:
        return None
    charged = Decimal(random.choice(["0", "0.25", "0.333", "1"]))
    return Comeback(first_job="J-0", cause="part", charged=charged)


def _a_closing(random: Random, one: Drawn, agreed: Agreed) -> Closed:
    """Some items or operations not done, some parts used otherwise, some old parts handed back."""
    keys = [item.key for item in agreed.items]
    keys += [work.key for work in agreed.work if work.kind == "operation"]
    codes = [*one.book.parts, *(part.part for part in agreed.parts), "UNKNOWN"]
    used = random.sample(codes, min(len(codes), random.choice([0, 0, 1, 2, 3])))
    return Closed(
        hours=(),
        parts=tuple(UsedPart(part=code, quantity=Decimal(random.choice([0, 1, 2, 3, 5]))) for code in used),
        not_done=tuple(random.sample(keys, min(len(keys), random.choice([0, 0, 0, 1, 1, 2])))),
        cores_returned={part.part: Decimal(2) for part in agreed.parts if part.core_charge and random.random() < 0.5},
    )


def _happened(facts: WorkToBill, closed: Closed, paid: Decimal) -> Happened:
    used: dict[str, Fraction] = {}
    for part in closed.parts:
        used[part.part] = used.get(part.part, Fraction(0)) + Fraction(part.quantity)
    return Happened(
        not_done=frozenset(closed.not_done),
        used=used,
        cores={code: Fraction(count) for code, count in closed.cores_returned.items()},
        charged=Fraction(facts.comeback.charged) if facts.comeback else None,
        paid=Fraction(paid),
        rule=facts.accepted.rule,
    )


if __name__ == "__main__":
    count, start = int(sys.argv[1]), int(sys.argv[2])
    outcome = compare(range(start, start + count))
    print("\n".join(outcome.wrong[:40]))
    print(f"{len(outcome.wrong)} differences; met: {dict(sorted(outcome.seen.items()))}")

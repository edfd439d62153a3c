"""Random ledgers in which everything happens: for the comparison of the review with its second implementation."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from random import Random

from quotekit.model.entries import Comeback, Ordered
from quotekit.model.story import Story, Told
from tests.pricing.review.stories import AJob, a_job, a_sublet, agreed_on, an_option, an_order, numbered
from tests.review.season import YEAR

OPTIONS = ("good", "better", "best")
WORK = (
    ("FIT", "0.5"),
    ("TURN", "1.2"),
    ("BUSH@left", "0.6"),
    ("BUSH@right", "0.4"),
    ("STEP", "0.8"),
    ("ONEOFF-1", "0.7"),
)
PARTS = (("SEAL", "4", "7"), ("BELT", "20", "29.5"), ("SHAFT", "160", "210"), ("CLIP", "?", "1.2"))


def a_wild_ledger(seed: int, count: int = 25) -> tuple[list[Story], list[Told[Ordered]]]:
    """Stories and orders."""
    random = Random(seed)
    jobs = [_job(random, f"J{number}") for number in range(count)]
    for number in range(random.randint(0, 4)):
        jobs.append(_comeback(random, f"C{number}", [job.number for job in jobs]))
    orders = [_order(random, number, jobs) for number in range(1, random.randint(1, 5))]
    return numbered(jobs), orders


def _job(random: Random, number: str) -> AJob:
    work = random.sample(WORK, random.randint(1, len(WORK)))
    parts = random.sample(PARTS, random.randint(0, len(PARTS)))
    issued = YEAR.first + timedelta(days=random.randint(-40, 360))
    accepted = issued + timedelta(days=random.randint(0, 35))
    shown = OPTIONS[: random.randint(1, 3)]
    rusty = random.random() < 0.3
    yes = random.random() < 0.8
    closed = yes and random.random() < 0.8
    return a_job(
        number,
        work="; ".join(_work_line(random, *one) for one in work),
        hours="; ".join(_hours_line(random, *one) for one in work if random.random() < 0.9) if closed else None,
        parts="; ".join(f"{code} {random.randint(1, 4)} at {cost} for {price}" for code, cost, price in parts),
        used=_used(random, [code for code, _, _ in parts]),
        not_done=f"DO-{work[0][0].partition('@')[0]}" if random.random() < 0.2 else "",
        split=random.random() < 0.2,
        tier=random.choice(shown),
        invoiced=random.choice((None, "as agreed", "as agreed", f"{random.randint(1, 900)}.50")),
        condition="RUSTY" if rusty else "",
        allowance="0.2" if rusty else "0",
        minimum_amount=Decimal(random.choice((0, 0, 0, 25))),
        cost_per_hour=random.choice((Decimal(40), Decimal(40), Decimal("37.75"), None)),
        sublet=(a_sublet("FIT", random.choice(("15", None))),) if random.random() < 0.1 else (),
        cost_freight=Decimal(random.choice((0, 9))),
        issued_on=issued,
        accepted_on=accepted if yes else None,
        closed_on=accepted + timedelta(days=random.randint(0, 20)),
        declined=_declined(random, accepted, yes),
        offered=tuple(_option(random, code, place) for place, code in enumerate(shown)),
        valid_days=random.choice((5, 30, 90)),
        later=(agreed_on("FIT 0.9; TURN 1.0", "SEAL 2 at 4 for 7", tier=shown[0]),)
        if yes and random.random() < 0.1
        else (),
    )


def _option(random: Random, code: str, place: int) -> object:
    return an_option(code, str(100 + 80 * place), random.choice((None, "20", "50")))


def _work_line(random: Random, key: str, hours: str) -> str:
    kind = " access" if key == "STEP" else " one-off" if key.startswith("ONEOFF") else ""
    rusty = " rusty" if random.random() < 0.5 else ""
    return f"{key} {hours}{kind}{rusty} for DO-{key.partition('@')[0]}"


def _hours_line(random: Random, key: str, hours: str) -> str:
    true = Decimal(hours) * random.randint(6, 19) / 10
    return f"{key} {true.quantize(Decimal('0.01'))} by {random.choice(('Sam', 'Ann'))}"


def _used(random: Random, codes: list[str]) -> str:
    used = [f"{code} {random.randint(0, 4)}" + (" at 5.25" if random.random() < 0.3 else "") for code in codes]
    if random.random() < 0.2:
        used.append(random.choice(("GREASE 1 at 3", "PIN 2")))
    return "; ".join(line for line in used if random.random() < 0.6)


def _declined(random: Random, day: object, yes: bool) -> tuple[object, ...]:
    if random.random() < (0.1 if yes else 0.5):
        reason = random.choice(("price", "time", "other"))
        return ((day + timedelta(days=3), reason, random.choice((None, 1, 2)) if yes else None),)  # type: ignore[operator]
    return ()


def _comeback(random: Random, number: str, others: list[str]) -> AJob:
    charged = random.choice(("0", "0.5"))
    back = Comeback(first_job=random.choice(others), cause="part", charged=Decimal(charged))
    job = a_job(number, work="FIT 0.5", hours=f"FIT 0.{random.randint(3, 9)}", comeback=back)
    return replace(job, invoiced=random.choice((None, Decimal(10))))


def _order(random: Random, number: int, jobs: list[AJob]) -> Told[Ordered]:
    some = [job.number for job in random.sample(jobs, min(3, len(jobs)))]
    shared = " + ".join(f"{job} {random.randint(1, 3)}" for job in some)
    lines = f"SEAL {random.randint(3, 6)} for {shared}; BELT 21.5 for {some[0]} 1"
    return an_order(lines, number=number, freight=str(random.randint(0, 12)), fee=random.choice(("0", "5")))

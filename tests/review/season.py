"""A synthetic season with planted operations and steps whose standard times are wrong; everything else is about right.

What makes real seasons hard is in it: technicians of different pace, days on which all goes slowly, clocks read to
three minutes, hours split over the job, rusty machines, minimum charges, comebacks, rare operations, shared
steps. `planted` tells what a review should find; the true time of every other operation is within 4 % of its standard.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from math import log, sqrt
from random import Random

from quotekit.model.entries import Comeback
from quotekit.model.review import Span
from quotekit.model.story import Story
from tests.pricing.review.stories import AJob, a_job, an_option, numbered

YEAR = Span(first=date(2026, 1, 1), last=date(2026, 12, 31))
OPERATIONS, STEPS = 24, 8
RARE = 8
"""Operations and steps that are seldom done; nothing is planted there."""
UNDER, OVER = (1.35, 1.45, 1.6), (0.55, 0.65, 0.7)
RIGHT_WITHIN = 0.04
RUST, RUST_IN_BOOK = 1.45, Decimal("0.25")
_SPREAD = 0.25
_PACE = {"Sam": 0.93, "Ann": 1.0, "Lee": 1.07}
_SLOW_DAY = 0.08


@dataclass(frozen=True)
class Season:
    """A year of jobs and what was planted: the true ratio by kind and code."""

    stories: list[Story]
    planted: dict[tuple[str, str], float]


@dataclass(frozen=True)
class _Work:
    kind: str
    code: str
    hours: Decimal
    truth: float
    rusty: bool
    often: float


def a_season(seed: int, jobs: int = 320, *, under: int = 3, over: int = 2) -> Season:
    """A year; the same seed gives the same one."""
    random = Random(seed)
    works, planted = _works(random, under, over)
    made = [_job(random, number, works) for number in range(1, jobs + 1)]
    made += _comebacks(random, made)
    return Season(stories=numbered(made), planted=planted)


def _works(random: Random, under: int, over: int) -> tuple[list[_Work], dict[tuple[str, str], float]]:
    names = [("operation", f"OP{n:02}") for n in range(OPERATIONS)] + [("access", f"STEP{n}") for n in range(STEPS)]
    rare = set(random.sample(names, RARE))
    wrong = random.sample([name for name in names if name not in rare], under + over)
    planted = {name: random.choice(UNDER if place < under else OVER) for place, name in enumerate(wrong)}
    works = []
    for kind, code in names:
        works.append(
            _Work(
                kind=kind,
                code=code,
                hours=Decimal(random.randint(4, 40)) / 20,
                truth=planted.get((kind, code), random.uniform(1 - RIGHT_WITHIN, 1 + RIGHT_WITHIN)),
                rusty=kind == "operation" and random.random() < 0.5,
                often=0.15 if (kind, code) in rare else 1.0,
            )
        )
    return works, planted


def _job(random: Random, number: int, works: list[_Work]) -> AJob:
    operations = [work for work in works if work.kind == "operation"]
    steps = [work for work in works if work.kind == "access"]
    chosen = _drawn(random, operations, random.randint(1, 4)) + _drawn(random, steps, random.randint(1, 2))
    rusty = random.random() < 0.15
    person, day = random.choice(list(_PACE)), random.lognormvariate(0, _SLOW_DAY)
    on = YEAR.first + timedelta(days=random.randint(0, 320))
    split = random.random() < 0.2
    hours = {work: work.hours if split else _clocked(random, work, rusty, _PACE[person] * day) for work in chosen}
    allowance = sum((work.hours for work in chosen if rusty and work.rusty), Decimal(0)) * RUST_IN_BOOK
    minimum = random.random() < 0.08
    tier = random.choice(("good", "better", "best"))
    shown = ("good", "better", "best")[: random.randint(1, 3)]
    return a_job(
        f"J{number}",
        work="; ".join(_text(work) for work in chosen),
        hours="; ".join(f"{work.code} {hours[work]} by {person}" for work in chosen),
        parts=f"SEAL {random.randint(1, 3)} at 4 for 7; BELT 1 at {random.randint(12, 30)} for 40",
        used=random.choice(("", "SEAL 3", "BELT 1 at 22.50")),
        split=split,
        tier=tier if tier in shown else shown[-1],
        condition="RUSTY" if rusty else "",
        allowance=str(allowance),
        minimum_amount=Decimal(20) if minimum else Decimal(0),
        minimum_hours=Decimal("0.2") if minimum else Decimal(0),
        issued_on=on,
        accepted_on=on + timedelta(days=random.randint(0, 12)),
        closed_on=on + timedelta(days=random.randint(13, 40)),
        offered=tuple(an_option(code, str(200 + 90 * place), "70") for place, code in enumerate(shown)),
    )


def _drawn(random: Random, works: list[_Work], count: int) -> list[_Work]:
    left, chosen = list(works), []
    for _ in range(count):
        one = random.choices(left, [work.often for work in left])[0]
        left.remove(one)
        chosen.append(one)
    return chosen


def _clocked(random: Random, work: _Work, rusty: bool, pace: float) -> Decimal:
    """True hours with their spread, read from a clock to three minutes."""
    shape = sqrt(log(1 + _SPREAD**2))
    true = float(work.hours) * work.truth * (RUST if rusty and work.rusty else 1.0)
    hours = true * pace * random.lognormvariate(-shape * shape / 2, shape)
    return max(Decimal(round(hours * 20)) / 20, Decimal("0.05"))


def _comebacks(random: Random, jobs: list[AJob]) -> list[AJob]:
    made = []
    for number, first in enumerate(random.sample(jobs, max(len(jobs) // 25, 1)), start=1):
        on = min(first.closed_on + timedelta(days=20), YEAR.last)
        back = Comeback(first_job=first.number, cause="workmanship", charged=Decimal(0))
        made.append(
            a_job(
                f"C{number}",
                work="OP00 1.0; STEP0 0.5 access",
                hours="OP00 3.5; STEP0 1.5",
                invoiced="0",
                comeback=back,
                issued_on=on,
                accepted_on=on,
                closed_on=on,
            )
        )
    return made


def _text(work: _Work) -> str:
    more = " access" if work.kind == "access" else ""
    return f"{work.code} {work.hours}{more}{' rusty' if work.rusty else ''}"

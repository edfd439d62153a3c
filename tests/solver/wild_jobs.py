"""Large jobs in which nothing belongs together: any remedy names any work near by, and work includes other work.

`a_big_case` draws blocks that make sense; here an operation is shared by remedies of several findings, inclusions and
requirements run across them, and the access steps form one random tree. Wilder ones chain more findings.
"""

from __future__ import annotations

from decimal import Decimal
from random import Random
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.solver.big_jobs import a_big_case

KINDS = ("repair", "replace", "replace", "upgrade")
LIVES = (1, 3, 4, 8)


def a_large_case(count: int, style: str, seed: int) -> tuple[ShopBook, Job]:
    """A job of a style of `big_jobs`, or wild, or wilder."""
    if style in ("wild", "wilder"):
        return a_wild_case(count, seed, chained=20 if style == "wilder" else 6)
    return a_big_case(count, style, seed)


def a_wild_case(count: int, seed: int, chained: int) -> tuple[ShopBook, Job]:
    """So many findings with four remedies each; `chained` of a hundred remedies fix a second finding too."""
    random = Random(f"{count} wild {seed} {chained}")
    codes = [f"FIND-{number:03}" for number in range(count)]
    severities = {code: random.choice(["safety", "needed", "needed", "advised"]) for code in codes}
    aims = ("lowest price", "least to own", "longest life")
    covers = [("safety", "needed"), ("safety", "needed", "advised"), ("safety", "needed", "advised")]
    book = build.a_book(
        settings=build.settings(
            minimum_labour_hours="1",
            supplies_percent_of_labour=Decimal("0.05"),
            supplies_cap=Decimal(40),
            interest_a_year="0.04",
            years_to_compare="6",
        ),
        labour_rates=[build.a_rate("MAIN", "80", 35), build.a_rate("WELD", "95", 40)],
        conditions=[build.a_condition(allowance="0.25", at_most_hours=Decimal(3))],
        machines=[build.a_machine()],
        access=_access(random, max(4, count // 4)),
        operations=_operations(random, 3 * count, inclusions=15 if chained > 10 else 5),
        parts=_parts(random, 3 * count),
        suppliers=[build.a_supplier("NORTH"), build.a_supplier("SOUTH")],
        markup=[build.a_band(0, 10, "1"), build.a_band(10, 50, "0.7"), build.a_band(50, None, "0.4")],
        findings=[build.a_finding(code, severities[code]) for code in codes],
        remedies=_remedies(random, codes, chained),
        tiers=[build.a_tier(f"tier-{i}", covers[i], aims[i]) for i in range(3)],
    )
    found = [build.a_finding_on(code, severity=severities[code]) for code in codes]
    return book, build.a_job(*found, condition="RUSTY")


def _access(random: Random, count: int) -> list[Any]:
    return [
        build.a_step(
            f"STEP-{i:03}",
            _tenths(random, 1, 8),
            _tenths(random, 1, 6),
            needs=[f"STEP-{random.randrange(i):03}"] if i and random.random() < 0.6 else [],
        )
        for i in range(count)
    ]


def _operations(random: Random, count: int, inclusions: int) -> list[Any]:
    found = []
    for i in range(count):
        earlier = [f"WORK-{random.randrange(max(0, i - 12), i):03}" for _ in range(2)] if i > 5 else ["", ""]
        includes = [earlier[0]] if earlier[0] and random.randrange(100) < inclusions else []
        requires = [earlier[1]] if earlier[1] and random.randrange(100) < 8 and earlier[1] not in includes else []
        found.append(
            build.an_operation(
                f"WORK-{i:03}",
                _tenths(random, 2, 25),
                parts=f"PART-{random.randrange(count):03}" if random.random() < 0.5 else "",
                access=sorted(
                    {f"STEP-{random.randrange(max(4, count // 12)):03}" for _ in range(random.choice([0, 1, 2]))}
                ),
                includes=includes,
                requires=requires,
                slowed_by_rust=random.random() < 0.5,
                labour="WELD" if random.random() < 0.25 else None,
            )
        )
    return found


def _parts(random: Random, count: int) -> list[Any]:
    return [
        build.a_part(
            f"PART-{i:03}",
            Decimal(random.randint(100, 20_000)).scaleb(-2),
            random.choice([1, 1, 1, 2, 5, 10]),
            supplier=random.choice(["NORTH", "SOUTH"]),
        )
        for i in range(count)
    ]


def _remedies(random: Random, codes: list[str], chained: int) -> list[Any]:
    found, count = [], 3 * len(codes)
    for number, code in enumerate(codes):
        for place, kind in enumerate(KINDS):
            other = min(len(codes) - 1, number + random.choice([1, 2]))
            fixes = sorted({code, codes[other]}) if random.randrange(100) < chained else [code]
            near = [
                min(count - 1, max(0, 3 * number + random.randrange(-2, 4))) for _ in range(random.choice([1, 1, 2]))
            ]
            found.append(
                build.a_remedy(
                    f"REM-{number:03}-{place}",
                    fixes,
                    sorted({f"WORK-{one:03}" for one in near}),
                    kind=kind,
                    parts=f"PART-{random.randrange(count):03} x {random.randrange(1, 4)}",
                    life_years=str(LIVES[place] + random.randrange(2)),
                )
            )
    return found


def _tenths(random: Random, low: int, high: int) -> Decimal:
    return Decimal(random.randint(low, high)).scaleb(-1)

"""Large jobs chosen in several ways that must agree: groups listed or stated by rules, and other seeds of the solver.

    python -m tests.solver.many_ways JOBS SEED [--findings 30-100] [--styles wild,wilder] [--minutes 10]

These jobs are too large for a second formulation to prove. But the same choice stated in another way is another
program, and another seed of the solver another search: where two say "proven" and differ, one of them is wrong.
Prints each difference as it is found, and at the end what was compared. Not a test: it takes minutes.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import localcontext
from random import Random

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing import choose
from quotekit.pricing.exact import solver
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import WorkedTier, work_out
from tests.solver.big_jobs import STYLES
from tests.solver.wild_jobs import a_large_case

WAYS = ((choose.MOST_LISTED, 1), (8, 2), (1_000, 3))
"""Choices of a group that are listed at most, and the solver's seed."""

Chosen = dict[str, tuple[str, bool, tuple[str, ...]]]


@contextmanager
def a_way(listed: int, seed: int) -> Iterator[None]:
    """The engine with another limit of what is listed, and another seed."""
    before = choose.MOST_LISTED, solver.OPTIONS
    choose.MOST_LISTED, solver.OPTIONS = listed, {**solver.OPTIONS, "random_seed": seed}
    try:
        yield
    finally:
        choose.MOST_LISTED, solver.OPTIONS = before


def chosen(book: ShopBook, job: Job) -> Chosen:
    """By tier: what its bound is, whether it is proven with its ties, and its remedies. No tier hangs on another."""
    found: Chosen = {}
    with localcontext(EXACT):
        setup = set_up(book, job)
        for tier in book.tiers:
            worked = work_out(setup, tier, None)
            if isinstance(worked, WorkedTier):
                proof = worked.proof
                is_proven = not proof.gap and proof.settled
                found[tier.code] = (str(proof.bound), is_proven, tuple(sorted(one.key for one in worked.remedies)))
    return found


def differences(book: ShopBook, job: Job, seen: Counter[str]) -> list[str]:
    """Tiers that two ways call proven and choose otherwise, and bounds above a choice that another way found."""
    ways = []
    for listed, seed in WAYS:
        with a_way(listed, seed):
            ways.append(chosen(book, job))
    found = []
    for tier in ways[0]:
        seen["tiers"] += 1
        proven = {one[tier] for one in ways if one[tier][1]}
        seen["proven in every way"] += all(one[tier][1] for one in ways)
        if len(proven) > 1:
            found.append(f"{tier}: {sorted(proven)}")
    return found


def main() -> int:
    """Draw, choose in every way, report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("jobs", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--findings", default="30-100", help="how many findings a job has, from-to")
    parser.add_argument("--styles", default=",".join(["wild", "wilder", *STYLES]))
    parser.add_argument("--minutes", type=float, default=1e9, help="stop drawing jobs after this long")
    options = parser.parse_args()
    low, high = (int(end) for end in options.findings.split("-"))
    styles = options.styles.split(",")
    seen: Counter[str] = Counter()
    start = time.perf_counter()
    for number in range(options.seed, options.seed + options.jobs):
        if time.perf_counter() - start > 60 * options.minutes:
            break
        style, count = styles[number % len(styles)], Random(number).randint(low, high)
        seen["jobs"] += 1
        for line in differences(*a_large_case(count, style, number), seen):
            seen["differences"] += 1
            print(f"{count} {style} {number}: {line}", flush=True)
    print("; ".join(f"{name} {seen[name]}" for name in sorted(seen)), f"; {time.perf_counter() - start:.0f} s")
    return 1 if seen["differences"] else 0


if __name__ == "__main__":
    sys.exit(main())

"""Hundreds of large random jobs against the second solver, with a report.

    python -m tests.solver.many JOBS SEED [--findings 4-14] [--seconds 20] [--styles nested,chained] [--model listed]
                                   [--minutes 10]

prints each difference as it is found, and at the end the jobs, tiers, differences and how many were not proven.
With --model small jobs go to the engine's integer model too; after so many minutes it stops and reports.
Not a test: it takes minutes.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from random import Random

from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests.solver.big_jobs import STYLES
from tests.solver.compare import compare_tiers
from tests.solver.doors import the_engine_with
from tests.solver.wild_jobs import a_large_case


def arguments() -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("jobs", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--findings", default="4-14", help="how many findings a job has, from-to")
    parser.add_argument("--seconds", type=float, default=20, help="of CP-SAT for each stage of a tier")
    parser.add_argument("--styles", default=",".join(["wild", "wilder", *STYLES]))
    parser.add_argument("--model", choices=["", "listed", "tangled"], default="", help="force this way of the engine")
    parser.add_argument("--minutes", type=float, default=1e9, help="stop drawing jobs after this long")
    return parser.parse_args()


def compared(book: ShopBook, job: Job, quote: Quote, seconds: float, seen: Counter[str]) -> list[str]:
    """Differences of one job; counts are added."""
    found = []
    if not quote.tiers:
        seen["not chosen in time"] += 1
    for tier in quote.tiers:
        seen[f"by {tier.proof.method}" if tier.proof else "without proof"] += 1
    for one in compare_tiers(book, job, quote, seconds):
        seen["tiers"] += 1
        seen["not proven by CP-SAT"] += not one.proven
        seen["ties not proven by CP-SAT"] += one.proven and not one.ties_proven
        seen["differences"] += len(one.differences)
        found += one.differences
    return found


def main() -> int:
    """Draw, choose twice, report."""
    options = arguments()
    low, high = (int(end) for end in options.findings.split("-"))
    seen: Counter[str] = Counter()
    start = time.perf_counter()
    for number in range(options.seed, options.seed + options.jobs):
        if time.perf_counter() - start > 60 * options.minutes:
            break
        style = options.styles.split(",")[number % len(options.styles.split(","))]
        count = Random(number).randint(low, high)
        book, job = a_large_case(count, style, number)
        with the_engine_with(options.model):
            quote = build_quote(book, job)
        seen["jobs"] += 1
        for line in compared(book, job, quote, options.seconds, seen):
            print(f"{count} {style} {number}: {line}", flush=True)
    print("; ".join(f"{name} {seen[name]}" for name in sorted(seen)), f"; {time.perf_counter() - start:.0f} s")
    return 1 if seen["differences"] else 0


if __name__ == "__main__":
    sys.exit(main())

"""Thousands of random jobs, shops' rates and lives: years, repair or replace, why, rates and lives beside the engine.

    python -m tests.oracle.many_years JOBS SEED [--without-why] [--minutes 10]

prints every difference and counts what was compared. Not a test: it takes minutes.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from collections.abc import Sequence
from random import Random

from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from tests.oracle.compare_lives import life_differences
from tests.oracle.compare_rates import rate_differences
from tests.oracle.compare_why import why_differences
from tests.oracle.compare_years import (
    beside,
    choice_differences,
    order_differences,
    proof_differences,
    with_random_values,
    worth_differences,
    years_differences,
)
from tests.oracle.tiers import PlanError
from tests.random_jobs import a_random_case


def job_differences(seed: int, seen: Counter[str], why: bool = True) -> list[str]:
    """Where engine and oracle differ on one job."""
    case = with_random_values(a_random_case(seed), seed)
    quote = build_quote(*case)
    if has_errors(quote.problems):
        seen["jobs refused"] += 1
        return []
    try:
        one = beside(case, quote, Random(seed), seen)
    except PlanError as refused:
        return [f"should be refused: {refused}"]
    seen["jobs"] += 1
    found = proof_differences(one) + years_differences(one) + order_differences(one)
    found += choice_differences(one) + worth_differences(one)
    return found + (why_differences(one) if why else [])


def arguments(words: Sequence[str]) -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("jobs", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--without-why", action="store_true")
    parser.add_argument("--minutes", type=float, default=1e9, help="stop drawing after this long")
    return parser.parse_args(words)


def main(words: Sequence[str]) -> int:
    """Draw, work out twice, report."""
    options = arguments(words)
    seen: Counter[str] = Counter()
    start, differ = time.perf_counter(), 0
    for seed in range(options.seed, options.seed + options.jobs):
        if time.perf_counter() - start > 60 * options.minutes:
            break
        lines = job_differences(seed, seen, not options.without_why)
        lines += rate_differences(seed, seen) + life_differences(seed, seen)
        differ += bool(lines)
        for line in lines:
            print(f"seed {seed} {line}", flush=True)
    print("; ".join(f"{name} {seen[name]}" for name in sorted(seen)))
    print(f"seeds with differences {differ}; {time.perf_counter() - start:.0f} s")
    return 1 if differ else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Thousands of small random jobs against every subset of their remedies.

    python -m tests.oracle.many JOBS SEED [--model listed|tangled] [--minutes 10]

compares the chosen items, figures and offers of each tier, prints every difference and the smallest case, and counts.
With --model the engine's integer model chooses where it would compare all choices one by one.
Not a test: it takes minutes.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter

from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from tests.oracle.compare import comparable, differences, quote_figures
from tests.oracle.quote import answer
from tests.oracle.tiers import PlanError
from tests.random_jobs import Case, a_random_case
from tests.solver.doors import the_engine_with


def job_differences(case: Case, way: str, seen: Counter[str]) -> list[str]:
    """Where engine and oracle differ on one job; counts are added."""
    book, job = case
    with the_engine_with(way):
        quote = build_quote(book, job)
    try:
        whole = answer(book, job)
    except PlanError as refused:
        return [] if has_errors(quote.problems) and not quote.tiers else [f"should be refused: {refused}"]
    if has_errors(quote.problems):
        return [f"refused: {problem.message}" for problem in quote.problems if problem.severity == "error"]
    expected, actual = comparable(whole), quote_figures(quote)
    found = []
    for one, other, tier, counted in zip(expected["tiers"], actual["tiers"], quote.tiers, whole["tiers"], strict=True):
        seen["tiers"] += 1
        seen[f"by {tier.proof.method}" if tier.proof else "without proof"] += 1
        if "items" not in one:
            for name in set(other) - set(one):
                del other[name]
        elif way != "tangled" and tier.compared != counted["compared"]:
            found.append(f"/{tier.code}/compared: oracle {counted['compared']}, engine {tier.compared}")
    return found + differences(expected, actual)


def arguments() -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("jobs", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--model", choices=["", "listed", "tangled"], default="")
    parser.add_argument("--minutes", type=float, default=1e9, help="stop drawing jobs after this long")
    return parser.parse_args()


def main() -> int:
    """Draw, choose twice, report."""
    options = arguments()
    seen: Counter[str] = Counter()
    smallest: tuple[int, int] | None = None
    start = time.perf_counter()
    for seed in range(options.seed, options.seed + options.jobs):
        if time.perf_counter() - start > 60 * options.minutes:
            break
        book, job = case = a_random_case(seed)
        lines = job_differences(case, options.model, seen)
        seen["jobs"] += 1
        seen["jobs with differences"] += bool(lines)
        for line in lines:
            print(f"seed {seed} {line}", flush=True)
        if lines:
            size = len(book.remedies) * len(job.findings)
            smallest = min(smallest or (size, seed), (size, seed))
    if smallest is not None:
        print(f"the smallest case is seed {smallest[1]}")
    print("; ".join(f"{name} {seen[name]}" for name in sorted(seen)), f"; {time.perf_counter() - start:.0f} s")
    return 1 if seen["jobs with differences"] else 0


if __name__ == "__main__":
    sys.exit(main())

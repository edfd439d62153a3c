"""Types every break-even of random jobs into the shop book and lets the engine choose again.

`python -m tests.pricing.many_break_evens [CASES] [SEED]` prints how many were stated of each kind, and those at which
the choice does not turn, or at which it has turned one step nearer already. The tier before stays as it is.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from quotekit.model.why import BreakEven
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from tests.pricing.feed_back import Case, at_pack_cost, changed, one_nearer, taken_in, turning_points
from tests.random_jobs import a_random_case


def stated(found: BreakEven) -> Iterator[tuple[str, Decimal, Decimal]]:
    """What a break-even states: the kind, the value, and the value one step nearer to the present one."""
    if found.wins_at is not None:
        yield found.figure.partition(" ")[0], found.wins_at, one_nearer(found)
    if found.pack_cost is not None and found.pack_cost_now is not None:
        step = found.step if found.pack_cost < found.pack_cost_now else -found.step
        yield "pack cost", found.pack_cost, found.pack_cost + step


def typed(case: Case, found: BreakEven, kind: str, value: Decimal) -> Case:
    """The shop book and job with the value in its cell."""
    return (at_pack_cost if kind == "pack cost" else changed)(*case, found, value)


def wrong_in(case: Case, counted: Counter[str]) -> Iterator[str]:
    """The break-evens of a job that are not where the choice turns."""
    for tier in build_quote(*case).tiers:
        for entry, found in turning_points(tier):
            for kind, value, nearer in stated(found):
                counted[kind] += 1
                there = entry.remedy.key in taken_in(case, typed(case, found, kind, value), tier.code)
                before = entry.remedy.key in taken_in(case, typed(case, found, kind, nearer), tier.code)
                if there or not before:
                    yield f"{tier.code}: {entry.remedy.key}: {kind} of {found.of.key} at {value}"


def main(cases: int, seed: int) -> int:
    """Count and print; the number of wrong ones."""
    counted: Counter[str] = Counter()
    wrong = 0
    for number in range(seed, seed + cases):
        case = a_random_case(number)
        if has_errors(build_quote(*case).problems):
            continue
        counted["jobs"] += 1
        for line in wrong_in(case, counted):
            wrong += 1
            print(f"a_random_case({number}): {line}", flush=True)
    print(f"{dict(counted)}, wrong: {wrong}")
    return wrong


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    sys.exit(bool(main(*(numbers + [300, 0][len(numbers) :]))))

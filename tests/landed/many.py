"""Thousands of random orders against every order tried, and larger ones against CP-SAT.

    python -m tests.landed.many ORDERS SEED [--parts 10-40] [--suppliers 3-7] [--seconds 20] [--minutes 10]

Without --parts the orders are small and every order is tried; with it each is chosen by CP-SAT too. Prints each
difference as it is found, and at the end how many were compared, how many differ and the longest choice.
Not a test: it takes minutes.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from math import prod
from random import Random

from quotekit.model.landed import OrderTask
from tests.landed.compared import UNPROVEN, UNSETTLED, chosen, compare, compare_with_cp_sat
from tests.landed.every_order import first_of_all, most_of, ordered_places
from tests.landed.random_orders import a_random_order

MOST_TRIED = 20_000
"""Orders of one case; a larger case is passed over."""


def arguments() -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("orders", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--parts", default="", help="how many parts an order has, from-to; then CP-SAT is asked")
    parser.add_argument("--suppliers", default="1-3")
    parser.add_argument("--seconds", type=int, default=20, help="of each solver for each stage")
    parser.add_argument("--minutes", type=float, default=1e9, help="stop drawing orders after this long")
    return parser.parse_args()


def drawn(options: argparse.Namespace, seed: int) -> OrderTask:
    """The order of a seed."""
    draw = Random(seed)
    parts, suppliers = (
        draw.randint(*map(int, words.split("-"))) for words in (options.parts or "1-3", options.suppliers)
    )
    return a_random_order(draw, parts, suppliers)


def tried(task: OrderTask) -> int:
    """How many orders there are to try."""
    return prod(most_of(task, place) + 1 for place in ordered_places(task))


def differences(options: argparse.Namespace, task: OrderTask, seen: Counter[str]) -> list[str]:
    """What differs on one order; counts are added."""
    if options.parts:
        seen["by CP-SAT"] += 1
        found = compare_with_cp_sat(task, options.seconds)
        for end in (UNPROVEN, UNSETTLED):
            seen[end] += any(line.endswith(end) for line in found)
        return [line for line in found if not line.endswith((UNPROVEN, UNSETTLED))]
    if tried(task) > MOST_TRIED:
        seen["too many to try"] += 1
        return []
    choice = chosen(task)
    seen["one way" if "one supplier" in choice.compared else "proved"] += 1
    return compare(task, choice, first_of_all(task))


def main() -> int:
    """Draw, choose twice, report."""
    options, seen, longest = arguments(), Counter[str](), 0.0
    started = time.monotonic()
    for seed in range(options.seed, options.seed + options.orders):
        task, before = drawn(options, seed), time.monotonic()
        chosen(task, options.seconds)
        longest = max(longest, time.monotonic() - before)
        for difference in differences(options, task, seen):
            seen["differences"] += 1
            print(f"seed {seed}: {difference}", flush=True)
        if time.monotonic() - started > options.minutes * 60:
            break
    print(f"{dict(seen)}; {seen['differences']} differences; longest choice {longest:.1f} s")
    return 1 if seen["differences"] else 0


if __name__ == "__main__":
    sys.exit(main())

"""Many random life stories of jobs through the real command line, against the second implementation.

    python -m tests.after.many STORIES SEED [--steps 25] [--minutes 10] [--shorten]

prints each difference with the commands that led to it, and counts commands by verb and exit code.
Not a test: it takes minutes.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter

from tests.after.story import draw_steps, lived, shorter


def main() -> int:
    """Live, compare, report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("stories", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--steps", type=int, default=25)
    parser.add_argument("--minutes", type=float, default=1e9)
    parser.add_argument("--shorten", action="store_true", help="leave steps out while the story still fails")
    options = parser.parse_args()
    start, stories, failed = time.perf_counter(), 0, 0
    codes: Counter[tuple[str, int]] = Counter()
    for seed in range(options.seed, options.seed + options.stories):
        if time.perf_counter() - start > 60 * options.minutes:
            break
        steps = draw_steps(seed, options.steps)
        told = lived(seed, steps)
        stories, codes = stories + 1, codes + told.codes
        if told.wrong:
            failed += 1
            if options.shorten:
                _, told = shorter(seed, steps)
            print(f"== seed {seed}", *told.commands, *(f"** {words}" for words in told.wrong), sep="\n", flush=True)
    for (verb, code), times in sorted(codes.items()):
        print(f"{verb} -> {code}: {times}")
    print(f"{stories} stories, {failed} with differences, {time.perf_counter() - start:.0f} s")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())

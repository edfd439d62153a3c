"""Many jobs' money over their lives, on random shops, beside the onlooker.

    python -m tests.after_money.many JOBS SEED [--steps 14] [--ledger URL] [--minutes 10]

prints each difference with the commands before it, and counts what was met. Without --ledger each job has a file ledger
of its own; with a URL all jobs share that ledger. Not a test: it takes minutes.
"""

from __future__ import annotations

import argparse
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from tests.after_money.life import Differs, Money


def lived(seed: int, steps: int, ledger: str, number: str) -> tuple[Money, str]:
    """One life in a folder of its own, and what differed; empty for nothing."""
    with tempfile.TemporaryDirectory() as folder:
        life = Money(seed, Path(folder), ledger or str(Path(folder) / "shop ledger.db"), number)
        wrong = ""
        try:
            if life.shop is not None:
                life.live(steps)
        except Differs as differs:
            wrong = str(differs)
        except Exception:
            wrong = traceback.format_exc()
        return life, wrong


def main() -> int:
    """Live, compare, report."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("jobs", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--steps", type=int, default=14)
    parser.add_argument("--ledger", default="")
    parser.add_argument("--minutes", type=float, default=1e9)
    options = parser.parse_args()
    start, seen, wrong, lives = time.perf_counter(), Counter[str](), 0, 0
    for seed in range(options.seed, options.seed + options.jobs):
        if time.perf_counter() - start > 60 * options.minutes:
            break
        life, differs = lived(seed, options.steps, options.ledger, f"R-{seed}")
        lives += bool(life.versions)
        seen += life.seen
        if differs:
            wrong += 1
            print(f"== seed {seed}", *life.told, f"** {differs}", sep="\n", flush=True)
    for what, times in sorted(seen.items()):
        print(f"{what}: {times}")
    print(f"{lives} lives, {wrong} with differences, {time.perf_counter() - start:.0f} s")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())

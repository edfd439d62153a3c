"""Measures of a whole quote of a large job, by phases. Not a test: nothing here passes or fails.

    python tests/bench/bench_large_quote.py [COUNTS] [--style nested] [--seed 1]

10, 30, 100 and 400 findings with four remedies each unless told; seconds of this process, not of the clock.
"""

from __future__ import annotations

import argparse
import importlib
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any
from unittest import mock

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

STEPS = ("set_up", "work_out_tiers", "beside_tier", "price_tier", "with_why", "with_sensitivity", "with_live_pricing")
CHOOSING = "work_out_tiers"


class Clock:
    """Seconds of this process by phase."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}

    def timed(self, name: str, job: Callable[..., Any]) -> Callable[..., Any]:
        """The same call with its time added up."""

        def run(*arguments: Any, **named: Any) -> Any:
            start = time.process_time()
            try:
                return job(*arguments, **named)
            finally:
                self.seconds[name] = self.seconds.get(name, 0.0) + time.process_time() - start

        return run


def measure(count: int, style: str, seed: int, folder: Path) -> dict[str, float]:
    """Every phase of one job, once."""
    from quotekit.documents.costing_explained import shown
    from quotekit.documents.quote_json import lay_out_quote_json
    from quotekit.pricing.explain import explain_quote
    from quotekit.workbook.write_page import write_page
    from quotekit.workbook.write_sheet import write_costing, write_customer_quote
    from tests.solver.big_jobs import a_big_case

    book, job = a_big_case(count, style, seed)
    clock, engine = Clock(), importlib.import_module("quotekit.pricing.build_quote")
    wrapped = {name: clock.timed(name, getattr(engine, name)) for name in STEPS}
    with mock.patch.multiple(engine, **wrapped):
        quote = clock.timed("the engine", engine.build_quote)(book, job)
    problems = list(quote.problems)
    clock.timed("json", lay_out_quote_json)(quote, problems)
    clock.timed("customer's quote", write_customer_quote)(quote, folder / "quote.xlsx", photos={})
    trees = clock.timed("explained", partial(explain_quote, quote, shown))()
    clock.timed("costing", write_costing)(quote, folder / "costing.xlsx", problems, trees=trees, addresses={})
    clock.timed("page", write_page)(quote, folder / "page.html", photos={})
    found = clock.seconds
    found["engine besides choosing"] = found["the engine"] - found[CHOOSING]
    return found


def main() -> None:
    """A column for each count, a row for each phase."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("counts", type=int, nargs="*", default=[10, 30, 100, 400])
    parser.add_argument("--style", default="nested")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found = [measure(count, options.style, options.seed, Path(folder)) for count in options.counts]
    print(f"{'findings':26}" + "".join(f"{count:>9}" for count in options.counts))
    for name in found[-1]:
        print(f"{name.replace('_', ' '):26}" + "".join(f"{times.get(name, 0):9.3f}" for times in found))


if __name__ == "__main__":
    main()

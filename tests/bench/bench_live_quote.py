"""Measures of the live quote: bytes, formulas and time to write at 1, 10 and 40 extras. Not a test: nothing fails.

    python tests/bench/bench_live_quote.py [--runs 9]

The customer's workbook is written from a quote that is already priced; times are medians of runs taken in turn, so that
a busy machine is busy for all of them alike. It takes about twenty seconds on two cores.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from quotekit.model.quote import Quote  # noqa: E402
from quotekit.pricing import build_quote  # noqa: E402
from quotekit.workbook.write_sheet import write_customer_quote  # noqa: E402
from tests.conformity.package_parts import formulas_of  # noqa: E402
from tests.many_extras import job_with_extras  # noqa: E402

COUNTS = (1, 10, 20, 40)


def seconds_to_write(quote: Quote, path: Path) -> float:
    """Wall-clock time of one writing."""
    started = time.perf_counter()
    write_customer_quote(quote, path)
    return time.perf_counter() - started


def seconds_to_price(count: int) -> float:
    """Wall-clock time of pricing and making the live figures."""
    book, job = job_with_extras(count)
    started = time.perf_counter()
    build_quote(book, job)
    return time.perf_counter() - started


def main() -> None:
    """Measure and print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--runs", type=int, default=9)
    runs = parser.parse_args().runs
    live = {count: build_quote(*job_with_extras(count)) for count in COUNTS}
    plain = {count: replace(quote, live=None, not_live="for comparison") for count, quote in live.items()}
    with TemporaryDirectory() as folder:
        path = Path(folder) / "quote.xlsx"
        times: dict[tuple[str, int], list[float]] = {}
        for _ in range(runs):
            for count in COUNTS:
                times.setdefault(("live", count), []).append(seconds_to_write(live[count], path))
                times.setdefault(("plain", count), []).append(seconds_to_write(plain[count], path))
                times.setdefault(("price", count), []).append(seconds_to_price(count))
        print("extras  bytes  plain bytes  formulas  write ms  plain write ms  price ms")
        for count in COUNTS:
            write_customer_quote(plain[count], path)
            before = path.stat().st_size
            write_customer_quote(live[count], path)
            data = path.read_bytes()
            write, other, price = (median(times[kind, count]) * 1000 for kind in ("live", "plain", "price"))
            print(
                f"{count:6d} {len(data):6d} {before:12d} {formulas_of(data):9d} {write:9.1f} {other:15.1f} {price:9.1f}"
                + ("" if live[count].live else f"  not live: {live[count].not_live}")
            )
    one, forty = median(times["live", 1]), median(times["live", 40])
    print(f"writing with 40 extras takes {forty / one:.2f} times as long as with 1")


if __name__ == "__main__":
    main()

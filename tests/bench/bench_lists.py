"""A million-row price list read and compared with a shop's numbers, against polars reading the same columns as text.

`python tests/bench/bench_lists.py [--rows 1000000] [--pairs 5] [--plain]` prints a table and, with --json FILE, writes
it. Both are timed in turn in one run, by the clock and by processor time (a busy machine spoils the clock), and the
memory of each is that of a process of its own. `--plain` takes quotes out of the list first.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

COLUMNS = {"number": "p_partkey", "description": "p_name", "unit": "p_container", "cost": "p_retailprice"}
ASKED = 3_000


def read_and_compare(path: Path) -> int:
    """Our reader, and a few thousand numbers looked up, a tenth of them written otherwise."""
    from quotekit.suppliers.read_list import read_list
    from tests.suppliers.lists import mapping

    prices, problems = read_list(path, mapping(columns=COLUMNS), "USD", date(2026, 3, 15))
    assert prices is not None and problems == []
    asked = [f"{'0' if row % 10 == 0 else ''}{row * 61 + 1}" for row in range(ASKED)]
    found = prices.find(asked)
    return sum(each.price is not None for each in found.values())


def read_as_text(path: Path) -> int:
    """The floor: polars alone, the same columns, nothing made of them."""
    import polars as pl

    return pl.read_csv(path, columns=list(COLUMNS.values()), infer_schema=False).height


def timed(work: Callable[[Path], int], path: Path) -> tuple[float, float]:
    clock, processor = time.perf_counter(), time.process_time()
    work(path)
    return time.perf_counter() - clock, time.process_time() - processor


def peak(work: str, path: Path) -> float:
    """Megabytes a fresh process takes at most."""
    words = [sys.executable, __file__, "--memory-of", work, str(path)]
    return float(subprocess.run(words, check=True, capture_output=True, text=True).stdout)


def measure(path: Path, pairs: int) -> dict[str, Any]:
    """Both in turn, the first pair not counted."""
    ours, floor = [], []
    for pair in range(pairs + 1):
        one, other = timed(read_and_compare, path), timed(read_as_text, path)
        if pair:
            ours.append(one)
            floor.append(other)
    ratios = [[mine[at] / theirs[at] for mine, theirs in zip(ours, floor, strict=True)] for at in (0, 1)]
    return {
        "megabytes of the list": round(path.stat().st_size / 1e6, 1),
        "seconds, ours": round(median(each[0] for each in ours), 3),
        "seconds, polars as text": round(median(each[0] for each in floor), 3),
        "ratio by the clock": round(median(ratios[0]), 2),
        "processor seconds, ours": round(median(each[1] for each in ours), 3),
        "processor seconds, polars as text": round(median(each[1] for each in floor), 3),
        "ratio by processor time": round(median(ratios[1]), 2),
        "peak megabytes, ours": round(peak("read_and_compare", path)),
        "peak megabytes, polars as text": round(peak("read_as_text", path)),
    }


def main() -> None:
    """Make the list, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=1_000_000)
    parser.add_argument("--pairs", type=int, default=5)
    parser.add_argument("--plain", action="store_true")
    parser.add_argument("--json", type=Path)
    parser.add_argument("--memory-of", nargs=2)
    options = parser.parse_args()
    if options.memory_of:
        globals()[options.memory_of[0]](Path(options.memory_of[1]))
        print(_most_memory())
        return
    from tests.suppliers.made_lists import make_parts

    with TemporaryDirectory() as folder:
        path = make_parts(Path(folder), max(1, options.rows // 200_000))
        if options.plain:
            path.write_bytes(b"\n".join(_unquoted(line) for line in path.read_bytes().split(b"\n")))
        told = measure(path, options.pairs)
    for what, value in told.items():
        print(f"{what:40} {value}")
    if options.json:
        options.json.write_text(json.dumps(told, indent=1), encoding="utf-8")


def _most_memory() -> float:
    """Megabytes this process took at most; what the process before it took does not count."""
    (line,) = [line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM")]
    return int(line.split()[1]) / 1024


def _unquoted(line: bytes) -> bytes:
    """A line without its quoted remark, so that no quote is left."""
    return line.partition(b'"')[0].rstrip(b",") + b",remark" if line and b'"' in line else line


if __name__ == "__main__":
    main()

"""A million-row price list read and compared, against polars reading the same columns as text and nothing else.

The part table of TPC-H (`tests/suppliers/made_lists`), four columns, 3,000 numbers looked up, a tenth of them written
otherwise. In this process, both in turn; memory is that of a process of its own.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.bench_lists import read_and_compare, read_as_text
from tests.bench.paired import here, in_turn
from tests.bench.table import Row, skipped, slower

SECTION = "A supplier's list read and compared"
RATIO, MEGABYTES = 1.5, 1000
SCRIPT = Path(__file__).with_name("bench_lists.py")


def measure(rounds: int, rows: int) -> list[Row]:
    """Time against polars alone, and memory."""
    from tests.suppliers.made_lists import make_parts, program

    try:
        import polars  # noqa: F401
    except ImportError:
        return [skipped(SECTION, "polars", "polars is not installed")]
    if program("tpchgen-cli") is None:
        return [skipped(SECTION, "polars", "tpchgen-cli is not installed")]
    with tempfile.TemporaryDirectory() as name:
        path = make_parts(Path(name), max(1, rows // 200_000))
        count = max(1, rows // 200_000) * 200_000
        if rows < count:
            path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[: rows + 1]))
        taken = in_turn(
            rounds,
            {"ours": here(lambda: read_and_compare(path)), "polars as text": here(lambda: read_as_text(path))},
        )
        what = f"{rows:,} rows, {path.stat().st_size / 1e6:.0f} MB"
        return [
            slower(SECTION, f"{what}, processor time", taken, "ours", "polars as text", aim=RATIO),
            slower(SECTION, f"{what}, clock", taken, "ours", "polars as text", by="clock", aim=RATIO),
            Row(
                SECTION,
                "peak memory",
                _peak("read_and_compare", path),
                _peak("read_as_text", path),
                "MB",
                "polars as text",
                aim=MEGABYTES,
            ),
        ]


def _peak(work: str, path: Path) -> float:
    words = [sys.executable, str(SCRIPT), "--memory-of", work, str(path)]
    return float(subprocess.run(words, check=True, capture_output=True, text=True).stdout)

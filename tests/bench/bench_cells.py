"""What cells with the functions cost. Not a test: a clock on a busy machine proves nothing.

    python tests/bench/bench_cells.py [--cells 5000] [--book "shop book.xlsx"]

In a real office without a window, with a profile of its own: seconds until so many cells of each function show their
figure, the engine's start included in the first; then when all is worked out again with nothing changed, and again with
every argument changed; then the time from a change in the open shop book to the last cell's new figure. How many engine
processes were started is counted. Beside it, the same questions asked of the engine over the pipe without an office,
and answered without a pipe.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from quotekit.addin.build import extension_bytes  # noqa: E402
from quotekit.cli.answers.functions import figure_of  # noqa: E402
from quotekit.cli.answers.serve import version  # noqa: E402
from quotekit.cli.answers.shop_books import ShopBooks  # noqa: E402
from quotekit.workbook.read_shop_book import read_shop_book  # noqa: E402
from tests.addin.many_arguments import an_engine  # noqa: E402
from tests.recalculation.office import SYSTEM_PYTHON  # noqa: E402

TESTS = ROOT / "tests" / "addin"
EXAMPLE = ROOT / "examples" / "worked example" / "shop book.xlsx"


def questions(book: Path, cells: int) -> dict[str, list[list[Any]]]:
    """Arguments of each function, another for each cell as far as there are so many."""
    read, _ = read_shop_book(book)
    assert read is not None
    machine = next(iter(read.machines or {"": None}))
    operations, remedies = list(read.operations), list(read.remedies)
    return {
        "SELLING_PRICE": [[1 + number / 100] for number in range(cells)],
        "TAX_ON": [[1 + number / 100, "parts", None, machine] for number in range(cells)],
        "SHARED_HOURS": [
            [f"{operations[number % len(operations)]}; {operations[number // 7 % len(operations)]}", "left", machine]
            for number in range(cells)
        ],
        "REMEDY_PRICE": [[remedies[number % len(remedies)], None, machine] for number in range(cells)],
    }


def seconds_of(work: Any) -> float:
    """How long it takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def without_office(book: Path, asked: dict[str, list[list[Any]]]) -> None:
    """Over the pipe, and without one."""
    engine, books = an_engine(), ShopBooks()
    for name, arguments in asked.items():
        words = [{"do": "function", "name": name, "arguments": one, "document": str(book)} for one in arguments]
        over = seconds_of(lambda words=words: [engine.ask_quickly(one, 60) for one in words])
        direct = seconds_of(lambda words=words: [figure_of(one, books, date.today()) for one in words])
        print(f"{name:14} {len(words)} over the pipe {over:6.2f} s, without a pipe {direct:6.2f} s", flush=True)
    engine.stop()


def in_office(book: Path, asked: dict[str, list[list[Any]]], folder: Path) -> None:
    """In cells; what is measured there is printed."""
    copy = Path(shutil.copy(book, folder / "shop book.xlsx"))
    noted = [sys.executable, str(TESTS / "noted_engine.py"), str(folder / "starts"), "starts"]
    (folder / "quotekit.oxt").write_bytes(extension_bytes(version(), noted))
    (folder / "asked.json").write_text(json.dumps(asked), encoding="utf-8")
    words = [SYSTEM_PYTHON, "time_cells.py", str(folder / "quotekit.oxt"), str(copy), str(folder / "asked.json")]
    subprocess.run(words, cwd=TESTS / "in_office", check=True)
    print(f"engine processes started: {len((folder / 'starts').read_text().split())}")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cells", type=int, default=5000)
    parser.add_argument("--book", type=Path, default=EXAMPLE)
    options = parser.parse_args()
    asked = questions(options.book, options.cells)
    without_office(options.book, asked)
    with tempfile.TemporaryDirectory() as folder:
        in_office(options.book, asked, Path(folder))


if __name__ == "__main__":
    main()

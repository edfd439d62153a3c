"""Thousands of random calls of the cell functions through the pipe, against two reckonings.

    python -m tests.addin.many_arguments CALLS SEED

draws random shops, writes each as a workbook and asks the engine process about it, as the office does. Each answer is
compared with what the engine's own function gives for the records of the workbook, and each figure with the oracle's,
which works on the records that the workbook was written from and shares no code with the engine. It prints every
difference and counts. Not a test: ten thousand calls take a while; a smaller run is one.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

from quotekit.addin.office.pipe import Engine
from quotekit.cli.answers.functions import figure_of
from quotekit.cli.answers.serve import version
from quotekit.cli.answers.shop_books import ShopBooks
from quotekit.model.shop_book import MachineClass, ShopBook
from quotekit.pricing.functions.asked import Reason
from quotekit.problems import has_errors
from quotekit.workbook.read_shop_book import read_shop_book
from tests.oracle.exact import fraction
from tests.random_arguments import Drawn, draw
from tests.random_jobs import a_random_case
from tests.workbook.records_as_workbooks import write_book

CALLS_OF_A_SHOP = 100
SECONDS = 30.0


def an_engine() -> Engine:
    """The engine process, as the office starts it."""
    return Engine([sys.executable, "-m", "quotekit", "answer"], version(), dict(os.environ))


def compare(engine: Engine, calls: int, seed: int) -> tuple[list[str], Counter[str]]:
    """So many calls over random shops: the differences, and what was counted."""
    differences: list[str] = []
    seen: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        for number, (book, path) in enumerate(_shops(Path(folder), seed)):
            random = Random(f"{seed} {number}")
            seen["shops"] += 1
            own = ShopBooks()
            for _ in range(min(CALLS_OF_A_SHOP, calls - seen["calls"])):
                drawn = draw(random, book, date.today())
                seen["calls"] += 1
                differences += [f"shop {number}: {line}" for line in _differences(engine, own, drawn, path, seen)]
            if seen["calls"] >= calls:
                break
    return differences, seen


def _differences(engine: Engine, own: ShopBooks, drawn: Drawn, path: Path, seen: Counter[str]) -> Iterator[str]:
    words: dict[str, Any] = {
        "do": "function", "name": drawn.name, "arguments": drawn.arguments, "document": str(path), "book": None
    }  # fmt: skip
    done = engine.ask_quickly(words, SECONDS)["done"]
    direct = figure_of(words, own, date.today())
    seen[f"{drawn.name} {'with a figure' if 'value' in done else 'refused'}"] += 1
    if done.get("value") != (None if isinstance(direct, Reason) else f"{direct:f}"):
        yield f"{drawn}: over the pipe {done}, the engine's own function {direct}"
    if isinstance(direct, Reason) and done.get("reason") != str(direct):
        yield f"{drawn}: over the pipe {done}, the engine's own reason {direct}"
    told = None if "value" not in done else fraction(Decimal(done["value"]))
    if told != drawn.expected:
        yield f"{drawn}: over the pipe {done}, the oracle {drawn.expected}"
    elif told is not None and float(done["value"]) != float(drawn.expected or 0):
        yield f"{drawn}: {done} is another number in a cell"


def _shops(folder: Path, seed: int) -> Iterator[tuple[ShopBook, Path]]:
    """Random shops that read back without an error, each with the workbook that holds it."""
    number = 0
    while True:
        book, job = a_random_case(seed * 100_003 + number)
        classes = {
            code: MachineClass(code=code, machine_class=code.title(), positions=job.positions)
            for code in ("THROWER", "TRAILER")
        }
        book = replace(book, machines={**classes, **(book.machines or {})})
        number += 1
        path = folder / str(number) / "shop book.xlsx"
        path.parent.mkdir()
        write_book(book, path)
        if not has_errors(read_shop_book(path)[1]):
            yield book, path


def main() -> int:
    """Compare and report."""
    calls, seed = int(sys.argv[1]), int(sys.argv[2])
    engine, start = an_engine(), time.perf_counter()
    differences, seen = compare(engine, calls, seed)
    engine.stop()
    print("\n".join(differences))
    print("; ".join(f"{name} {seen[name]}" for name in sorted(seen)))
    print(
        f"{len(differences)} differences; engine started {engine.starts} time(s); {time.perf_counter() - start:.0f} s"
    )
    return 1 if differences else 0


if __name__ == "__main__":
    sys.exit(main())

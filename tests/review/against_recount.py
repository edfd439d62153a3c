"""Holds `quotekit review --json` against the recount of the ledger's export, figure by figure.

`python -m tests.review.against_recount [LEDGERS] [FIRST SEED]` lives random ledgers and prints every difference.
"""

from __future__ import annotations

import contextlib
import io
import json
import sys
import tempfile
from collections.abc import Iterator
from datetime import date
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

from quotekit.cli.main import main
from quotekit.ledger.open_ledger import open_ledger
from tests.cli.small_shop import write_book
from tests.pricing.review.stories import BOOK_BYTES
from tests.review import recount_book
from tests.review.recount import Recount
from tests.review.wilder import FIRST, LAST, book_of, drafts

NOT_COUNTED = {"problems", "files"}


def differences(folder: Path, seed: int, count: int = 30) -> list[str]:
    """What the program and the recount say otherwise of a random ledger, without and with a shop book."""
    path = folder / "shop ledger.db"
    with open_ledger(path) as ledger, ledger.writing() as writing:
        writing.keep_file("book.xlsx", BOOK_BYTES)
        for draft in drafts(seed, count):
            writing.append(draft)
    run("ledger", "export", folder / "export", "--ledger", path)
    entries = json.loads((folder / "export" / "entries.json").read_text(encoding="utf-8"))
    sheets = book_of(Random(seed))
    book = write_book(folder / "shop book.xlsx", sheets)
    days = ("--from", FIRST.isoformat(), "--to", LAST.isoformat(), "--ledger", path, "--replace", "--json")
    found = []
    for words, rows in (((), None), (("--book", book), sheets)):
        told = json.loads(run("review", *days, "--out", folder, *words))
        expected = Recount(entries, FIRST, LAST, rows).json()
        if rows is None:
            expected["shop_name"] = told["shop_name"]
        sheets_of = Path(told["files"][0])
        found += [f"workbook, {one}" for one in recount_book.differences(sheets_of, expected)]
        found += [f"{'with' if rows else 'without'} a book, {one}" for one in compared("", told, expected)]
    return found


def run(*words: object) -> str:
    """A command in process, and what it printed."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([str(word) for word in words])
    assert code == 0, err.getvalue()
    return out.getvalue()


def compared(place: str, told: Any, expected: Any) -> Iterator[str]:
    """Every leaf that differs, by its path."""
    if isinstance(told, dict) and isinstance(expected, dict):
        for name in sorted({*told, *expected} - NOT_COUNTED):
            if name not in told or name not in expected:
                yield f"{place}.{name}: only in {'the program' if name in told else 'the recount'}"
            else:
                yield from compared(f"{place}.{name}", told[name], expected[name])
    elif isinstance(told, list) and isinstance(expected, list):
        if len(told) != len(expected):
            yield f"{place}: {len(told)} in the program, {len(expected)} in the recount"
        for number, (one, other) in enumerate(zip(told, expected, strict=False)):
            yield from compared(f"{place}[{number}]", one, other)
    elif not same(told, expected):
        yield f"{place}: program {told!r}, recount {float(expected) if isinstance(expected, Fraction) else expected!r}"


def same(told: Any, expected: Any) -> bool:
    """Equal, as numbers where both are."""
    if told == expected and type(told) is type(expected):
        return True
    if told is None or expected is None or isinstance(told, bool) or isinstance(expected, bool):
        return False
    try:
        return Fraction(Decimal(str(told))) == Fraction(expected)
    except (InvalidOperation, ValueError, TypeError):
        return False


def many(ledgers: int, first: int) -> None:
    """Random ledgers one after the other."""
    wrong = 0
    for seed in range(first, first + ledgers):
        with tempfile.TemporaryDirectory() as folder:
            found = differences(Path(folder), seed)
        wrong += bool(found)
        for line in found[:12]:
            print(f"seed {seed}: {line}")
    print(f"{ledgers} ledgers, {wrong} with differences, on {date.today().isoformat()}")


if __name__ == "__main__":
    many(*([int(text) for text in sys.argv[1:]] or [50, 1]))

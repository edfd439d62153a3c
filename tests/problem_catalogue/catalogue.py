"""The catalogue of problems: each case is one small change to workbooks without fault, and the text it must print.

`cases/CODE.toml` holds the change and why it matters, `cases/CODE.txt` the expected text. A second case of one code is
`CODE+what.toml`. In a case, `[book.set.Parts]` with `D2 = 3` sets a cell of the shop book, `job.set` one of the job;
`{percent = 0.45}` is a number formatted as percent, `""` empties a cell. `without`, `rename`, `merge` and `hide` take
sheets away, rename them, merge cells and hide rows; `book.broken` names a way to spoil the file.
`[returned]` is what came back from a customer (returned.py), `[choice]` a tier and extras as typed for a choice,
`[rate]` the day on which the rate of an hour is worked out, `[explain]` a figure as typed to be explained, `[after]` is
what happens after a quote (after.py).
After a change of wording run `python -m tests.problem_catalogue.catalogue` and read the difference.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from quotekit.cli.choice import choose
from quotekit.cli.explain import names_meant
from quotekit.cli.report import problem_text
from quotekit.documents.explanation_figures import named_figures
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, check_book
from quotekit.pricing.rate import work_out_rate
from quotekit.problems import Problem, has_errors
from quotekit.workbook.photos import read_photos
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.problem_catalogue.after import problems_after
from tests.problem_catalogue.broken import BROKEN
from tests.problem_catalogue.returned import returned_problems
from tests.problem_catalogue.workbooks import BOOK, JOB, Rows, changed, write

CASES = Path(__file__).parent / "cases"
_NO_CHANGE: dict[str, Any] = {"without": [], "rename": {}, "set": {}, "merge": {}, "hide": {}, "broken": ""}


def case_names() -> list[str]:
    """Every case, in order."""
    return sorted(path.stem for path in CASES.glob("*.toml"))


def code_of(case: str) -> str:
    """The problem code a case is about."""
    return case.partition("+")[0]


def problems_of(case: str, folder: Path) -> list[Problem]:
    """What a case gives: problems of what came back, or of both workbooks and, without errors, of what follows."""
    change = tomllib.loads((CASES / f"{case}.toml").read_text(encoding="utf-8"))
    if "returned" in change:
        return returned_problems(change["returned"], folder)
    if "after" in change:
        return problems_after(change["after"], folder)
    book, problems = _read_book(folder, change["book"]) if "book" in change else _book_without_fault()
    job, found = read_job(_workbook(folder / "job.xlsx", JOB, change.get("job", {})), book)
    problems = [*problems, *found]
    if has_errors(problems) or book is None or job is None:
        return problems
    quote = build_quote(book, job)
    if "rate" in change:
        problems += work_out_rate(book, change["rate"]["on"])[1]
    if "choice" in change:
        problems += choose(quote, change["choice"]["tier"], change["choice"].get("extras", []))[2]
    if "explain" in change:
        problems += names_meant(change["explain"]["figure"], named_figures(quote, quote.tiers[0]))[1]
    return [*problems, *check_book(book), *quote.problems, *read_photos(job, folder)[1]]


def _read_book(folder: Path, change: dict[str, Any]) -> tuple[ShopBook | None, list[Problem]]:
    return read_shop_book(_workbook(folder / "prices.xlsx", BOOK, change))


@cache
def _book_without_fault() -> tuple[ShopBook | None, list[Problem]]:
    """The book as it is, read once for all cases that change the job alone."""
    with TemporaryDirectory() as folder:
        return _read_book(Path(folder), {})


def expected_of(case: str) -> str:
    """The text a case must print."""
    return (CASES / f"{case}.txt").read_text(encoding="utf-8")


def text_of(problems: list[Problem]) -> str:
    """Problems as the command line prints them, each with its code."""
    return "".join(f"[{problem.code}] {problem_text(problem)}\n" for problem in problems)


def _workbook(path: Path, rows: dict[str, Rows], change: dict[str, Any]) -> Path:
    change = {**_NO_CHANGE, **change}
    if change["broken"] != "missing-file":
        write(path, changed(rows, change), change)
    spoil: Callable[[Path], None] | None = BROKEN.get(change["broken"])
    if spoil is not None:
        spoil(path)
    return path


def _write_expected() -> None:
    for case in case_names():
        with TemporaryDirectory() as folder:
            text = text_of(problems_of(case, Path(folder)))
        (CASES / f"{case}.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    _write_expected()

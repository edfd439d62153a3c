"""What was wrong in the workbooks and what the engine found in them, once each, in reading order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quotekit.problems import Problem
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.reading_order import in_reading_order


def all_problems(read: Sequence[Problem], engine: Iterable[Problem], *, book: str, job: str | None) -> list[Problem]:
    """Both together; `book` and `job` are the names of the files they are in.

    Two files of one name can't be told apart, so the engine's then follow in its own order.
    """
    problems = list(dict.fromkeys([*read, *engine]))
    if len(problems) == len(read) or job == book:
        return problems
    of_book = [problem for problem in problems if problem.place.file == book]
    others = [problem for problem in problems if problem.place.file != book]
    return [*in_reading_order(of_book, SHOP_BOOK), *in_reading_order(others, JOB_WORKBOOK)]

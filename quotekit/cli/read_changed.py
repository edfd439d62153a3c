"""Reads a changed shop book before it takes its place: what is wrong in it that was not wrong before."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.model.shop_book import ShopBook
    from quotekit.problems import Problem
    from quotekit.workbook.in_place.put_in_place import Prepared


def read_changed(prepared: Prepared, before: Iterable[Problem]) -> tuple[ShopBook | None, list[Problem]]:
    """The book as it is to be, and what is wrong in it and was not before."""
    from quotekit.workbook.read_shop_book import read_shop_book

    known = {_same(one) for one in before}
    with tempfile.TemporaryDirectory(prefix="quotekit-") as folder:
        path = Path(folder) / prepared.path.name
        path.write_bytes(prepared.edited.data)
        book, problems = read_shop_book(path)
    return book, [one for one in problems if _same(one) not in known]


def _same(problem: Problem) -> tuple[str, ...]:
    """What makes two problems of the book before and after the same; a message may speak of the new figure."""
    return problem.code, problem.place.sheet, problem.place.cell, "" if problem.place.cell else problem.message

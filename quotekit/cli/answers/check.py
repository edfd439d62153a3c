"""Request `check`: every problem of the open workbook: a shop book, or a job with its shop book."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.request import Words, document, told

if TYPE_CHECKING:
    from quotekit.problems import Problem


def answer(words: Words) -> dict[str, Any]:
    """`{"document": {...}, "book": {...}}` gives `{"problems": [...], "taxes": [...]}`; a shop book has no `book`.

    Of each problem `of` says which of the two workbooks it is in, `document` or `book`; else it is empty.
    """
    from quotekit.cli.check import all_problems, taxes_told
    from quotekit.cli.inputs import read_inputs

    this = document(words, "document").copy
    if not words.get("book"):
        inputs = read_inputs(this)
        return {"problems": with_owner(all_problems(inputs), this.name, ""), "taxes": taxes_told(inputs)}
    with told_apart(document(words, "book").copy, this) as book:
        inputs = read_inputs(book, this)
        return {"problems": with_owner(all_problems(inputs), this.name, book.name), "taxes": taxes_told(inputs)}


def with_owner(problems: Sequence[Problem], this: str, book: str) -> list[dict[str, str]]:
    """Problems as a spreadsheet shows them, each with the workbook it is in."""
    of = {this: "document", book: "book"} if book else {this: "document"}
    return [one | {"of": of.get(one["file"], "")} for one in told(problems)]


@contextmanager
def told_apart(book: Path, job: Path) -> Iterator[Path]:
    """The shop book under a name of its own, where both workbooks are named alike: a place names the file only."""
    if book.name != job.name:
        yield book
        return
    import shutil
    import tempfile

    with tempfile.TemporaryDirectory(prefix="quotekit-") as folder:
        yield Path(shutil.copy(book, Path(folder) / f"{book.stem} (shop book){book.suffix}"))

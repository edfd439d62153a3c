"""The job and the shop book that a costing or a customer's quote was made from: open beside it, else in its folder.

Nothing is guessed: where there are several, or none, it is refused and what to do is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from quotekit.cli.answers.request import Document, Refused
from quotekit.cli.answers.shop_books import workbooks_in
from quotekit.problems import Place, error

MOST_LOOKED_AT = 200
"""Workbooks of a folder that are looked into."""


def named_inputs(costing: Document, others: Sequence[Document], book: str, job: str) -> tuple[Document, Document]:
    """Shop book and job of a costing, by the names it gives."""
    return _named(costing, others, book, "shop book"), _named(costing, others, job, "job")


def job_of_number(quote: Document, others: Sequence[Document], number: str) -> Document:
    """The job workbook of a quote, by its number."""
    found = [one for one in _of_kind([*others, *_beside(quote)], "job") if _number_of(one) == number.casefold()]
    if found:
        return found[0]
    message = f"The job {number} of this quote is not open, and it is not in the quote's folder."
    raise Refused([error(Place(quote.copy.name), "inputs-not-found", message, "Open the job, then do this again.")])


def only_book(document: Document, others: Sequence[Document]) -> Document:
    """The shop book that is open, else the only one of the folder or of the one above."""
    opened = _of_kind(others, "shop book")
    if len(opened) == 1:
        return opened[0]
    if not opened and document.path is not None:
        from quotekit.workbook.kept_copies import is_kept_copy

        for folder in (document.path.parent, document.path.parent.parent):
            there = [one for one in _in_folder(folder) if not is_kept_copy((one.path or one.copy).name)]
            found = _of_kind(there, "shop book")
            if len(found) == 1:
                return found[0]
            if found:
                break
    many = len(opened) > 1
    message = "Several shop books are open." if many else "It is not clear which shop book belongs to this."
    remedy = "Close those that do not belong to it." if many else "Open its shop book, then do this again."
    raise Refused([error(Place(document.copy.name), "which-shop-book", message, remedy)])


def _named(costing: Document, others: Sequence[Document], name: str, kind: str) -> Document:
    for one in [*others, *_beside(costing)]:
        shown = (one.path or one.copy).stem
        if shown.casefold() == Path(name).stem.casefold() and _kind(one) == kind:
            return one
    message = f"The {kind} {name}, which this costing was made from, is not open, and it is not in the folder."
    remedy = "Open it, then do this again."
    raise Refused([error(Place(costing.copy.name), "inputs-not-found", message, remedy)])


def _beside(document: Document) -> Iterator[Document]:
    """Workbooks of a document's folder, then those of the folder above."""
    if document.path is not None:
        yield from _in_folder(document.path.parent)
        yield from _in_folder(document.path.parent.parent)


def _in_folder(folder: Path) -> list[Document]:
    return [Document(copy=path, path=path) for path in workbooks_in(folder)[:MOST_LOOKED_AT]]


def _of_kind(documents: Iterable[Document], kind: str) -> list[Document]:
    """Those of a kind, each file once."""
    found: dict[Path, Document] = {}
    for one in documents:
        if _kind(one) == kind:
            found.setdefault(one.path or one.copy, one)
    return list(found.values())


def _kind(document: Document) -> str | None:
    from quotekit.workbook.compared_kind import kind_of_file

    return kind_of_file(document.copy)[0]


def _number_of(document: Document) -> str:
    from quotekit.workbook.job_identity import read_job_identity

    identity, _ = read_job_identity(document.copy)
    return identity[0].casefold() if identity is not None else ""

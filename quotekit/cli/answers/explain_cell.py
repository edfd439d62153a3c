"""Request `explain cell`: what the selected cell is: of a shop book, a job, a costing, or a quote for a customer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.request import Document, Refused, Words, document
from quotekit.cli.answers.told_cell import ToldCell, told_cell
from quotekit.problems import Place

if TYPE_CHECKING:
    from quotekit.cli.answers.input_cell import Workbooks

NOTHING = "quotekit knows nothing of this cell."


def answer(words: Words) -> dict[str, Any]:
    """`document`, `sheet` and `cell`; `book` of a job; `others` that are open; gives `title`, `text` and `places`.

    Of a job the figures that hang on the cell are told with its shop book, of a shop book those of the open job.
    """
    this = document(words, "document")
    others = [document({"it": one}, "it") for one in words.get("others") or []]
    book = document(words, "book") if words.get("book") else None
    place = Place(this.copy.name, str(words["sheet"]), str(words["cell"]))
    from quotekit.workbook.compared_kind import kind_of_file

    kind, _ = kind_of_file(this.copy)
    if kind == "shop book":
        job = next((one for one in others if kind_of_file(one.copy)[0] == "job"), None)
        return _of_input(place, this, job, in_book=True)
    if kind == "job":
        return _of_input(place, book, this, in_book=False)
    if kind in ("costing", "quote"):
        from quotekit.cli.answers.document_cell import of_costing, of_quote

        return (of_costing if kind == "costing" else of_quote)(place, this, others)
    return told_cell(ToldCell(title=f"{place.sheet}!{place.cell}", paragraphs=(NOTHING,)), [])


def _of_input(place: Place, book: Document | None, job: Document | None, *, in_book: bool) -> dict[str, Any]:
    from quotekit.cli.answers.check import told_apart
    from quotekit.cli.answers.input_cell import tell_input_cell

    if book is None or job is None:
        known = read_workbooks(book, job)
        return told_cell(tell_input_cell(place, known), [one for one in (book, job) if one is not None])
    with told_apart(book.copy, job.copy) as copy:
        renamed = Document(copy=copy, path=book.path)
        if in_book:
            place = place._replace(file=copy.name)
        known = read_workbooks(renamed, job)
        return told_cell(tell_input_cell(place, known), [renamed, job])


def read_workbooks(book: Document | None, job: Document | None) -> Workbooks:
    """What is known of both. Raises Refused where the one that is asked about can't be read at all."""
    from quotekit.cli.answers.input_cell import Workbooks
    from quotekit.cli.check import all_problems
    from quotekit.cli.inputs import Inputs, read_inputs
    from quotekit.workbook.read_job import read_job
    from quotekit.workbook.typed_cell import read_tables

    tables = {}
    for one, kind in ((book, "shop book"), (job, "job")):
        if one is not None:
            found, problems = read_tables(one.copy, kind)  # type: ignore[arg-type]
            if problems and not found:
                raise Refused(problems)
            tables[one.copy.name] = found
    if book is not None:
        inputs = read_inputs(book.copy, job.copy if job is not None else None)
        return Workbooks(tables=tables, inputs=inputs, problems=tuple(all_problems(inputs)))
    assert job is not None
    read, problems = read_job(job.copy, None)
    return Workbooks(tables=tables, inputs=Inputs(book=None, job=read, problems=()), problems=tuple(problems))

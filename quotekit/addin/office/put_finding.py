"""Menu: put a finding in the job. From a selected row of the shop book's Findings it goes into the open job."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .copies import Copies, path_of
from .finding_cells import READ_ONLY, selected_code
from .finding_window import FindingWindow
from .kind_of import BOOK, JOB, kind_of
from .question import pick_one
from .shop_book_for import ShopBook, in_sight, with_shop_book
from .show_problems import show_problems
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

TITLE = "Put a finding in the job"


def run(desk: Desk) -> None:
    """Into the job in front; or into the open job, with the shop book in front."""
    document = desk.document
    kind = kind_of(document) if document is not None else ""
    if kind == JOB:
        begin(desk, document)
    elif kind == BOOK:
        _from_book(desk, document)
    else:
        tell(desk, "This workbook is no job.", "Open the job, then do this again.", title=TITLE)


def begin(desk: Desk, job: Any, code: str = "") -> None:
    """Ask the engine what may be found on this job's machine, then show it; `code` is picked already."""
    if job.isReadonly():
        tell(desk, "This job is open to be read only.", READ_ONLY, title=TITLE)
    else:
        with_shop_book(desk, job, lambda book: _ask(desk, job, book, code))


def _from_book(desk: Desk, document: Any) -> None:
    code = selected_code(document)
    jobs = [one for one in desk.documents() if in_sight(one) and kind_of(one) == JOB]
    book = ShopBook(path_of(document), document)
    if not jobs:
        tell(desk, "No job is open.", "Open the job the finding belongs to, then do this again.", title=TITLE)
    elif len(jobs) == 1:
        _ask(desk, jobs[0], book, code)
    else:
        words, names = "Several jobs are open. Which one is it?", [one.getTitle() for one in jobs]
        pick_one(desk, TITLE, words, names, "Go on", lambda number: _ask(desk, jobs[number], book, code))


def _ask(desk: Desk, job: Any, book: ShopBook, code: str) -> None:
    copies = Copies()
    try:
        words = {"do": "findings", "document": copies.as_it_stands(job), "book": book.copy(desk, copies)}
    except OSError as fault:
        copies.away()
        tell(desk, f"{fault}.", "Open it, then do this again.", title=TITLE)
        return

    def done(answer: Line) -> None:
        copies.away()
        if "problems" in answer:
            show_problems(desk, job, book, answer["problems"])
        else:
            FindingWindow(desk, job, book, answer["done"]).show(code)

    desk.ask(words, "Reading the findings", done, job, otherwise=copies.away)

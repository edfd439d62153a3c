"""Menu: open the costing of the job or the quote in front; where it may be out of date that is said first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Dict, List

from .copies import Copies, path_of
from .kind_of import COSTING, JOB, QUOTE, kind_of
from .priced_words import outdated
from .question import Answer, ask
from .shop_book_for import shop_book_remembered
from .show_problems import show_problems
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

TITLE = "Open the costing"


def run(desk: Desk) -> None:
    """The costing of what is in front."""
    document = desk.document
    kind = kind_of(document) if document is not None else ""
    if document is None or kind not in (JOB, QUOTE):
        message = "This is a costing." if kind == COSTING else "This workbook is no job and no quote."
        tell(desk, message, "Open the job, then do this again.", title=TITLE)
    elif path_of(document) is None:
        tell(desk, "This workbook was never saved, so it has no costing yet.", "Save it, then price it.", title=TITLE)
    else:
        _ask(desk, document, kind)


def _ask(desk: Desk, document: Any, kind: str) -> None:
    copies = Copies()
    book = shop_book_remembered(desk, document)
    words = {
        "do": "costing",
        "document": copies.as_it_stands(document),
        "of": "job" if kind == JOB else "quote",
        "book": book.path if book is not None else None,
    }

    def done(answer: Line) -> None:
        copies.away()
        if "problems" in answer:
            show_problems(desk, document, book, answer["problems"])
        else:
            _open(desk, document, kind, answer["done"])

    desk.ask(words, "Looking for the costing", done, document, otherwise=copies.away)


def _open(desk: Desk, document: Any, kind: str, found: Dict[str, Any]) -> None:
    path = found["costing"]
    newer = list(found["older_than"])
    if kind == JOB and document.isModified():
        newer.append("unsaved changes")
    answers: List[Answer] = [Answer("Price this job", lambda: _price(desk, document))] if kind == JOB else []
    what = f"job {found['job']}, version {found['version']}"
    if path is None:
        words = f"There is no costing of {what} beside it."
        if answers:
            ask(desk, TITLE, words, answers)
        else:
            tell(desk, words, "Open the job and price it.", title=TITLE)
    elif newer:
        as_it_is = Answer("Open it as it is", lambda: desk.open(path))
        ask(desk, TITLE, outdated(what, newer), [*answers, as_it_is])
    else:
        desk.open(path)


def _price(desk: Desk, document: Any) -> None:
    from .price_job import price

    price(desk, document)

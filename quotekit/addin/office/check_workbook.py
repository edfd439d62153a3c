"""Menu: check this workbook. A shop book by itself, a job with its shop book."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .checked import checked
from .kind_of import BOOK, JOB, kind_of
from .shop_book_for import with_shop_book
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk

NOT_CHECKED = {
    "quote": ("This is a quote for a customer.", "Check the job it was made from: open that, then do this again."),
    "costing": ("This is a costing.", "Check the job it was made from: open that, then do this again."),
    "other": (
        "This workbook is no shop book and no job.",
        "A shop book has a sheet named Shop, a job one named Job. Open one of them, then do this again.",
    ),
}


def run(desk: Desk) -> None:
    """Every problem of the workbook in front, in a list and on its cells."""
    document = desk.document
    if document is None:
        tell(desk, "There is no spreadsheet in front.", "Open a shop book or a job, then do this again.")
        return
    kind = kind_of(document)
    if kind == BOOK:
        checked(desk, document).check()
    elif kind == JOB:
        with_shop_book(desk, document, lambda book: checked(desk, document, book).check())
    else:
        tell(desk, *NOT_CHECKED[kind])

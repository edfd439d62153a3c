"""Menu: read a returned quote. The one in front, often opened straight from a message; else one that is chosen."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Optional

from .copies import READ_AS_THEY_ARE, Copies, path_of
from .kind_of import JOB, QUOTE, kind_of
from .question import Answer, ask
from .returned_window import ReturnedWindow
from .shop_book_for import choose_file, in_sight
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

TITLE = "Read a returned quote"


def run(desk: Desk) -> None:
    """What the customer chose."""
    document = desk.document
    if document is not None and kind_of(document) == QUOTE:
        read(desk, document)
        return
    folder = os.path.dirname(path_of(document) or "") if document is not None else ""
    words = "The workbook in front is no quote. Open the quote that came back and do this again, or choose its file."
    ask(desk, TITLE, words, [Answer("Choose the file ...", lambda: _choose(desk, folder))])


def _choose(desk: Desk, folder: str) -> None:
    path = choose_file(desk, "The quote that came back", folder, "*.xlsx;*.xlsm;*.ods;*.xls")
    document = desk.open(path) if path is not None else None
    if document is not None:
        read(desk, document)


def read(desk: Desk, document: Any) -> None:
    """Read an open quote: the file itself, or the screen where something was ticked there and not saved."""
    copies = Copies()
    path = _file(document)
    file = path or copies.of(document)["copy"]
    jobs = [path_of(one) for one in desk.documents() if in_sight(one) and kind_of(one) == JOB]
    words = {"do": "returned", "file": file, "jobs": [one for one in jobs if one]}

    def done(answer: Line) -> None:
        copies.away()
        refused = answer.get("problems") or (answer["done"]["problems"] if answer["done"]["job"] is None else [])
        if refused:
            first = refused[0]
            tell(desk, first["message"], first["remedy"], title=TITLE)
        else:
            ReturnedWindow(desk, document, answer["done"], unsaved=document.isModified()).show()

    desk.ask(words, "Reading the quote", done, document, otherwise=copies.away)


def _file(document: Any) -> Optional[str]:
    """The file, where it says all that is on the screen and the engine can read its kind."""
    path = path_of(document)
    if path and not document.isModified() and path.lower().endswith(READ_AS_THEY_ARE) and os.path.isfile(path):
        return path
    return None

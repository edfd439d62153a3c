"""A document was opened: where cells hold the functions they are worked out anew, as the shop book may be another now.

The office works out an .ods when it is opened, but shows what an .xlsx has stored: an old price would stand there.
"""

from __future__ import annotations

from typing import Any, Iterable, Optional

from .cell_reasons import METHODS
from .open_books import BOOKS

WORDS = "|".join([*METHODS.values(), "SHOPFUNCTIONS"])
"""What a formula with one of the functions holds, whichever way the office writes it."""


def document_opened(context: Any, arguments: Iterable[Any]) -> None:
    """Called by the office with what it knows of the event. Nothing is raised: the document opens whatever happens."""
    try:
        document = _model(arguments)
        if document is not None and holds_functions(document):
            BOOKS.opened(context, document)
    except Exception:  # e.g. a document that is closed again already
        return


def holds_functions(document: Any) -> bool:
    """Whether a cell of a spreadsheet holds one of the functions."""
    if not document.supportsService("com.sun.star.sheet.SpreadsheetDocument"):
        return False
    sheets = document.getSheets()
    for number in range(sheets.getCount()):
        sheet = sheets.getByIndex(number)
        wanted = sheet.createSearchDescriptor()
        wanted.setSearchString(WORDS)
        wanted.SearchRegularExpression, wanted.SearchType = True, 0
        if sheet.findFirst(wanted) is not None:
            return True
    return False


def _model(arguments: Iterable[Any]) -> Optional[Any]:
    for one in arguments:
        if one.Name == "Environment":
            for each in one.Value:
                if each.Name == "Model":
                    return each.Value
    return None

"""Menu: explain the selected cell. What belongs in it, where a figure comes from, and where to go from there."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Dict, List, Optional, Tuple

from .being_typed import finish_typing
from .cell_reasons import calls_in, reason_of
from .copies import Copies
from .explain_window import ExplainWindow
from .kind_of import BOOK, JOB, OTHER, kind_of
from .problem_words import place_words, sentence
from .shop_book_for import ShopBook, in_sight, with_shop_book
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

MOST_OTHERS = 8
"""Other open workbooks that are told of: a job, its shop book, and some more."""

NOTHING = "quotekit knows nothing of this cell."


def run(desk: Desk) -> None:
    """Explain the cell that is selected in the window in front."""
    finish_typing(desk)
    document = desk.document
    cell = selected_cell(document) if document is not None else None
    if document is None or cell is None:
        tell(desk, "No cell is selected.", "Select a cell of a workbook, then do this again.")
        return
    kind = kind_of(document)
    if kind == JOB:
        with_shop_book(desk, document, lambda book: _ask(desk, document, cell, book))
    elif kind == OTHER:
        _tell_other(desk, document, cell)
    else:
        _ask(desk, document, cell, None)


def selected_cell(document: Any) -> Optional[Any]:
    """The first cell of what is selected; None for a picture or a chart."""
    selected = document.getCurrentSelection()
    if selected is None:
        return None
    if selected.supportsService("com.sun.star.sheet.SheetCellRanges"):
        selected = selected.getByIndex(0) if selected.getCount() else None
    if selected is None or not selected.supportsService("com.sun.star.sheet.SheetCellRange"):
        return None
    return selected.getCellByPosition(0, 0)


def address_of(cell: Any) -> Tuple[str, str]:
    """Sheet and cell as people write them: `Parts`, `D14`."""
    name = str(cell.AbsoluteName)
    return cell.getSpreadsheet().Name, name.rpartition(".")[2].replace("$", "")


def of_functions(document: Any, cell: Any) -> str:
    """What to say of our functions in a cell; empty where there are none."""
    calls = calls_in(cell.getFormula())
    if not calls:
        return ""
    asked = "; ".join(f"{name}({'; '.join(arguments)})" for name, arguments in calls)
    reason = reason_of(document, cell)
    if reason:
        return f"The formula asks {asked}.\nIt gives an error: {reason}"
    return f"The formula asks {asked}, and gives {cell.getString()}."


def _tell_other(desk: Desk, document: Any, cell: Any) -> None:
    sheet, at = address_of(cell)
    said = of_functions(document, cell)
    window = ExplainWindow.of(desk, lambda: run(desk))
    window.show_told(f"{sheet}!{at}", said or NOTHING, [], {})


def _ask(desk: Desk, document: Any, cell: Any, book: Optional[ShopBook]) -> None:
    sheet, at = address_of(cell)
    said, copies = of_functions(document, cell), Copies()
    known: Dict[str, Any] = {}
    words: Line = {"do": "explain cell", "sheet": sheet, "cell": at}
    words["document"] = _known(copies.as_it_stands(document), document, known)
    if book is not None:
        words["book"] = _known(book.copy(desk, copies), book.document, known)
    else:
        words["others"] = [_known(copies.as_it_stands(one), one, known) for one in _others(desk, document)]

    def done(answer: Line) -> None:
        copies.away()
        window = ExplainWindow.of(desk, lambda: run(desk))
        if "done" in answer:
            told = answer["done"]
            text = "\n\n".join(part for part in (said, told["text"]) if part)
            window.show_told(told["title"], text, told["places"], known)
        else:
            window.show_told(f"{sheet}!{at}", _refused(answer["problems"], said), [], known)

    desk.ask(words, f"Explaining {sheet}!{at}", done, document, otherwise=copies.away)


def _known(told: Dict[str, Any], document: Any, known: Dict[str, Any]) -> Dict[str, Any]:
    """What the engine is told of a workbook; the open document is found again by the name of its copy."""
    if document is not None:
        known[os.path.basename(told["copy"])] = document
    return told


def _others(desk: Desk, document: Any) -> List[Any]:
    """Other open shop books and jobs."""
    found = [
        one
        for one in desk.documents()
        if one.RuntimeUID != document.RuntimeUID and in_sight(one) and kind_of(one) in (BOOK, JOB)
    ]
    return found[:MOST_OTHERS]


def _refused(problems: List[Dict[str, str]], said: str) -> str:
    """Why it can't be told, with what to do."""
    lines = [said] if said else []
    lines.append("It can't be told:")
    for one in problems[:10]:
        where = place_words(one, one["file"])
        words = f"{sentence(one['message'])} {sentence(one['remedy'])}".strip()
        lines.append(f"{where}: {words}" if where else words)
    if len(problems) > 10:
        lines.append(f"and {len(problems) - 10} more: check the workbook.")
    return "\n\n".join(lines)

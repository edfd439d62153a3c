"""Drop-downs of a sheet value: a help for who picks, never a bar; other input is let through with a gentle word."""

from __future__ import annotations

from typing import Any

from quotekit.documents.sheet import Cell, Sheet
from quotekit.workbook.cannot_write import done, refused
from quotekit.workbook.printable import printable

_LONGEST_LIST = 255
_LONGEST_PROMPT = 255
_OTHER_TITLE = "Not in the list"
_OTHER_INPUT = "Your entry is kept. If no figures follow, pick an entry from the list beside the cell."


def write_choices(page: Any, sheet: Sheet, row: int, column: int, cell: Cell) -> None:
    """The list of a cell and the words beside it while it is picked."""
    options: dict[str, Any] = {"validate": "any"}
    if cell.choices:
        options = {
            "validate": "list",
            "source": _source(sheet, row, column, cell.choices),
            "ignore_blank": True,
            "error_type": "information",
            "error_title": _OTHER_TITLE,
            "error_message": _OTHER_INPUT,
        }
    if cell.prompt:
        options["input_message"] = shortened(cell.prompt, _LONGEST_PROMPT)
    last = column + cell.across - 1
    done(page.data_validation(row, column, row, last, options), sheet, (row, column))


def _source(sheet: Sheet, row: int, column: int, choices: str) -> str | list[str]:
    """A range as it is, or the texts of the list."""
    if choices.startswith("="):
        return choices
    texts = printable(choices).split(",")
    if not all(text.strip() for text in texts) or _utf16(choices) > _LONGEST_LIST:
        raise refused(sheet, (row, column), f"a list holds texts of at most {_LONGEST_LIST} characters together")
    return [text.replace('"', '""') for text in texts]


def shortened(text: str, most: int) -> str:
    """A text in at most so many UTF-16 units, without control characters, cut at a word.

    >>> shortened("Pick one of them", 12)
    'Pick one of…'
    """
    plain = printable(text)
    if _utf16(plain) <= most:
        return plain
    cut = len(plain)
    while _utf16(plain[:cut]) > most - 1:
        cut -= 1
    words = plain[:cut] if plain[cut] == " " else plain[:cut].rpartition(" ")[0]
    return (words or plain[:cut]).rstrip() + "…"


def _utf16(text: str) -> int:
    return len(text.encode("utf-16-le", "surrogatepass")) // 2

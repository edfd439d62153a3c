"""Problems of a workbook in words: how many there are, a line for each, the whole text, the note on the cell."""

from __future__ import annotations

import re
from typing import Dict, Iterable, List, NamedTuple, Optional, Sequence

Problem = Dict[str, str]
"""As the engine tells it: file, sheet, cell, code, severity, message, remedy, text."""

MARK = "To mend, says quotekit:"
"""The first line of a note of ours; no owner's note begins so."""

END = "This note goes when it is mended."
"""Its last line: where an owner has written beneath it, the note is the owner's."""

LONGEST_LINE = 150
_SEVERITIES = {"error": "Error", "warning": "Warning"}
_CELL = re.compile(r"\$?([A-Z]{1,3})\$?([0-9]{1,7})(?::\$?[A-Z]{1,3}\$?[0-9]{1,7})?")
_COLUMNS = re.compile(r"\$?([A-Z]{1,3})(?::\$?[A-Z]{1,3})?")


class Spot(NamedTuple):
    """A cell by its sheet and its numbers, both from 0."""

    sheet: str
    column: int
    row: int


def counted(problems: Sequence[Problem]) -> str:
    """How many errors and warnings.

    >>> counted([{"severity": "error"}, {"severity": "warning"}, {"severity": "warning"}])
    '1 error and 2 warnings.'
    >>> counted([])
    'No problems found.'
    """
    errors = sum(one["severity"] == "error" for one in problems)
    counts = [(errors, "error"), (len(problems) - errors, "warning")]
    said = [f"{many:,} {word}{'' if many == 1 else 's'}" for many, word in counts if many]
    return f"{' and '.join(said)}." if said else "No problems found."


def errors_first(problems: Iterable[Problem]) -> List[Problem]:
    """Errors, then warnings, each in the order they came in: reading order."""
    return sorted(problems, key=lambda one: one["severity"] != "error")


def place_words(problem: Problem, file: str = "") -> str:
    """Where it is: `Parts!D14`, the sheet alone, or the file.

    >>> place_words({"sheet": "Parts", "cell": "D14"}), place_words({"sheet": "", "cell": ""}, "book.xlsx")
    ('Parts!D14', 'book.xlsx')
    """
    spot = "!".join(word for word in (problem["sheet"], problem["cell"]) if word)
    return ": ".join(word for word in (file, spot) if word)


def line(problem: Problem, file: str = "") -> str:
    """One line of the list; `file` where it is another workbook's.

    >>> line({"severity": "error", "sheet": "Parts", "cell": "D14", "message": "Pack cost is blank"})
    'Error   Parts!D14: Pack cost is blank'
    """
    place = place_words(problem, file)
    words = " ".join(f"{place}: {problem['message']}".split() if place else problem["message"].split())
    said = words if len(words) <= LONGEST_LINE else f"{words[: LONGEST_LINE - 1]}…"
    return f"{severity(problem)}   {said}"


def severity(problem: Problem) -> str:
    """Error or Warning."""
    return _SEVERITIES.get(problem["severity"], problem["severity"])


def sentence(text: str) -> str:
    """With a capital and a full stop.

    >>> sentence("pack cost is blank"), sentence("Is it 45 %?"), sentence("")
    ('Pack cost is blank.', 'Is it 45 %?', '')
    """
    text = text.strip()
    if not text:
        return ""
    return f"{text[:1].upper()}{text[1:]}{'' if text[-1] in '.?!:' else '.'}"


def whole(problem: Problem, file: str = "") -> str:
    """All that is said of a problem, for reading beneath the list."""
    said = [f"{severity(problem)} in {place_words(problem, file) or 'the workbook'}", sentence(problem["message"])]
    if problem.get("text"):
        said.append(f"The cell holds: {problem['text']}")
    return "\n".join([*said, *(["", sentence(problem["remedy"])] if problem["remedy"] else [])])


def note_text(problems: Sequence[Problem]) -> str:
    """The note on a cell: each problem of it, with what to do."""
    said = [" ".join(filter(None, (sentence(one["message"]), sentence(one["remedy"])))) for one in problems]
    return "\n".join([MARK, *dict.fromkeys(said), END])


def is_ours(note: str) -> bool:
    """Whether a note was put there by us, and nobody wrote in front of it or beneath it.

    >>> is_ours(note_text([{"message": "it is blank", "remedy": ""}])), is_ours("To mend: ask Bob")
    (True, False)
    """
    lines = note.replace("\r\n", "\n").rstrip().split("\n")
    return len(lines) > 1 and lines[0].strip() == MARK and lines[-1].strip() == END


def spot_of(sheet: str, cell: str) -> Optional[Spot]:
    """The first cell of a place; None for a whole sheet, or what is no cell.

    >>> spot_of("Parts", "D14"), spot_of("Parts", "B3:B7"), spot_of("Parts", ""), spot_of("", "--figure")
    (Spot(sheet='Parts', column=3, row=13), Spot(sheet='Parts', column=1, row=2), None, None)
    """
    found = _CELL.fullmatch(cell.strip())
    if not sheet or found is None or not 1 <= int(found[2]) <= 1048576:
        return None
    return Spot(sheet, _column(found[1]), int(found[2]) - 1)


def range_of(cell: str) -> str:
    """A place as the office selects it, empty where there is no cell in it.

    >>> range_of("B3:B7"), range_of("$B$3"), range_of(""), range_of("C")
    ('B3:B7', '$B$3', '', 'C1')
    """
    if _CELL.fullmatch(cell.strip()):
        return cell.strip()
    found = _COLUMNS.fullmatch(cell.strip())
    return f"{found[1]}1" if found else ""


def by_spot(problems: Iterable[Problem]) -> Dict[Spot, List[Problem]]:
    """Problems of each cell, in their order; those without a cell are left out."""
    found: Dict[Spot, List[Problem]] = {}
    for one in problems:
        spot = spot_of(one["sheet"], one["cell"])
        if spot is not None:
            found.setdefault(spot, []).append(one)
    return found


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1

"""Why cells show an error: the reason of each call that had no figure, kept until it has one.

The office gives a component no way to put a text into a cell that shows an error, so `Explain the selected cell` reads
it here. A cell is found again by its formula: by the function it calls and the arguments that stand in it.
"""

from __future__ import annotations

import re
from collections import OrderedDict
from typing import Any, Dict, List, NamedTuple, Optional, Sequence, Tuple

METHODS = {
    "SELLINGPRICE": "SELLING_PRICE",
    "SHAREDHOURS": "SHARED_HOURS",
    "TAXON": "TAX_ON",
    "REMEDYPRICE": "REMEDY_PRICE",
}
"""Functions by the name their method has in a formula, in capitals."""

ARGUMENTS = {"SELLING_PRICE": 2, "SHARED_HOURS": 4, "TAX_ON": 5, "REMEDY_PRICE": 5}
"""How many arguments each has before the shop book."""

DATED = {"TAX_ON": 2, "REMEDY_PRICE": 4}
"""Where a date stands among the arguments."""

UNKNOWN = object()
"""An argument that is worked out, such as `A1 * 2`: it can't be read from the formula."""

_CALL = re.compile(r"(?:ORG\.QUOTEKIT\.SHOPFUNCTIONS\.)?(\w+)\s*\(", re.IGNORECASE)
_NUMBER = re.compile(r"[+-]?\d+(\.\d*)?(E[+-]?\d+)?", re.IGNORECASE)


class Call(NamedTuple):
    """One function of one cell: what was asked, in which document, of which book."""

    name: str
    document: str
    arguments: Tuple[Any, ...]
    book: str = ""

    @property
    def has_date(self) -> bool:
        """Whether a day's number is among the arguments."""
        at = DATED.get(self.name)
        return at is not None and len(self.arguments) > at and self.arguments[at] is not None


class Reasons:
    """The reasons of the last calls that had no figure."""

    def __init__(self, most: int = 20000) -> None:
        self._most = most
        self._kept: "OrderedDict[Call, str]" = OrderedDict()

    def keep(self, call: Call, reason: str) -> None:
        """This call has no figure."""
        self._kept[call] = reason
        self._kept.move_to_end(call)
        if len(self._kept) > self._most:
            self._kept.popitem(last=False)

    def forget(self, call: Call) -> None:
        """This call has a figure."""
        self._kept.pop(call, None)

    def of(self, name: str, document: str, arguments: Sequence[Any]) -> List[str]:
        """The reasons of calls with such arguments, the last first; UNKNOWN ones may be anything."""
        found: Dict[str, None] = {}
        for call in reversed(self._kept):
            if call.name == name and call.document == document and _alike(call.arguments, arguments):
                found[self._kept[call]] = None
        return list(found)


REASONS = Reasons()
"""Those of this office."""


def reason_of(document: Any, cell: Any, name: str = "") -> Optional[str]:
    """Why a cell with one of the functions shows an error; None where it holds none, or has a figure.

    `name` is what the engine knows the document by; where it is not given it is looked up.
    """
    if not cell.getError():
        return None
    if not name:
        from .open_books import document_name

        name = document_name(document)
    for function, words in calls_in(cell.getFormula()):
        arguments = [_argument(document, cell, word) for word in words[: ARGUMENTS[function]]]
        for reason in REASONS.of(function, name, arguments):
            return reason
    return None


def calls_in(formula: str) -> List[Tuple[str, List[str]]]:
    """The functions that a formula calls, with their arguments as they stand in it.

    >>> calls_in('=ROUND(ORG.QUOTEKIT.SHOPFUNCTIONS.SELLINGPRICE(A1;"x;)";SUM(B1;B2));1)')
    [('SELLING_PRICE', ['A1', '"x;)"', 'SUM(B1;B2)'])]
    >>> calls_in("=SUM(A1;A2)"), calls_in('="SELLING_PRICE("')
    ([], [])
    """
    found = []
    for match in _CALL.finditer(_without_texts(formula)):
        word = match.group(1).upper()
        name = METHODS.get(word.replace("_", ""))
        if name is not None:
            found.append((name, _split(formula, match.end())))
    return found


def _without_texts(formula: str) -> str:
    """The formula with blanks in place of what stands between quotes, letter for letter."""
    kept, within = [], False
    for letter in formula:
        within = within != (letter == '"')
        kept.append(" " if within or letter == '"' else letter)
    return "".join(kept)


def _split(formula: str, start: int) -> List[str]:
    """The arguments from an opening bracket to the one that closes it."""
    words, deep, begun = [], 0, start
    for at, letter in enumerate(_without_texts(formula)[start:], start):
        if letter in "({":
            deep += 1
        elif letter in ")}" and deep:
            deep -= 1
        elif letter == ")" or (letter == ";" and not deep):
            words.append(formula[begun:at].strip())
            begun = at + 1
            if letter == ")":
                break
    return words


def _argument(document: Any, cell: Any, word: str) -> Any:
    """What an argument holds: a number, a text, a cell or a range; UNKNOWN where it is worked out."""
    if not word:
        return None
    if word.startswith('"') and word.endswith('"') and len(word) > 1:
        return word[1:-1].replace('""', '"')
    if _NUMBER.fullmatch(word):
        return float(word)
    if word.upper() in ("TRUE()", "FALSE()"):
        return 1.0 if word.upper() == "TRUE()" else 0.0
    return _range(document, cell, word)


def _range(document: Any, cell: Any, word: str) -> Any:
    sheet_name, dot, address = word.rpartition(".")
    address = address.replace("$", "")
    if not re.fullmatch(r"[A-Za-z]{1,3}\d+(:[A-Za-z]{1,3}\d+)?", address):
        return UNKNOWN
    try:
        sheets = document.getSheets()
        name = sheet_name.lstrip("$").strip("'").replace("''", "'")
        sheet = sheets.getByName(name) if dot else cell.getSpreadsheet()
        data = sheet.getCellRangeByName(address).getDataArray()
    except Exception:
        return UNKNOWN
    if len(data) == 1 and len(data[0]) == 1:
        value = data[0][0]
        return 0.0 if value == "" and ":" not in address else value
    return tuple(tuple(row) for row in data)


def _alike(one: Sequence[Any], other: Sequence[Any]) -> bool:
    """Whether arguments are the same, as far as they are known; what is left out at the end is nothing."""
    for at in range(max(len(one), len(other))):
        known = other[at] if at < len(other) else None
        said = one[at] if at < len(one) else None
        if known is not UNKNOWN and known != said and not (known in ("", None, 0.0) and said in ("", None, 0.0)):
            return False
    return True

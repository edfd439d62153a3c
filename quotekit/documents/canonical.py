"""What a cell says, in one spelling: the same however a spreadsheet or a library saved it.

LibreOffice writes `TRUE()` for `TRUE`, 1.5 for 1.50 and fifteen digits; openpyxl keeps `_x000D_` and writes dates as
numbers; others turn the case of functions, add `$` or quotes. None of that is a change.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from functools import lru_cache

from quotekit.documents.half_letters import HALF

Content = str | Decimal | int | bool | date | None

_FIRST_DAY = date(1899, 12, 30).toordinal()
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_DROPPED = re.compile("[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f\ufffe\uffff]")
_UNSPOKEN = str.maketrans({"$": "", "'": "", " ": "", "\n": "", "\t": "", "\r": "", "~": ","})
_ODD_NUMBER = re.compile(r"(?<![\w.])(?:[0-9]+\.[0-9]*|\.[0-9]+|[0-9]+(?=E)|[0-9]{16,})(?:E[+-]?[0-9]+)?(?![\w.])")
_TRUTH = re.compile(r"\b(TRUE|FALSE)\(\)")
_NEWER = re.compile(r"_XL(?:FN|WS)\.")
_TRUTHS = {"=TRUE": "b1", "=FALSE": "b0"}


def canonical(content: Content, formula: str = "") -> str:
    """One spelling of a cell; a blank cell is the empty text, and a formula's stored value is never looked at.

    >>> canonical("a  b\\n"), canonical("19.99"), canonical(Decimal("19.990")), canonical(date(2026, 11, 25))
    ('ta b', 't19.99', 'n19.99', 'n46351')
    >>> canonical(True), canonical(1, "=TRUE()"), canonical(""), canonical(3, "=sum($A$1, 1.50)")
    ('b1', 'b1', '', '=SUM(A1,1.5)')
    """
    if formula:
        spelled = canonical_formula(formula)
        return _TRUTHS.get(spelled, spelled)
    if content is None:
        return ""
    if isinstance(content, bool):
        return f"b{int(content)}"
    if isinstance(content, str):
        text = canonical_text(content)
        return f"t{text}" if text else ""
    if isinstance(content, date):
        return f"n{content.toordinal() - _FIRST_DAY}"
    return f"n{canonical_number(content)}"


def canonical_text(text: str) -> str:
    """A text with its white space as single blanks and without control characters or their escapes.

    >>> canonical_text("one\\r\\ntwo_x000D_ \\x01_x0001_three "), canonical_text("_x005F_x0041_")
    ('one two three', 'A')
    """
    if "_x" in text:
        text = decoded(text)
    if not text.isprintable():
        text = HALF.sub("?", _DROPPED.sub("", text))  # as cells are written
    return " ".join(text.split())


def decoded(text: str) -> str:
    """A text with its `_xHHHH_` escapes as characters; also what was escaped twice, as libraries differ there."""
    for _ in range(8):
        plain = _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)
        if plain == text:
            break
        text = plain
    return text


def canonical_number(number: Decimal | int | float | str) -> str:
    """A number with fifteen digits, those every spreadsheet keeps.

    >>> canonical_number(Decimal("100.00")), canonical_number("-0"), canonical_number("0.30000000000000004")
    ('100', '0', '0.3')
    """
    value = float(number)
    return format(value or 0.0, ".15g")


@lru_cache(maxsize=4096)
def canonical_formula(formula: str) -> str:
    """A formula, with its leading `=`, in capitals, without blanks, `$` and the quotes of sheet names.

    >>> canonical_formula("='My sheet'!$b$2 & \\" a  b\\" +if(true(),1E+020, .5)")
    '=MYSHEET!B2&" a b"+IF(TRUE,1e+20,0.5)'
    >>> canonical_formula("{=SUM(A1:A3*2)}")
    '=SUM(A1:A3*2)'
    """
    body = formula.strip()
    if body[:2] == "{=" and body[-1:] == "}":
        body = body[1:-1]
    pieces = body.removeprefix("=").split('"')
    pieces[::2] = [_unspoken(piece) for piece in pieces[::2]]
    pieces[1::2] = [_in_string(piece) for piece in pieces[1::2]]
    return "=" + '"'.join(pieces)


def formula_names_sheet(spelled: str, new: str, old: str) -> str:
    """A canonical formula as it was before a sheet was renamed from `old` to `new`.

    >>> formula_names_sheet("=MY2!A1+XMY2!A1", "My 2", "Quote")
    '=QUOTE!A1+XMY2!A1'
    """
    before, after = (name.upper().translate(_UNSPOKEN) for name in (new, old))
    return re.sub(rf"(?<![\w.]){re.escape(before)}!", lambda _: f"{after}!", spelled)


def _unspoken(piece: str) -> str:
    piece = piece.upper().translate(_UNSPOKEN)
    if "_XL" in piece:
        piece = _NEWER.sub("", piece)
    return _TRUTH.sub(r"\1", _ODD_NUMBER.sub(_as_number, piece))


def _as_number(match: re.Match[str]) -> str:
    return canonical_number(match[0])


def _in_string(piece: str) -> str:
    blank = " " if piece[:1].isspace() else "", " " if len(piece) > 1 and piece[-1:].isspace() else ""
    return f"{blank[0]}{canonical_text(piece)}{blank[1]}"

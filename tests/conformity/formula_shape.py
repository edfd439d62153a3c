"""The shape of a formula: its functions, how deep they nest, how many arguments, which sheets and names it needs.

>>> found = shape("IF(OR(x=1,'My sheet'!A1>2),SUM(A1:B2),0)")
>>> sorted(found.functions), found.depth, found.arguments, found.sheets, found.names
(['IF', 'OR', 'SUM'], 2, 3, ('My sheet',), ('x',))
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

TOKEN = re.compile(
    r"""(?P<text>"(?:[^"]|"")*")"""
    r"""|(?P<quoted>'(?:[^']|'')+'!)"""
    r"""|(?P<sheet>[^\W\d][\w.]*!)"""
    r"""|(?P<error>\#(?:REF!|N/A|NAME\?|DIV/0!|VALUE!|NUM!|NULL!))"""
    r"""|(?P<cell>\$?[A-Z]{1,3}\$?\d{1,7}(?![\w.(]))"""
    r"""|(?P<columns>\$?[A-Z]{1,3}:\$?[A-Z]{1,3}(?![\w.(])|\$?\d+:\$?\d+(?![\w.(]))"""
    r"""|(?P<number>\d+(?:\.\d*)?(?:E[+-]?\d+)?|\.\d+)"""
    r"""|(?P<function>[^\W\d][\w.]*\()"""
    r"""|(?P<name>[^\W\d\\][\w.\\?]*)"""
    r"""|(?P<mark><>|<=|>=|[-+*/^&=<>%:(),;{}\s])""",
    re.VERBOSE,
)
"""What a formula of ours may hold; anything else, such as the brackets of another workbook, is foreign."""


@dataclass
class Shape:
    """What was met on the way."""

    functions: set[str] = field(default_factory=set)
    depth: int = 0
    arguments: int = 0
    sheets: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    errors: tuple[str, ...] = ()
    foreign: str = ""
    """The first text that belongs to no formula of ours."""
    longest_text: int = 0
    unbalanced: bool = False


def shape(formula: str) -> Shape:
    """Read a formula without its leading equals sign, once, from left to right."""
    found, at = Shape(), 0
    open_calls: list[int] = []
    while at < len(formula):
        token = TOKEN.match(formula, at)
        if token is None:
            found.foreign = formula[at : at + 20]
            return found
        at = token.end()
        _take(found, open_calls, token)
    found.unbalanced |= bool(open_calls)
    return found


def _take(found: Shape, open_calls: list[int], token: re.Match[str]) -> None:
    """Note one token; `open_calls` counts the arguments of each open function, 0 for a plain bracket."""
    kind, text = token.lastgroup, token.group()
    if kind == "function":
        found.functions.add(text[:-1].upper())
        open_calls.append(1)
        found.depth = max(found.depth, sum(1 for arguments in open_calls if arguments))
        found.arguments = max(found.arguments, 1)
    elif kind in ("quoted", "sheet"):
        name = text[1:-2].replace("''", "'") if kind == "quoted" else text[:-1]
        found.sheets += (name,)
    elif kind == "name" and text.upper() not in ("TRUE", "FALSE"):
        found.names += (text,)
    elif kind == "error":
        found.errors += (text,)
    elif kind == "text":
        found.longest_text = max(found.longest_text, len(text[1:-1].replace('""', '"')))
    elif kind == "mark":
        _bracket(found, open_calls, text)


def _bracket(found: Shape, open_calls: list[int], text: str) -> None:
    if text == "(":
        open_calls.append(0)
    elif text == ")":
        found.unbalanced |= not open_calls
        if open_calls:
            open_calls.pop()
    elif text == "," and open_calls and open_calls[-1]:
        open_calls[-1] += 1
        found.arguments = max(found.arguments, open_calls[-1])

"""Whose a row of the Rate builder is, by the words of its Line: a burden's pay, a share's hours, a margin's sales.

The words of the kinds (pay, burden, hours, share, sales and the like), percentages and amounts are left out; the words
that remain name a person or a thing. A row means, in this order: the lines of the very same text; where it names
nothing, all lines, if they all have names or none has; the lines with the same name; the line whose name stands whole
within the row's (`Owner health plan`: Owner, but `Helper 2` is not Helper); the lines within whose name that of the
row stands (`Helper`: Shop helper), several of them only where a number or a letter tells them apart (`Employee`:
Employee 1 and Employee 2). Where both of the last fit, and of anything else, it can't be told, and whoever asks says
what to do.
Source: shop policy; nothing is guessed from a likeness of spelling.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from difflib import get_close_matches
from typing import TypeVar

Line = TypeVar("Line")
Words = frozenset[str]

_SAID_OF_EVERY_ROW = frozenset(
    """pay paid wage salary salarie payroll burden benefit tax taxe cost overhead clock hour hr time share at the
    bench efficiency efficient productive productivity part contribution contribute sale sold turnover revenue gross
    margin markup profit percent percentage pct per cent rate year yearly annual annually week wk month of on for
    to in and with plus total all both each everybody everyone""".split()
)
_UNIT = r"(?:%|per ?cent|pct|h\b|hrs?\b|hours?\b|wks?\b|weeks?\b|x\b)"
_AMOUNT = re.compile(rf"\d[\d.,]*\s*{_UNIT}|\bx\s*\d[\d.,]*\s*{_UNIT}?|\ba (?:year|month|week)\b|\d{{3,}}|\d+[.,]\d+")
_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)?")


def words_of(line: str) -> Words:
    """The words of a line that say whose it is.

    >>> sorted(words_of("Owner's burden, 15 %")), sorted(words_of("Employee 2 wages 1,000 h x 19"))
    (['owner'], ['2', 'employee'])
    >>> sorted(words_of("Share at the bench")), sorted(words_of("Owner 48 wk x 42 h"))
    ([], ['owner'])
    """
    found = (_single(word) for word in _WORD.findall(_AMOUNT.sub(" ", line.casefold())))
    return frozenset(word for word in found if word and word not in _SAID_OF_EVERY_ROW)


def says_sales(line: str) -> bool:
    """True where a line says that its amount is what parts sold for.

    >>> says_sales("Parts sales"), says_sales("Parts"), says_sales("Margin on parts sold")
    (True, False, False)
    """
    words = _all_words(line)
    return bool(words & {"sale", "sold", "turnover", "revenue"}) and not words & {"margin", "profit", "contribution"}


def says_contribution(line: str) -> bool:
    """True where a line says that its amount is what parts leave."""
    return bool(_all_words(line) & {"contribution", "contribute", "leave", "left"}) and not says_sales(line)


def says_markup(line: str) -> bool:
    """True where a line speaks of markup, which is on cost, and not of margin, which is on price."""
    return bool(_all_words(line) & {"markup", "mark"})


def says_sum(line: str) -> bool:
    """True where a line says that its amount is a sum of others.

    >>> says_sum("Total overhead"), says_sum("SUM"), says_sum("Summer help")
    (True, True, False)
    """
    return bool(_all_words(line) & {"sum", "total", "subtotal"})


def meant_by(line: str, others: Sequence[Line], name: Callable[[Line], str]) -> list[Line]:
    """The lines that a row means: all of them where it names nobody in particular, none where that can't be told.

    >>> meant_by("Owner burden", ["Owner pay", "Owner's son", "Helper"], str)
    ['Owner pay']
    >>> meant_by("Helper", ["Owner", "Shop helper"], str), meant_by("Burden", ["Owner", "Helper"], str)
    (['Shop helper'], ['Owner', 'Helper'])
    >>> meant_by("Employee", ["Employee 1", "Employee 2"], str), meant_by("Son", ["Owner"], str)
    (['Employee 1', 'Employee 2'], [])
    """
    words = words_of(line)
    named = [(other, words_of(name(other))) for other in others]
    alike = [other for other in others if text_key(name(other)) == text_key(line)]
    if alike:
        return alike
    if not words:
        uniform = len({bool(theirs) for _, theirs in named}) == 1
        return list(others) if uniform else []
    within, around = _whole_within(words, named), _around(words, named)
    return _same(words, named) or ([] if within and around else within or around)


def names_nobody(line: str) -> bool:
    """True where no word of a line says whose it is."""
    return not words_of(line)


def misspelt(line: str, others: Iterable[str]) -> str:
    """The line that a row may mean by a word spelled a little differently, or empty.

    >>> misspelt("Employe burden", ["Owner", "Employee"]), misspelt("Health plan", ["Owner", "Employee"])
    ('Employee', '')
    """
    known = {word: other for other in others for word in sorted(words_of(other))}
    close = (get_close_matches(word, known, n=1) for word in sorted(words_of(line)))
    return next((known[found[0]] for found in close if found), "")


def _same(words: Words, named: list[tuple[Line, Words]]) -> list[Line]:
    return [other for other, theirs in named if theirs == words]


def _whole_within(words: Words, named: list[tuple[Line, Words]]) -> list[Line]:
    """The lines whose whole name stands among the words: the longest name, if it is one and no other of its kind."""
    within = [(other, theirs) for other, theirs in named if theirs and theirs < words]
    longest = max((len(theirs) for _, theirs in within), default=0)
    names = {theirs for _, theirs in within if len(theirs) == longest}
    if len(names) != 1 or any(map(_counts, words - next(iter(names)))):
        return []
    return [other for other, theirs in within if theirs in names]


def _around(words: Words, named: list[tuple[Line, Words]]) -> list[Line]:
    """The lines within whose name all the words stand: one name, or several told apart by a number or a letter."""
    around = [(other, theirs) for other, theirs in named if words < theirs]
    apart = all(_counts(word) for _, theirs in around for word in theirs - words)
    names = {theirs for _, theirs in around}
    return [other for other, _ in around] if len(names) == 1 or apart else []


def _counts(word: str) -> bool:
    """True for a number or a letter, which tells two of a kind apart."""
    return len(word) == 1 or word.isdecimal()


def text_key(line: str) -> str:
    """The text of a line, whatever its spaces and its case.

    >>> text_key("Shop  Rent ") == text_key("shop rent")
    True
    """
    return "".join(line.split()).casefold()


def _all_words(line: str) -> Words:
    return frozenset(_single(word) for word in _WORD.findall(line.casefold()))


def _single(word: str) -> str:
    """A word without a possessive, and in the singular as far as an s at its end shows it."""
    word = re.sub(r"['’]s?$", "", word)
    return word[:-1] if len(word) > 2 and word.endswith("s") and not word.endswith("ss") else word

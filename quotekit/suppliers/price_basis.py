"""How many units a price is for, where a header (`Net per 100`) or the unit of a row (`C`, `PK10`) says it.

A price for a hundred that is taken for one is wrong by a hundred times, so that what is found is told, never silent.
Common practice of wholesalers, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from quotekit.suppliers.date_texts import QUANTITY_WORDS, read_quantity_words

_WORDS = {word: units for word, units in QUANTITY_WORDS.items() if units > 1 and len(word) > 2} | {
    "hundert": 100, "honderd": 100, "hundred": 100, "dutzend": 12, "dozijn": 12, "douzaine": 12, "docena": 12,
}  # fmt: skip
_BASIS = re.compile(
    r"(?:\b(?:per|pro|je|par|pour|por|cada|p)\b[\s./(]*|(?<![0-9 ])\s*/\s*)"
    rf"(?:([0-9]{{1,7}})(?![0-9.,]|\s*[+%-])|({'|'.join(sorted(_WORDS, key=len, reverse=True))})\b)"
)
_YEARS = range(1990, 2100)
_METRE = "m"


def units_in_header(header: str) -> int:
    """How many units a header says its prices are for; one where it says nothing.

    >>> units_in_header("Nettopreis je 100 Stk"), units_in_header("Price/dozen"), units_in_header("Net 10+")
    (100, 12, 1)
    """
    found = _BASIS.search(header.casefold())
    if found is None:
        return 1
    units = int(found[1]) if found[1] else _WORDS[found[2]]
    return 1 if units in _YEARS else max(1, units)


def units_in_unit(unit: str) -> int:
    """How many a row's unit stands for: one for `EA`, `ft`, `m` (metres; a thousand is `M`) and what is not known.

    >>> units_in_unit("C"), units_in_unit("PK10"), units_in_unit("EA"), units_in_unit("%")
    (100, 10, 1, 100)
    """
    return 1 if unit == _METRE else read_quantity_words(unit) or 1


def units_of_several(units: Iterable[str]) -> list[str]:
    """Those of some units that stand for several."""
    return [unit for unit in units if units_in_unit(unit) > 1]

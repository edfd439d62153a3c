"""What a declared column, sheet or field says: header, kind of cell, whether it is required, and one line of help.

The declarations themselves are in the `*_columns.py` files beside this one, and all together in `columns.py`.
"""

from __future__ import annotations

from typing import Literal

from quotekit.record import record

Kind = Literal[
    "text",
    "code",
    "codes",
    "quantities",
    "number",
    "quantity",
    "hours",
    "money",
    "whole",
    "years",
    "life",
    "percent",
    "markup",
    "date",
    "yes/no",
    "word",
    "words",
    "sides",
    "saving",
    "credit",
    "amount",
]
"""What a cell holds. number: any sign; quantity and years: above zero; life: years from 0.01; hours, money: not
negative; whole: a whole number, not negative; codes, words, sides: a list separated by `;`; saving: an amount, or a
percent by the row's Saving; credit: a word or an amount; amount: money, hours or a percentage, by the row's Kind."""

NUMBERS: frozenset[Kind] = frozenset({"number", "quantity", "hours", "money", "whole", "years", "life"})
"""Kinds that hold nothing but a number as it is."""

EITHER: frozenset[Kind] = frozenset({"saving", "credit", "amount"})
"""Kinds that hold a number, a percentage or, some of them, a word."""

_PERCENTAGES: frozenset[Kind] = frozenset({"percent", "markup"})
AMOUNTS = NUMBERS | EITHER | _PERCENTAGES
"""Kinds that hold a number, where a blank could be taken for zero."""


@record
class Column:
    """One column. `words` are the allowed words; `refers_to` the sheets whose codes may stand here.

    `if_blank` says what to do where a required cell is empty, if filling it in is not all there is to say.
    `field` names the record's field where it is not the header in lower case with underscores.
    """

    header: str
    kind: Kind = "text"
    required: bool = False
    help: str
    words: tuple[str, ...] = ()
    refers_to: tuple[str, ...] = ()
    field: str = ""
    if_blank: str = ""


@record
class SheetColumns:
    """One sheet. `needed` sheets must be there."""

    name: str
    help: str
    columns: tuple[Column, ...]
    needed: bool = False

    @property
    def required(self) -> tuple[Column, ...]:
        """The columns without which the sheet cannot be read."""
        return tuple(column for column in self.columns if column.required)


@record
class Field:
    """One row of a two-column sheet: a shop setting or a job field. `default` is what a blank means, as text."""

    name: str
    kind: Kind = "text"
    required: bool = False
    help: str
    default: str = ""
    words: tuple[str, ...] = ()
    refers_to: tuple[str, ...] = ()


SEVERITY_WORDS = ("safety", "needed", "advised", "watch")
KIND_WORDS = ("repair", "replace", "upgrade")
FAILS_WHEN_WORDS = ("above", "below")
NEW_OR_USED_WORDS = ("new original", "new other maker", "used", "rebuilt")
SAVING_WORDS = ("hours off", "labour amount off", "parts amount off", "percent off parts")
AIM_WORDS = ("lowest price", "least to own", "longest life")

"""What may stand in a cell of a declared column or field, in words, and how a value that was read is told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from quotekit.model.shop_book import Quantity
from quotekit.workbook.column import AMOUNTS, Column, Field, Kind
from quotekit.workbook.names import or_list

WORDS: Mapping[Kind, str] = {
    "text": "a text",
    "code": "one code",
    "codes": "codes, separated by semicolons",
    "quantities": "codes with how many, such as SEAL-19 x 2; GASKET",
    "number": "a number",
    "quantity": "a number above zero",
    "hours": "hours as a plain number, such as 1.5; not negative",
    "money": "an amount of money as a plain number; not negative",
    "whole": "a whole number, not negative",
    "years": "years, above zero",
    "life": "years, from 0.01",
    "percent": "a percentage up to 100 %, such as 45%",
    "markup": "a percentage up to 1000 %, such as 45%",
    "date": "a date",
    "yes/no": "Yes or No",
    "word": "one word",
    "words": "words, separated by semicolons",
    "sides": "a position such as left, or both, all, or a list",
    "saving": "a percentage, hours or an amount, by the row's Saving",
    "credit": "a word or an amount",
    "amount": "money, hours or a percentage, by the row's Kind",
}


def what_belongs(declared: Column | Field) -> str:
    """Kind, whether it must be filled in, the words it may be, where its codes are from, what a blank means.

    >>> what_belongs(Field(name="Queue days", kind="whole", help="", default="0"))
    'A whole number, not negative. Left blank it counts as 0.'
    """
    kind = WORDS[declared.kind]
    if declared.words:
        kind = f"{kind}: {or_list(declared.words)}" if declared.kind in ("word", "words", "credit") else kind
    said = [f"{kind[:1].upper()}{kind[1:]}."]
    if declared.refers_to and declared.kind in ("code", "codes", "quantities", "text"):
        sheets = or_list([f"`{sheet}`" for sheet in declared.refers_to])
        said.append(f"From the sheet {sheets}.")
    default = declared.default if isinstance(declared, Field) else ""
    if declared.required:
        said.append("It must be filled in.")
    elif default:
        said.append(f"Left blank it counts as {default}.")
    elif declared.kind in AMOUNTS:
        said.append("It may be left blank, which is not the same as 0.")
    else:
        said.append("It may be left blank.")
    return " ".join(said)


def value_words(value: object) -> str:
    """A value that was read, as people write it.

    >>> value_words(Decimal("7.90")), value_words(True), value_words((Quantity(code="SEAL", quantity=Decimal(2)),))
    ('7.9', 'Yes', 'SEAL x 2')
    >>> value_words(Decimal("0.45"), ) , value_words(("A", "B"))
    ('0.45', 'A; B')
    """
    if isinstance(value, bool):
        return "Yes" if value else "No"
    if isinstance(value, Decimal):
        return f"{value.normalize():f}" if value else "0"
    if isinstance(value, Quantity):
        return f"{value.code} x {value_words(value.quantity)}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "; ".join(value_words(one) for one in value) or "nothing"
    return str(value)


def read_words(value: object, kind: Kind, *, percent: bool = False) -> str:
    """A value as it is read in a cell of a kind: a share of one as the percentage that is meant.

    >>> read_words(Decimal("0.45"), "markup"), read_words(Decimal("2"), "hours")
    ('45 %', '2')
    """
    if isinstance(value, Decimal) and (kind in ("percent", "markup") or percent):
        return f"{value_words(value * 100)} %"
    return value_words(value)

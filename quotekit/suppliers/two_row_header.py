"""Headers over two rows: `Dealer` above `Net`, `Artikel-` above `nummer`, or a merged `Prices` above its columns.

Two rows are one header where together they name more fields than the one that names most by itself. What stands below
the header counts from the lower row; a column is named by its words there, or by its place.
"""

from __future__ import annotations

from collections.abc import Sequence

from quotekit.suppliers.find_header import find_header, named_fields

_LOOKED_AT = 60
_FEWEST = 2


def find_header_rows(records: Sequence[Sequence[str]]) -> tuple[int, list[str], str]:
    """The lower row of the header (from 1; 0 where there is none), its columns in words, and why.

    >>> find_header_rows([["Part", "Dealer"], ["Number", "Net"], ["A1", "3.00"]])
    (1, ['Part', 'Dealer'], 'it names number, cost')
    >>> find_header_rows([["Artikel-", "Einkaufs-"], ["nummer", "preis"], ["A1", "3,00"]])
    (2, ['Artikelnummer', 'Einkaufspreis'], 'with row 1 it names number, cost')
    """
    row, why = find_header(records)
    alone = [text.strip() for text in records[row - 1]] if row else []
    best, most = (row, alone, why), len(named_fields(alone)) if why.startswith("it names") else 0
    near = range(max(1, row - 1), row + 1) if row else range(1, min(_LOOKED_AT, len(records)))
    for upper in near:
        words = _joined(records, upper)
        fields = named_fields(words)
        if len(fields) > max(most, 1):
            best, most = (upper + 1, words, f"with row {upper} it names {', '.join(fields)}"), len(fields)
    return best


def _joined(records: Sequence[Sequence[str]], upper: int) -> list[str]:
    """The words of a row and the one below it, column by column; none where one of them is no header."""
    both = [[text.strip() for text in each] for each in records[upper - 1 : upper + 1]]
    if len(both) < 2 or any(len([text for text in each if text]) < _FEWEST or not _in_words(each) for each in both):
        return []
    width = max(map(len, both))
    above, below = (each + [""] * (width - len(each)) for each in both)
    return [_word(one, other) for one, other in zip(above, below, strict=True)]


def _in_words(record_: Sequence[str]) -> bool:
    """Whether a row has no number: one is a row of the table, also where its price is missing."""
    return not any(any(map(str.isdigit, text)) for text in record_)


def _word(upper: str, lower: str) -> str:
    return upper.removesuffix("-") + lower if upper.endswith("-") and lower else f"{upper} {lower}".strip()

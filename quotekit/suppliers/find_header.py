"""Where a list's table begins, and what parts its fields: from its first lines.

A separator is known by giving nearly all lines the same number of fields. The header is the row that names the most
fields in words; titles and remarks may stand above it.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Sequence

from quotekit.record import record
from quotekit.suppliers.delimited import Layout, fields_of
from quotekit.suppliers.guess_columns import is_amount
from quotekit.suppliers.header_words import WORDS, header_score, is_price_header

SEPARATORS = ("\t", ";", ",", "|")
_LINES = 400
_LOOKED_AT = 60
_ENOUGH = 60


@record
class Separated:
    """A separator, how many fields most lines have, and why."""

    separator: str
    fields: int
    reason: str


def find_separator(lines: Sequence[str]) -> Separated | None:
    """The separator of a list's lines; none where no character parts them into columns.

    >>> find_separator(["Number;Price", "A-1;12,50", "A-2;3,00"]).separator
    ';'
    """
    best: tuple[float, int] = (0.0, 0)
    found = None
    for separator in SEPARATORS:
        counts = Counter(len(record) for record in split_lines(lines, separator) if any(record))
        wide = {fields: rows for fields, rows in counts.items() if fields > 1}
        if not wide:
            continue
        fields, rows = max(wide.items(), key=lambda each: (each[1], each[0]))
        share = rows / sum(counts.values())
        if (share, fields) > best and share > 0.5:
            best = (share, fields)
            shown = {"\t": "a tab", ";": "a semicolon", ",": "a comma", "|": "a bar"}[separator]
            reason = f"{shown} parts {rows} of {sum(counts.values())} lines looked at into {fields} fields"
            found = Separated(separator=separator, fields=fields, reason=reason)
    return found


def first_lines(data: bytes, most: int) -> list[str]:
    """The lines of the first so many bytes of a list, the last of them not cut.

    >>> first_lines(b"a;b\\nc;d\\ne;f", 6)
    ['a;b']
    """
    head = data[:most]
    return lines_of(head if len(data) <= most else head[: head.rfind(b"\n") + 1] or head)


def lines_of(head: bytes) -> list[str]:
    """Lines as spreadsheets part them: other characters that Python takes for line ends are none.

    >>> lines_of(b"a;b\\r\\nc\\x0bd")
    ['a;b', 'c\\x0bd']
    """
    lines = head.decode("utf-8", errors="replace").split("\n")
    return [line.removesuffix("\r") for line in (lines[:-1] if lines[-1] == "" else lines)]


def split_lines(lines: Sequence[str], separator: str) -> list[list[str]]:
    """Lines as records, quotes counted; where they are wrong, each line by itself."""
    some = list(lines[:_LINES])
    try:
        return list(csv.reader((f"{line}\n" for line in some), delimiter=separator))
    except csv.Error:
        layout = Layout(separator=separator, quoted=False, fields=0)
        return [fields_of(line, layout) for line in some]


def find_header(records: Sequence[Sequence[str]]) -> tuple[int, str]:
    """The header's row (from 1) and why; 0 where there is none.

    >>> find_header([["Price list 2026"], [], ["Part No", "Description", "Net"], ["A1", "Belt", "3.00"]])
    (3, 'it names number, cost, description')
    """
    best, at, named = 1, 0, [""]
    for row, record_ in enumerate(records[:_LOOKED_AT], start=1):
        fields = named_fields(record_)
        if len(fields) > best:
            best, at, named = len(fields), row, fields
    if at:
        return at, f"it names {', '.join(named)}"
    for row, record_ in enumerate(records[:_LOOKED_AT], start=1):
        after = next((later for later in records[row:] if len(later) == len(record_)), None)
        if (
            len(record_) > 1
            and all(record_)
            and after
            and not any(map(is_amount, record_))
            and any(map(is_amount, after))
        ):
            return row, "it holds words alone, and amounts stand below it"
    return 0, "no row names the columns"


def named_fields(record_: Sequence[str]) -> list[str]:
    """Fields that a row names, each by another of its texts."""
    texts = {text.strip() for text in record_ if 0 < len(text.strip()) <= 60}
    if any(map(is_amount, texts)):
        return []
    named = [field for field in WORDS if any(header_score(text, field)[0] >= _ENOUGH for text in texts)]
    if "cost" not in named and "list_price" not in named and any(map(is_price_header, texts)):
        named.append("a price")
    return named[: len(texts)]

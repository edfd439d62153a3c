"""Cells as a person reads them in one text: `Parts!D14; Parts!E2:E4; job Job!B8`."""

from __future__ import annotations

import re

from quotekit.documents.column_letters import column_letters
from quotekit.workbook.addresses import column_number

_ONE = re.compile(r"\s*(?:(.+)!)?\$?([A-Z]{1,3})\$?([0-9]+)(?::\$?([A-Z]{1,3})\$?([0-9]+))?\s*")
_MOST = 100_000


def cells_in(text: str) -> frozenset[str]:
    """Every single cell of a text; a cell without a sheet is on the sheet before it.

    >>> sorted(cells_in("Parts!D14, D16; job Job!B8:B9")), cells_in("default")
    (['Parts!D14', 'Parts!D16', 'job Job!B8', 'job Job!B9'], frozenset())
    """
    found: set[str] = set()
    sheet = ""
    for piece in re.split(r"[;,\n]", text):
        match = _ONE.fullmatch(piece)
        if match is None:
            continue
        sheet = match[1] or sheet
        first, top = column_number(match[2]), int(match[3])
        last, bottom = column_number(match[4] or match[2]), int(match[5] or match[3])
        if (last - first + 1) * (bottom - top + 1) <= _MOST:
            found |= {
                f"{sheet}!{column_letters(column)}{row}"
                for column in range(first, last + 1)
                for row in range(top, bottom + 1)
            }
    return frozenset(found)

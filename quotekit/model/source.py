"""Where a record came from: the file, the sheet, the row and the column of each of its cells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from quotekit.problems import Place
from quotekit.record import record


@record
class Source:
    """A row of a sheet; `columns` gives the column letter of each known header.

    >>> Source(file="book.xlsx", sheet="Parts", row=14, columns={"Pack cost": "D"}).place("Pack cost")
    Place(file='book.xlsx', sheet='Parts', cell='D14')
    """

    file: str = ""
    sheet: str = ""
    row: int = 0
    columns: Mapping[str, str] = field(default_factory=dict, compare=False)

    def place(self, column: str = "") -> Place:
        """The cell of a column in this row; the row's first known cell when the column is absent."""
        letter = self.columns.get(column) or next(iter(self.columns.values()), "")
        return Place(self.file, self.sheet, f"{letter}{self.row}" if letter and self.row else "")


NOWHERE = Source()

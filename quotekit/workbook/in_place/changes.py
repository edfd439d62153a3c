"""What is to be changed; what was changed is told by the records of `model/changed_file`."""

from __future__ import annotations

from typing import NamedTuple

from quotekit.model.changed_file import CalculatedCell as CalculatedCell
from quotekit.model.changed_file import ChangedCell as ChangedCell
from quotekit.model.changed_file import ChangedFile as ChangedFile
from quotekit.workbook.in_place.contents import Content, NewValue


class Change(NamedTuple):
    """A new value for a cell."""

    sheet: str
    cell: str
    value: NewValue | Content
    """A `Content` goes in as it is: how what stood there is put back."""

"""Names of the copies that are kept of a workbook before cells of it are changed.

A copy lies beside the workbook and looks like it in all but its name. Who looks for the shop book of a folder passes
it over by its name alone: a spreadsheet program may delete the workbook for a moment while it saves, and the copy would
be the only one there, with the old prices. Whoever means a copy names it.

    shop book.xlsx  ->  shop book before 2026-12-01.xlsx, shop book before 2026-12-01 (2).xlsx, ...
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

_COPY = re.compile(r".+ before \d{4}-\d{2}-\d{2}(?: \(\d+\))?\.[^.]+")


def copy_paths(path: Path, day: date) -> Iterator[Path]:
    """Where a copy of a workbook may be kept, the plain name first.

    >>> [path.name for path, _ in zip(copy_paths(Path("book.xlsx"), date(2026, 12, 1)), range(2))]
    ['book before 2026-12-01.xlsx', 'book before 2026-12-01 (2).xlsx']
    """
    for again in ("", *(f" ({number})" for number in range(2, 100_000))):
        yield path.with_name(f"{path.stem} before {day.isoformat()}{again}{path.suffix}")


def is_kept_copy(name: str) -> bool:
    """Whether a file has the name of a copy that was kept.

    >>> [is_kept_copy(f"book {words}.xlsx") for words in ("before 2026-12-01 (2)", "before Christmas", "2026-12-01")]
    [True, False, False]
    """
    return _COPY.fullmatch(name) is not None

"""What is said of a pricing, and which workbook each of its problems is in. No window, no office."""

from __future__ import annotations

import os
from typing import Dict, List

Problem = Dict[str, str]


def priced_from(unsaved: List[str], book: str) -> str:
    """What was priced, for a person.

    >>> priced_from([], "shop book.xlsx")
    'Priced as saved, with shop book.xlsx.'
    >>> priced_from(["job 117.xlsx"], "shop book.xlsx")
    'Priced as on the screen, with shop book.xlsx. Save job 117.xlsx to keep what was priced.'
    """
    if not unsaved:
        return f"Priced as saved, with {book}."
    return f"Priced as on the screen, with {book}. Save {' and '.join(unsaved)} to keep what was priced."


def warned(many: int) -> str:
    """That there are warnings.

    >>> warned(1), warned(12)
    ('1 warning: worth a look before the quote goes out.', '12 warnings: worth a look before the quote goes out.')
    """
    return f"{many} warning{'' if many == 1 else 's'}: worth a look before the quote goes out."


def owned(problems: List[Problem], document: str, book: str) -> List[Problem]:
    """Each problem with the workbook it is in, `document` or `book`; of neither it is left empty.

    >>> owned([{"file": "job.xlsx"}, {"file": "a disk"}], "job.ods", "shop book.xlsx")
    [{'file': 'job.xlsx', 'of': 'document'}, {'file': 'a disk', 'of': ''}]
    """
    stems = {os.path.splitext(book)[0]: "book", os.path.splitext(document)[0]: "document"}
    return [{**one, "of": one.get("of") or stems.get(os.path.splitext(one["file"])[0], "")} for one in problems]


def outdated(what: str, newer: List[str]) -> str:
    """That a costing may no longer hold.

    >>> outdated("job 117, version 1", ["job 117.xlsx", "unsaved changes"])
    'The costing of job 117, version 1 is older than job 117.xlsx and the unsaved changes: figures may differ by now.'
    """
    named = ["the unsaved changes" if one == "unsaved changes" else one for one in newer]
    return f"The costing of {what} is older than {' and '.join(named)}: figures may differ by now."

"""Shows the problems of a pricing in the list of the job's problems, on their cells, with what to do."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Dict, List, Optional

from .checked import checked, title_of
from .copies import path_of
from .priced_words import owned
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .shop_book_for import ShopBook

Problem = Dict[str, str]


def show_problems(desk: Desk, document: Any, book: Optional[ShopBook], problems: List[Problem]) -> None:
    """The problems of an open job and its shop book."""
    name = os.path.basename(path_of(document) or "") or title_of(document)
    listed = owned(problems, name, book.name if book is not None else "")
    if any(one["of"] for one in listed):
        checked(desk, document, book).show(listed)
    else:
        words = [f"{os.path.basename(one['file'])}: {one['message']}".lstrip(": ") for one in listed]
        tell(desk, "\n".join(words), "\n".join(dict.fromkeys(one["remedy"] for one in listed)))

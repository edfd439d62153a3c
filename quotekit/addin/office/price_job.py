"""Menu: price this job. The quote and the costing are written beside it, and the quote opens.

What is on the screen is priced, saved or not. An earlier quote is written over after a yes alone; where it is open here
without changes it is closed and opened anew at the same place.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Dict, List, Optional, Set

from .copies import Copies, path_of, same_path
from .kind_of import BOOK, COSTING, JOB, OTHER, QUOTE, kind_of
from .open_files import Closed, close_all, open_at
from .priced_window import show_priced
from .question import Answer, ask
from .shop_book_for import ShopBook, with_shop_book
from .show_problems import show_problems
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

NO_JOB = {
    BOOK: "This is the shop book.",
    QUOTE: "This is a quote for a customer.",
    COSTING: "This is a costing.",
    OTHER: "This workbook is no job: it has no sheet named Job.",
}
NEVER_SAVED = (
    "This job was never saved, so there is no folder for its quote.",
    "Save it (where its photos are, if it has some), then price it.",
)
NO_RESULT = "no-stored-result"
"""A formula that was never worked out in the file; on the screen it was."""

_agreed: Set[str] = set()
"""Files that may be written over without being asked again, as the person said, until the office ends."""


def run(desk: Desk) -> None:
    """Price the job in front."""
    document = desk.document
    kind = kind_of(document) if document is not None else OTHER
    if document is None or kind != JOB:
        tell(desk, NO_JOB[kind], "Open the job, then price it.", title="Price this job")
    else:
        price(desk, document)


def price(desk: Desk, document: Any) -> None:
    """Price an open job."""
    if path_of(document) is None:
        tell(desk, *NEVER_SAVED, title="Price this job")
        return
    with_shop_book(desk, document, lambda book: Pricing(desk, document, book).start())


class Pricing:
    """One pricing of a job, from the click to the open quote."""

    def __init__(self, desk: Desk, document: Any, book: ShopBook) -> None:
        self.desk, self.document, self.book = desk, document, book
        self.unsaved: List[str] = []
        self._closed: List[Closed] = []
        self._copied = False

    def start(self, copied: bool = False) -> None:
        """Price it; `copied` reads the screen also where the file on the disk is the same."""
        copies = Copies()
        self._copied = copied
        try:
            job = copies.of(self.document) if copied else copies.as_it_stands(self.document)
            book = self.book.copy(self.desk, copies)
        except OSError as fault:
            copies.away()
            tell(self.desk, f"{fault}.", "Open it, then price the job again.", title="Price this job")
            return
        opened = self.book.document
        self.unsaved = [one.getTitle() for one in (self.document, opened) if one is not None and one.isModified()]

        def done(answer: Line) -> None:
            copies.away()
            self._answered(answer)

        words = {"do": "price", "document": job, "book": book}
        self.desk.ask(words, "Pricing the job", done, self.document, otherwise=copies.away)

    def _answered(self, answer: Line) -> None:
        if "problems" in answer:
            if not self._copied and any(one["code"] == NO_RESULT for one in answer["problems"]):
                self.start(copied=True)
            else:
                self._open_again()
                show_problems(self.desk, self.document, self.book, answer["problems"])
        elif answer["done"]["token"] is None:
            self.start()
        elif answer["done"]["in_the_way"]:
            self._ask_to_write_over(answer["done"])
        else:
            self._written(answer["done"])

    def _ask_to_write_over(self, done: Dict[str, Any]) -> None:
        """There is a quote of this version already, or it stands open."""
        paths = [one["path"] for one in done["in_the_way"]]
        opened = open_at(self.desk, paths)
        here = {same_path(path_of(one) or "") for one in opened}
        elsewhere = [
            os.path.basename(one["path"])
            for one in done["in_the_way"]
            if one["code"] == "output-open" and same_path(one["path"]) not in here
        ]
        if elsewhere:
            self._open_again()
            message = f"{_listed(elsewhere)} {'is' if len(elsewhere) == 1 else 'are'} open in another program."
            tell(self.desk, message, "Close it there, then price the job again.", title="Price this job")
            return
        changed = [one.getTitle() for one in opened if one.isModified()]
        if not changed and all(same_path(path) in _agreed for path in paths):
            self._write_over(done["token"], opened)
        else:
            self._ask(done["token"], paths, opened, changed)

    def _ask(self, token: int, paths: List[str], opened: List[Any], changed: List[str]) -> None:
        there = "\n".join(f"    {os.path.basename(path)}" for path in paths)
        words = f"This version was priced before. Beside the job there is already:\n{there}\nWrite over?"
        if changed:
            words += f"\n\n{_listed(changed)}: open here, with changes that were not saved. They would be lost."

        def yes() -> None:
            if getattr(window, "tick_was", False):
                _agreed.update(same_path(path) for path in paths)
            self._write_over(token, opened)

        again = "Don't ask again for this version until the office ends"
        window = ask(self.desk, "Price this job", words, [Answer("Write over", yes)], tick="" if changed else again)

    def _write_over(self, token: int, opened: List[Any]) -> None:
        self._closed = close_all(opened)
        words = {"do": "price", "token": token, "replace": True}
        self.desk.ask(words, "Writing the files", self._answered, self.document, otherwise=self._open_again)

    def _open_again(self, but: Optional[str] = None) -> Optional[Any]:
        """What was closed is open again; gives the one that stands first in the way, the quote."""
        closed, self._closed = self._closed, []
        quote = None
        for one in sorted(closed, key=lambda one: same_path(one.path) == same_path(but or "")):
            if os.path.isfile(one.path):
                document = one.open_again(self.desk)
                quote = document if but and same_path(one.path) == same_path(but) else quote
        return quote

    def _written(self, done: Dict[str, Any]) -> None:
        path = done["quote"]
        quote = self._open_again(but=path)
        if path is not None and quote is None:
            self.desk.open(path)
        show_priced(self, done)


def _listed(names: List[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)

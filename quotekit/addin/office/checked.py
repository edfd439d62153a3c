"""A workbook that was checked: its problems in a list and on its cells, found again whenever it has come to rest.

A job is checked with its shop book, and what is wrong in either is told where it is. It is looked after until its list
is closed and no note is left on a cell.
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any, Dict, List, Optional, Sequence, Tuple

from .being_typed import finish_typing
from .copies import Copies, path_of
from .jump import open_document, to_cell
from .open_workbooks import OpenWorkbook, workbook_of
from .problem_list import ProblemList
from .problem_words import Problem, by_spot, errors_first
from .resting import QUIET
from .shop_book_for import ShopBook
from .timer import after
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

TRIES_AGAIN = 2.0
"""Seconds after which a check that found no engine is asked for once more."""

LONGEST_PAUSE = 15.0


class Checked:
    """The check of one open workbook, a shop book or a job with its shop book."""

    def __init__(self, desk: Desk, document: Any, book: Optional[ShopBook]) -> None:
        self.desk, self.document, self.book = desk, document, book
        self.uid, self.name = document.RuntimeUID, title_of(document)
        self.problems: List[Problem] = []
        self.list = ProblemList(self)
        self._busy = self._again = self._failed = False
        workbook_of(desk, document).when_closed.append(self.end)

    @property
    def notes(self) -> Any:
        """The notes of the workbook itself."""
        return workbook_of(self.desk, self.document).notes

    def check(self) -> None:
        """Check it as a person asks for it: what is going on is shown, and can be stopped."""
        finish_typing(self.desk)
        copies = Copies()
        try:
            words = self._words(copies)
        except OSError as fault:
            copies.away()
            tell(self.desk, f"{fault}.", "Open it, then check again.")
            return
        seen = self._seen()

        def done(answer: Line) -> None:
            copies.away()
            self._arrived(answer, seen, shown=True)

        self.desk.ask(words, f"Checking {self.name}", done, self.document, otherwise=copies.away)

    def look_again(self) -> None:
        """Check it again without a word; once it is clear that nothing is being done to it."""
        if self._busy:
            self._again = True
            return
        self._busy, self._again = True, False
        copies, start = Copies(), time.monotonic()
        try:
            words = self._words(copies)
        except Exception:  # the shop book was moved, or the disk is full: what was found before still stands
            copies.away()
            self._busy = False
            return
        seen = self._seen()
        pause = min(LONGEST_PAUSE, max(QUIET, 3 * (time.monotonic() - start)))
        for workbook in self._workbooks():
            workbook.resting.pause = pause

        def done(answer: Line) -> None:
            copies.away()
            self._busy = self._failed = False
            if self._again:
                self.look_again()
            elif "done" in answer and seen == self._seen():  # else it is looked at again once it rests
                self._arrived(answer, seen)

        def failed() -> None:
            copies.away()
            self._busy = False
            if not self._failed:
                self._failed = True
                after(self.desk, TRIES_AGAIN, self.look_again)

        self.desk.ask_quietly(words, done, failed)

    def show(self, problems: Sequence[Problem], taxes: Sequence[str] = ()) -> None:
        """List these problems, found by another action, and put them on their cells."""
        self.problems = errors_first(problems)
        self._spread()
        self.list.refresh(taxes, open_it=True)

    def switch_notes(self, on: bool) -> None:
        """Notes on the cells of its workbooks, or none."""
        for workbook in self._workbooks():
            workbook.notes.switch(on)

    def go(self, problem: Problem) -> str:
        """To the cell of a problem, in the workbook that it is in; that one is opened where it is not."""
        document = self._document_of(problem)
        if document is None:
            if self.book is None or self.book.path is None or problem.get("of") != "book":
                return ""
            document = self.desk.open(self.book.path)
            if document is None:
                return f"{self.book.name} could not be opened."
            self.book = ShopBook(self.book.path, document)
            self._spread()
        said = to_cell(document, problem["sheet"], problem["cell"])
        self.list.follow(document)
        return said

    def other_file(self, problem: Problem) -> str:
        """The name of the workbook a problem is in, where it is not this one."""
        if problem.get("of") == "book" and self.book is not None:
            return self.book.name
        return "" if problem.get("of", "document") == "document" else problem["file"]

    def list_closed(self) -> None:
        """The list is gone; notes that are on cells are looked after until they are mended."""
        if not any(workbook.notes.any for workbook in self._workbooks()):
            self.end()

    def end(self) -> None:
        """Nothing is looked after any more."""
        _checked.pop(self.uid, None)
        self.list.close()
        for workbook in self._workbooks():
            workbook.resting.no_more(self.uid)

    def _words(self, copies: Copies) -> Line:
        words: Line = {"do": "check", "document": copies.as_it_stands(self.document)}
        if self.book is not None:
            self.book = self._book_now()
            words["book"] = self.book.copy(self.desk, copies)
        return words

    def _book_now(self) -> ShopBook:
        """The shop book as it is now: opened, closed or saved elsewhere meanwhile."""
        assert self.book is not None
        if self.book.document is not None and self.desk.has_open(self.book.document):
            return ShopBook(path_of(self.book.document), self.book.document)
        return ShopBook(self.book.path, open_document(self.desk, self.book.path))

    def _arrived(self, answer: Line, seen: Tuple[int, ...], shown: bool = False) -> None:
        if "done" not in answer:
            first = answer["problems"][0]
            tell(self.desk, first["message"], first["remedy"])
            return
        if not self.desk.has_open(self.document):
            return
        self.problems = errors_first(answer["done"]["problems"])
        self._spread()
        self.list.refresh(answer["done"].get("taxes", []), open_it=shown)
        if shown and seen != self._seen():
            self.look_again()
        if not self.list.is_open:
            self.list_closed()

    def _spread(self) -> None:
        """Each problem on the cells of the open workbook that it is in, which is watched from now on."""
        for workbook in self._workbooks():
            of = "document" if workbook.document is self.document else "book"
            mine = [one for one in self.problems if one.get("of") == of]
            workbook.notes.show(self.uid, by_spot(mine))
            workbook.resting.tell(self.uid, self.look_again)

    def _workbooks(self) -> List[OpenWorkbook]:
        documents = [self.document]
        if self.book is not None and self.book.document is not None and self.desk.has_open(self.book.document):
            documents.append(self.book.document)
        return [workbook_of(self.desk, one) for one in documents if self.desk.has_open(one)]

    def _document_of(self, problem: Problem) -> Optional[Any]:
        if problem.get("of") != "book":
            return self.document
        self.book = self._book_now() if self.book is not None else None
        return self.book.document if self.book is not None else None

    def _seen(self) -> Tuple[int, ...]:
        """How often each of its workbooks was changed so far."""
        return tuple(workbook.resting.changes for workbook in self._workbooks())


def checked(desk: Desk, document: Any, book: Optional[ShopBook] = None) -> Checked:
    """The check of an open document: the one there is, with the shop book that is meant now."""
    found = _checked.get(document.RuntimeUID)
    if found is None:
        found = _checked[document.RuntimeUID] = Checked(desk, document, book)
    found.book = book if book is not None else found.book
    return found


_checked: Dict[str, Checked] = {}
"""Checks that are looked after, by the document's own number."""


def title_of(document: Any) -> str:
    """What a person calls an open document."""
    return str(document.getTitle())
